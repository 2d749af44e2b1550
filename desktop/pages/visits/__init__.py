"""Booking a visit, and a job's visits among its facts."""
