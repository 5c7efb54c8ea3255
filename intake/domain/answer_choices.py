"""The usual answers to a question, likeliest first: what to type, and what it means."""

from collections.abc import Iterator

from intake.domain.answer import AnswerKind
from intake.domain.answer_reading import Asked, as_written, bite_to_fill, shown_usual
from intake.domain.asked_rules import (
    asks_about_age,
    asks_about_damage,
    asks_about_name,
    asks_about_scan,
    asks_about_slip,
    asks_about_twice,
    asks_for_something,
    asks_teeth_or_arch,
    asks_to_confirm,
    asks_to_move,
    asks_when_taken,
    can_be_waived,
    items_wanted,
)
from intake.domain.rulebook import Received
from intake.domain.teeth import arch_of

Usual = tuple[str, str, AnswerKind]
"""What to type, complete or ending in `…`; what it means, empty where that is what it reads as; its kind."""
_ARCHES = ("upper", "lower", "both")
_BITES = {"centric": "centric", "open": "opened …", "protrusive": "protruded …"}
_MEASURED = {"opened …": "opened, and by how many mm", "protruded …": "protruded, and by how many mm"}


def usual_answers(asked: Asked) -> Iterator[Usual]:
    """The usual answers, likeliest first: a value, what is on its way, what need not be, and ringing back.

    What the question at hand does not take as an answer is still among them; it has to be read to know.
    """
    if asks_to_confirm(asked.rule):
        return
    yield from _values(asked)
    yield from _slips(asked)
    if items_wanted(asked.rule):
        yield from (("post", "", "promise"), ("scan", "", "promise"))
    yield from _leaving(asked)
    yield "rings back …", "the prescriber rings back", "ring-back"


def _values(asked: Asked) -> Iterator[Usual]:
    lab, place = asked.context.lab, asked.place
    if asked.usual:
        yield "usual", f"the laboratory’s usual, {shown_usual(asked)}", "usual"
    if place.endswith(".arch"):
        yield from ((arch, arch, "value") for arch in _ARCHES)
    if place == "prescriber" and asked.context.practice:
        yield from ((name, name, "value") for name in asked.context.practice.prescribers[:4])
    if asks_teeth_or_arch(asked.rule):
        yield from ((arch, f"{arch}: the teeth are right", "value") for arch in _arches_of_teeth(asked))
    if bite_to_fill(asked) is not None and asked.rule is not None and not asks_about_slip(asked.rule):
        kinds = [kind for each in asked.rule.satisfied_by if isinstance(each, Received) for kind in each.kind]
        words = [_BITES[kind] for kind in kinds if kind in _BITES]
        yield from ((word, _MEASURED.get(word, word), "value") for word in words)
    for answer in lab.letter.answers.get(asked.question.requirement, ()):
        if place.endswith((".colour", ".material")) and "__" not in answer:
            yield answer, "", "value"


def _arches_of_teeth(asked: Asked) -> list[str]:
    """The one arch that all the teeth lie in; none where they lie in both."""
    index = asked.question.appliance
    if index is None or index >= len(asked.case.appliances):
        return []
    arches = {arch_of(tooth) for tooth in asked.case.appliances[index].teeth}
    return list(arches) if len(arches) == 1 else []


def _slips(asked: Asked) -> Iterator[Usual]:
    if asks_about_twice(asked.rule):
        yield from (("yes", "yes, twice", "as-it-is"), ("no", "no, once", "value"))
    elif asks_about_name(asked.rule) and can_be_waived(asked.rule):
        yield "yes", "yes, the same patient", "as-it-is"
    elif asks_about_slip(asked.rule) and can_be_waived(asked.rule):
        yield "yes", f"yes, {as_written(asked)}", "as-it-is"
    if asks_to_move(asked.rule):
        yield "moved to …", "moved to another day", "value"
    if asks_when_taken(asked.rule) and not asks_about_age(asked.rule):
        yield "taken …", "when it was taken", "value"


def _leaving(asked: Asked) -> Iterator[Usual]:
    """What need not be, where the prescriber says so."""
    if asks_about_age(asked.rule):
        yield "at our risk", "pour it, at the practice’s risk", "as-it-is"
        yield "taken …", "taken at another time", "value"
    if asks_about_damage(asked.rule) or (asks_about_scan(asked.rule) and can_be_waived(asked.rule)):
        yield "as it is", "use it as it is, says the prescriber", "as-it-is"
    if asks_to_move(asked.rule):
        yield "stays", "the appointment stays", "as-it-is"
    if asks_for_something(asked.rule) and can_be_waived(asked.rule):
        if asked.question.requirement == "appointment-date":
            yield "no appointment yet", "no appointment yet", "as-it-is"
        else:
            yield "not needed", "not needed, says the prescriber", "as-it-is"
