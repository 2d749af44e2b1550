"""Questions the screens ask: set-based SQL in, domain values out."""
