"""Waiting: the place where practices are rung, and what they say is taken down."""

from intake.ui.waiting.place import Waiting

__all__ = ["Waiting"]
