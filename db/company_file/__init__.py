"""The company file: create, open, lock, back up, check, restore."""
