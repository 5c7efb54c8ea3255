"""Parcels: a place of the window."""
