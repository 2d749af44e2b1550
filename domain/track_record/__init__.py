"""The track record: what finished jobs say about the quote being written, and how far to believe it.

The model. For a line of work, log(actual / quoted) is taken as the sum of six kinds of parts: all work, job type,
task within the type, size of the line, each access condition, and what a condition costs in one type beyond that.
Every part is a median pulled toward nothing by how little of it has been seen (``fitting``, ``pooling``). Lines add
up to a job, whose own offset (unquoted work above all) and scatter are learned in the same way (``whole_jobs``).
Then the record is tried on its own past, forward in time (``forward``): each job is forecast only from jobs finished
before it was quoted. What that shows decides
  - how far all work has drifted from what it used to take (``drift``),
  - how much to lean on the levels, on plainer corrections, or on none (``leaning``), and
  - how wide the bands are: the misses of those forecasts, with a Student curve mixed in while they are few
    (``spread``), made wider or narrower by what the last bands missed (``widths``).
No curve is assumed for the misses, since real logs are peaked at the quote and have far outliers.

Sources: partial pooling after Efron and Morris; the median with a pull as the most probable part under two-sided
exponential errors; weights after Littlestone and Warmuth; bands conformal after Vovk and others. Each module names
its own, and says which are from memory.

Lines with zero quoted minutes are unquoted work: they count toward what their job took, and toward ``unquoted``.
Lines with zero actual minutes are work not done: they count as the farthest miss below. Jobs with nothing quoted
at all are left out and listed. Below five finished jobs nothing is learned: the middle is the quote and the band
the default one (``fitting.DEFAULT_SPREAD``), and the forecast says so. A quote is told odds only from six finished
jobs of its own type on (``Forecast.tells_odds``); until then the jobs themselves are shown (``cases``).
"""

from domain.track_record.backtest import BANDS, Backtest, JobTest
from domain.track_record.cases import CASES, LastTime, WholeCase
from domain.track_record.cost import CostForecast, forecast_cost
from domain.track_record.forecast import Basis, Forecast, LineForecast
from domain.track_record.materials import MaterialForecast, MaterialOutcome, MaterialRecord, fit_materials
from domain.track_record.outcomes import Outcome, QuotedTask
from domain.track_record.record import Settings, TrackRecord, fit
from domain.track_record.unquoted import ForgottenTask, Unquoted
from domain.track_record.why import Why

__all__ = [
    "BANDS",
    "CASES",
    "Backtest",
    "Basis",
    "CostForecast",
    "Forecast",
    "ForgottenTask",
    "JobTest",
    "LastTime",
    "LineForecast",
    "MaterialForecast",
    "MaterialOutcome",
    "MaterialRecord",
    "Outcome",
    "QuotedTask",
    "Settings",
    "TrackRecord",
    "Unquoted",
    "WholeCase",
    "Why",
    "fit",
    "fit_materials",
    "forecast_cost",
]
