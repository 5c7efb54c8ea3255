"""A package, so that one test may use another's builders: no other `tests` on the path hides it."""
