"""Hand over: a place of the window."""
