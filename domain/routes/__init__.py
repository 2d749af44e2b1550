"""The route of the pipe through a house: its model, its shorthand, its checks, its slope and its side drawing."""
