"""The window: it shows and asks, and decides nothing."""
