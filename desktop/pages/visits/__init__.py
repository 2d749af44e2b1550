"""Booking a visit: the form, and beside it what speaks for and against the day."""

from desktop.pages.visits.dialog import VisitDialog

__all__ = ["VisitDialog"]
