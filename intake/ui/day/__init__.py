"""The day: a place of the window."""
