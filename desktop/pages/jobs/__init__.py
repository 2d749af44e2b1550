"""Jobs: the list, the page of one job with its sections and facts, and the form for a new one."""

from desktop.pages.jobs.page import JobsPage

__all__ = ["JobsPage"]
