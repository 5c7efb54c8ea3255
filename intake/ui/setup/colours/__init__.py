"""Colours: a page of Lab setup."""
