"""The way through the form: where a finding leads, and which field comes next."""

from collections.abc import Sequence

from intake.domain.form import FormRead
from intake.domain.form_lines import line_of, line_place


def place_in_form(form: FormRead, place: str) -> str:
    """The field that a finding's place leads to: itself, or the nearest one that is shown.

    A finding counts the appliances of the case; a line that cannot be read is none of them.
    """
    index = line_of(place)
    if index is not None:
        line = form.lines[index] if index < len(form.lines) else index
        place = line_place(line) + place.removeprefix(line_place(index))
    while place and place not in form.places:
        place = place.rpartition(".")[0]
    return place or form.places[0]


def next_place(form: FormRead, current: str, asked: Sequence[str]) -> str | None:
    """Where Enter goes on to: the next field that matters, or None at the end.

    A field matters when a finding asks for it, when its text cannot be read, or when it is empty and every prescription
    has it, or nobody could be reached without it.

    Args:
        form: The form as it stands.
        current: The field to go on from.
        asked: The places of the findings that ask for something.
    """
    wanted = {place_in_form(form, place) for place in asked} | set(form.wrong) | form.unsaid
    start = form.places.index(current) + 1 if current in form.places else 0
    return next((place for place in form.places[start:] if place in wanted), None)
