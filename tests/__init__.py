"""Specifications of Riserbook, run with pytest."""
