"""The Company page: what the firm is, what it costs, its lists, its prices, and the safe keeping of it all."""

from desktop.pages.company.page import PARTS, CompanyPage

__all__ = ["PARTS", "CompanyPage"]
