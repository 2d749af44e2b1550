"""The log of a job: hours, materials and costs of a day, entered by keyboard beside what was quoted."""

from desktop.pages.job_sections.log.section import LogSection

__all__ = ["LogSection"]
