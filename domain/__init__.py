"""The business in plain Python: exact money and time, quoting, costing; no window, no database, no clock."""
