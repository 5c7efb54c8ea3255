"""Texts: a page of Lab setup."""
