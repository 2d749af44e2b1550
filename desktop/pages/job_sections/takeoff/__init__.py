"""The takeoff of a job: its routes, what is counted beside them, the list to buy, and its air."""

from desktop.pages.job_sections.takeoff.section import TakeoffSection

__all__ = ["TakeoffSection"]
