"""The start page: what the owner still has to do this evening."""

from desktop.pages.tonight.page import TonightPage

__all__ = ["TonightPage"]
