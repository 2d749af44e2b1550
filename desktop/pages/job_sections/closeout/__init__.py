"""Closing a job out: tests, readings, checklist, defects, exposure, and the papers that are handed over."""

from desktop.pages.job_sections.closeout.section import CloseoutSection

__all__ = ["CloseoutSection"]
