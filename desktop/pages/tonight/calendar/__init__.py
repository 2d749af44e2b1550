"""The calendar of Tonight: a week by the hour, a month by the day, and the day that is chosen beside it."""

from desktop.pages.tonight.calendar.view import CalendarView

__all__ = ["CalendarView"]
