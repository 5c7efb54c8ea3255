"""What stands on a day sheet, in the words to be printed."""

from dataclasses import dataclass
from typing import NamedTuple


class Column(NamedTuple):
    """One column of a table: its heading, its share of the width, and whether it holds numbers, which end in line."""

    heading: str
    share: float
    numbers: bool = False


@dataclass(frozen=True)
class SheetTable:
    """One table with what it is about; `empty` is said where it has no rows."""

    heading: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    empty: str
    more: str = ""
    """What is not listed, under the rows."""
    colours: tuple[str, ...] = ()
    """The colour of each row's box as `#rrggbb`, drawn before its first column, which says its name."""


class HourBar(NamedTuple):
    """One hour of the day."""

    hour: int
    arrived: int
    booked: int
    handed_over: int


@dataclass(frozen=True)
class SheetOfDay:
    """Everything on a day sheet."""

    title: str
    lab: str
    counted: str
    """When it was counted, and by whom."""
    closed: str
    """Who closed the day and when; that it is not closed."""
    figures: tuple[tuple[str, str], ...]
    """The day's numbers, and the word under each."""
    open: str
    """What is open just now, counted."""
    hours: tuple[HourBar, ...]
    """From the first hour in which something happened to the last."""
    tables: tuple[SheetTable, ...]
    head: str
    """Where the history ends."""
    purpose: str
    """What that is for."""
