"""What finished jobs say of a quote: a strip above its lines, two rows in the price panel, a view of its own."""

from desktop.pages.job_sections.quote.record.carries import CarryLines
from desktop.pages.job_sections.quote.record.last_time import OPEN_KEY, PACE_KEY, LastTimeRow
from desktop.pages.job_sections.quote.record.line_seen import lines_seen
from desktop.pages.job_sections.quote.record.outlook import QuoteOutlook
from desktop.pages.job_sections.quote.record.strip import RecordStrip
from desktop.pages.job_sections.quote.record.tab import RecordTab

__all__ = [
    "OPEN_KEY",
    "PACE_KEY",
    "CarryLines",
    "LastTimeRow",
    "QuoteOutlook",
    "RecordStrip",
    "RecordTab",
    "lines_seen",
]
