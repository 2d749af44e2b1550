"""The margins by job type as one SQL statement written by hand: what the program's own way is measured against.

It adds up the same rows with the same rounding, and answers the sums of each job type; the median job, which SQL has
no word for here, it leaves out.
"""

AMOUNT = "(({0}quantity * {0}unit_cost) + CASE WHEN {0}quantity * {0}unit_cost < 0 THEN -50000 ELSE 50000 END) / 100000"
TIME = "({0}minutes * {0}{1} + 30) / 60"

_LINES = "LEFT JOIN quote_option o ON o.id = l.option_id WHERE l.option_id IS NULL OR o.chosen GROUP BY l.quote_id"

BY_JOB_TYPE = f"""
WITH
hours AS (
    SELECT job_id, sum(minutes) AS minutes,
           sum({TIME.format("", "rate_cents")}) + sum({TIME.format("", "overhead_rate_cents")}) AS cents,
           sum(CASE WHEN person_id = 1 THEN minutes ELSE 0 END) AS own_minutes,
           sum(CASE WHEN person_id = 1 THEN {TIME.format("", "rate_cents")} ELSE 0 END) AS own_cents
    FROM hours_entry GROUP BY job_id
),
used AS (SELECT job_id, sum({AMOUNT.format("")}) AS cents FROM material_use GROUP BY job_id),
paid AS (SELECT job_id, sum({AMOUNT.format("")}) AS cents FROM other_cost GROUP BY job_id),
off AS (SELECT job_id, sum(amount_cents) AS cents FROM price_adjustment WHERE kind = 'write_off' GROUP BY job_id),
time AS (
    SELECT l.quote_id, sum(l.minutes) AS minutes, sum({TIME.format("l.", "rate_cents")}) AS cents
    FROM labour_line l {_LINES}
),
stuff AS (SELECT l.quote_id, sum({AMOUNT.format("l.")}) AS cents FROM material_line l {_LINES}),
other AS (SELECT l.quote_id, sum({AMOUNT.format("l.")}) AS cents FROM other_line l {_LINES}),
last AS (
    SELECT job_id, max(version) AS version FROM quote
    WHERE kind = 'proposal' AND accepted_on IS NOT NULL GROUP BY job_id
),
priced AS (
    SELECT q.job_id, q.kind, q.price_cents, q.goodwill_cents, coalesce(time.minutes, 0) AS minutes,
           CASE WHEN q.tax_treatment = 'lump_sum' THEN q.tax_percent ELSE 0 END AS tax,
           coalesce(time.cents, 0) + coalesce(stuff.cents, 0) + coalesce(other.cents, 0)
           + (coalesce(time.minutes, 0) * q.overhead_rate_cents + 30) / 60
           + CASE WHEN q.tax_treatment = 'lump_sum'
                  THEN (coalesce(stuff.cents, 0) * q.tax_percent
                        + CASE WHEN coalesce(stuff.cents, 0) < 0 THEN -50000 ELSE 50000 END) / 100000
                  ELSE 0 END AS cost_cents
    FROM quote q
    LEFT JOIN last ON last.job_id = q.job_id
    LEFT JOIN time ON time.quote_id = q.id
    LEFT JOIN stuff ON stuff.quote_id = q.id
    LEFT JOIN other ON other.quote_id = q.id
    WHERE q.accepted_on IS NOT NULL AND (q.kind = 'change_order' OR q.version = last.version)
),
sold AS (
    SELECT job_id, sum(price_cents - goodwill_cents) AS revenue_cents, sum(minutes) AS minutes,
           sum(CASE WHEN kind = 'proposal' THEN price_cents ELSE 0 END) AS price_cents,
           sum(CASE WHEN kind = 'proposal' THEN cost_cents ELSE 0 END) AS cost_cents,
           sum(CASE WHEN kind = 'proposal' THEN tax ELSE 0 END) AS tax
    FROM priced GROUP BY job_id
),
result AS (
    SELECT j.job_type_id,
           coalesce(sold.revenue_cents, 0) - coalesce(off.cents, 0) AS revenue,
           coalesce(hours.cents, 0) + coalesce(used.cents, 0) + coalesce(paid.cents, 0)
           + CASE WHEN coalesce(sold.tax, 0) = 0 THEN 0
                  ELSE (coalesce(used.cents, 0) * sold.tax
                        + CASE WHEN coalesce(used.cents, 0) < 0 THEN -50000 ELSE 50000 END) / 100000 END AS cost,
           coalesce(sold.price_cents, 0) AS quoted_price, coalesce(sold.cost_cents, 0) AS quoted_cost,
           coalesce(sold.minutes, 0) AS quoted_minutes, coalesce(hours.minutes, 0) AS actual_minutes,
           coalesce(hours.own_minutes, 0) AS own_minutes, coalesce(hours.own_cents, 0) AS own_cents
    FROM job j
    LEFT JOIN sold ON sold.job_id = j.id
    LEFT JOIN hours ON hours.job_id = j.id
    LEFT JOIN used ON used.job_id = j.id
    LEFT JOIN paid ON paid.job_id = j.id
    LEFT JOIN off ON off.job_id = j.id
    WHERE j.closed_on IS NOT NULL AND j.cancelled_on IS NULL
)
SELECT t.name, count(*), sum(revenue), sum(cost), sum(quoted_price), sum(quoted_cost), sum(quoted_minutes),
       sum(actual_minutes), sum(revenue - cost < 0), sum(own_minutes), sum(own_cents)
FROM result JOIN job_type t ON t.id = result.job_type_id GROUP BY t.name ORDER BY t.name
"""
