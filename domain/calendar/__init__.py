"""Visits on the calendar, what a day holds, and the steps back from a closing date."""
