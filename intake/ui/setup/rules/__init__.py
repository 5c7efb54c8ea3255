"""Rule book: a page of Lab setup."""
