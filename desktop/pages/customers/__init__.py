"""Customers: the list with its search, one customer's page, and the form for a new one."""

from desktop.pages.customers.page import CustomersPage

__all__ = ["CustomersPage"]
