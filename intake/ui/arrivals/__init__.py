"""The place Arrivals, reading from left to right like the work: what waits, the prescription, the verdict."""
