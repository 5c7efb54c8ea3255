"""Directory: a page of Lab setup."""
