"""What finished jobs say of the quote being written: the strip above the lines, the price lines, the whole view."""

from desktop.pages.job_sections.quote.record.outlook import QuoteOutlook
from desktop.pages.job_sections.quote.record.strip import CarryLines, RecordStrip
from desktop.pages.job_sections.quote.record.tab import RecordTab

__all__ = ["CarryLines", "QuoteOutlook", "RecordStrip", "RecordTab"]
