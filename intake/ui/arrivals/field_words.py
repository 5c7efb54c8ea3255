"""What each field of the form is called, what it offers as an example, and its help."""

import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from string import ascii_uppercase

from intake.domain.form_lines import appliance_count, line_of
from intake.domain.lab import Lab
from intake.resources import resource

TAKEN = frozenset("CDGHIV")
"""The letters that menus and the line of the desk have: Desk, Case, Go, View, Help, Initials."""


@dataclass(frozen=True)
class FieldWords:
    """One kind of field.

    Attributes:
        label: Its name.
        letter: The letter that goes to it with Alt.
        hint: An example, shown while it is empty.
        help: What F1 says.
    """

    label: str
    letter: str
    hint: str
    help: str


@lru_cache(maxsize=1)
def fields() -> Mapping[str, FieldWords]:
    """The words of every kind of field."""
    with resource("texts", "form.toml").open("rb") as stream:
        return {kind: FieldWords(**words) for kind, words in tomllib.load(stream).items()}


def kind_of_field(place: str) -> str:
    """The kind of field at a place: `appliances[1].options.shade` is “shade”."""
    if line_of(place) is None:
        return place
    rest = place.partition("]")[2]
    if rest == ".notes":
        return "appliance.notes"
    return rest.removeprefix(".options").removeprefix(".") or "appliance"


def field_names(places: Iterable[str]) -> dict[str, str]:
    """The name of each field; with several appliances theirs are told apart by number."""
    places = tuple(places)
    several = appliance_count(places) > 1
    names = {}
    for place in places:
        line = line_of(place)
        number = f" {line + 1}" if several and line is not None else ""
        names[place] = fields()[kind_of_field(place)].label + number
    return names


def access_letters(places: Sequence[str], line: int) -> dict[str, str]:
    """The letter of each field, none twice: its own where that is free, else another of its name, else any.

    There are more fields than letters, so of several appliances one has letters: that of `line`, in which the keys are.
    """
    lettered = [place for place in places if line_of(place) in (None, line)]
    free = [letter for letter in ascii_uppercase if letter not in TAKEN]
    letters: dict[str, str] = {}
    for place in lettered:
        letter = fields()[kind_of_field(place)].letter
        if letter in free:
            letters[place] = letter
            free.remove(letter)
    for place in lettered:
        if place not in letters and free:
            wanted = [c for c in fields()[kind_of_field(place)].label.upper() if c in free] or free[::-1]
            letters[place] = wanted[0]
            free.remove(wanted[0])
    return letters


def with_letter(name: str, letter: str) -> str:
    """A name as a label writes it, with its letter marked: “&Practice”, “Teeth (&X)”."""
    if not letter:
        return name
    at = re.search(re.escape(letter), name, re.IGNORECASE)
    return f"{name[: at.start()]}&{name[at.start() :]}" if at else f"{name} (&{letter})"


def field_help(place: str, lab: Lab, another: str) -> str:
    """The help of a field; that of an appliance line lists the lab's own names.

    Args:
        place: The field.
        lab: The lab setup.
        another: The key that adds an appliance line.
    """
    kind = kind_of_field(place)
    text = fields()[kind].help.replace("{another}", another)
    if kind != "appliance":
        return text
    names = "; ".join(f"{t.name} ({', '.join(t.words[:2])})" if t.words else t.name for t in lab.types)
    return f"{text} This lab makes: {names}."
