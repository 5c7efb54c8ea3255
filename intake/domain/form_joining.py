"""Two forms of one case as one: nothing that was typed is overwritten, and nothing that came is lost."""

from collections.abc import Callable, Mapping

from intake.domain.form_fields import FormWrong, read_allergies, read_hygiene
from intake.domain.form_lines import line_of

Typed = Mapping[str, str]
_PRACTICE = "practice"
_GRAVEST = ("not-disinfected", "unknown", "disinfected", "not-applicable")
"""What is said of two parcels together: that of the one to be more careful with."""


def joined_form(first: Typed, second: Typed) -> dict[str, str]:
    """What the first form says, and what only the second says.

    Practice and appliances are each of one form, with all that belongs to them. What came, allergies and notes are of
    both. Of what was said of disinfection and of the patient's age, what asks for more care stands.
    """
    said, taken = ({place: text.strip() for place, text in form.items() if text.strip()} for form in (first, second))
    for belongs in (_of_practice, _of_appliances):
        if any(belongs(place) for place in said):
            taken = {place: text for place, text in taken.items() if not belongs(place)}
    both = said.keys() & taken.keys()
    drawn = {place: draw(said[place], taken[place]) for place, draw in _DRAWN.items() if place in both}
    return {**taken, **said, **drawn}


def _of_practice(place: str) -> bool:
    return place == _PRACTICE or place.startswith(f"{_PRACTICE}.")


def _of_appliances(place: str) -> bool:
    return line_of(place) is not None


def _items(first: str, second: str) -> str:
    parts = [part.strip() for text in (first, second) for part in text.split(";")]
    return "; ".join(dict.fromkeys(filter(None, parts)))


def _allergies(first: str, second: str) -> str:
    named = {name.casefold(): name for text in (second, first) for name in read_allergies(text)[0]}
    return ", ".join(named.values()) or first


def _found(first: str, second: str) -> str:
    """What stands on two bags, each as it is written there."""
    return _items(first, second)


def _notes(first: str, second: str) -> str:
    return (
        first
        if second.strip() in first
        else second
        if first.strip() in second
        else f"{first.strip()}; {second.strip()}"
    )


def _under_18(first: str, second: str) -> str:
    return second if second.strip().casefold() in ("y", "yes") else first


def _hygiene(first: str, second: str) -> str:
    ranked = {}
    for text in (second, first):
        try:
            ranked[_GRAVEST.index(read_hygiene(text)[0])] = text
        except FormWrong:
            return first  # a person has to put it right, and sees it
    return ranked[min(ranked)]


_DRAWN: dict[str, Callable[[str, str], str]] = {
    "items": _items,
    "patient.allergies": _allergies,
    "patient.under_18": _under_18,
    "patient.found": _found,
    "notes": _notes,
    "hygiene": _hygiene,
}
"""How what both forms say becomes one text."""
