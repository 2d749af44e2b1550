"""The Money section of a job: invoices, credits and payments."""

from desktop.pages.job_sections.money.section import MoneySection

__all__ = ["MoneySection"]
