"""Margins: what the closed jobs earned, grouped, and down from there to each log entry."""

from desktop.pages.margins.page import MarginsPage

__all__ = ["MarginsPage"]
