"""Pdfium draws the pages of a file, on one thread at a time: it is not made for two."""

from threading import Lock

ONE_AT_A_TIME = Lock()
"""Held around every use of pypdfium2, wherever in the program it is; for a page, not for a file."""
