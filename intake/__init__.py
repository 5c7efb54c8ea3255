"""Intake: reception at a dental appliance laboratory, from the opened bag to the ticket."""

__version__ = "0.1.0"
