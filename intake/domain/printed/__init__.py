"""The fixed words of what the lab prints and sends: labels, headings, dates. They are in the lab setup, in `words`."""
