"""Calendar: a page of Lab setup."""
