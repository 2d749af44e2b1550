"""The steps, one file each, run in the order of their numbers."""
