"""Editions: a page of Lab setup."""
