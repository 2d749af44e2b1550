"""What a new company starts with: job types, labour tasks, price list, costs and texts, in readable files."""

from db.starter.fill import fill_new_company, fill_settings

__all__ = ["fill_new_company", "fill_settings"]
