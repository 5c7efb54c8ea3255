"""Scans on the screen."""
