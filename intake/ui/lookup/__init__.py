"""Look up: the place that answers “have you got it, and when will we have it back?”."""

from intake.ui.lookup.place import LookUp

__all__ = ["LookUp"]
