"""People: a page of Lab setup."""
