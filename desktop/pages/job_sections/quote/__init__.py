"""The quote of a job: versions, lines, price always in view, texts, and the paper as the customer will read it."""

from desktop.pages.job_sections.quote.section import QuoteSection

__all__ = ["QuoteSection"]
