"""Work and benches: a page of Lab setup."""
