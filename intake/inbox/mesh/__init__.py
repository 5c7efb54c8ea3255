"""Scans of an arch: read from files of any kind with care, measured, held against one another, pictured.

All of it works on numpy arrays. Nothing here decides whether a scan will do: `intake.domain.scan_judging` does, from
the figures.
"""
