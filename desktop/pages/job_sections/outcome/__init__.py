"""Outcome: quoted against actual of one job."""

from desktop.pages.job_sections.outcome.section import OutcomeSection

__all__ = ["OutcomeSection"]
