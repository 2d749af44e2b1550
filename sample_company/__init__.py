"""An invented firm with about three years of work, kept as readable data and loaded like any other."""
