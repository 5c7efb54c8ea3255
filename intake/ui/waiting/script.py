"""The card as lines to read: each case with its questions, then what else is known of the practice."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from intake.ui.findings_list import Level
from intake.ui.waiting.asking import Asking
from intake.ui.waiting.askings import question_id
from intake.ui.waiting.calls import Call

if TYPE_CHECKING:
    from intake.desk.call_card import CallCard, CardCase

Kind = Literal["head", "case", "asking", "line"]


@dataclass(frozen=True)
class Line:
    """One line of the card.

    Attributes:
        kind: A heading, a case, something that can be typed into, or something to read.
        text: What it says.
        id: Of what can be typed into.
        small: What stands under it.
        aside: How it stands, at the right end.
        level: Its level, if it has one.
    """

    kind: Kind
    text: str
    id: str = ""
    small: str = ""
    aside: str = ""
    level: Level | None = None


def script(card: "CallCard", asked: Sequence[Asking], call: Call) -> tuple[Line, ...]:
    """The lines of a card."""
    by_id = {asking.id: asking for asking in asked}
    lines = [*_part("Returned forms", _of_kind(by_id, "reply-", call))]
    for case in card.cases:
        lines += [_case(case), *(_line(by_id[question_id(each.query_id)], call) for each in case.questions)]
    lines += _part("Taken down in this call", (Line("line", said) for said in call.taken.values()))
    lines += _part("Said by word of mouth, to be confirmed in writing", _of_kind(by_id, "spoken-", call))
    lines += _part("Standing instructions", _of_kind(by_id, "standing-", call))
    lines += _part("Letters", (Line("line", letter) for letter in card.letters))
    lines += _part("Tries", (Line("line", each) for each in card.tries))
    lines += _part("What this practice leaves out", (Line("line", each) for each in (card.forgets,) if each))
    return tuple(lines)


def _part(heading: str, lines: Iterator[Line]) -> list[Line]:
    found = list(lines)
    return [Line("head", heading), *found] if found else []


def _of_kind(by_id: dict[str, Asking], begins: str, call: Call) -> Iterator[Line]:
    return (_line(asking, call) for asking in by_id.values() if asking.id.startswith(begins))


def _case(case: "CardCase") -> Line:
    dates = [f"appointment {case.appointment}" if case.appointment else "no appointment given"]
    dates += [f"reply by {case.reply_by}"] if case.reply_by else []
    told = " · ".join([f"Job {', '.join(case.numbers)}", f"arrived {case.arrived}", *dates])
    return Line(
        "case",
        ", ".join((case.patient, *case.appliances)),
        small="\n".join(filter(None, (told, case.otherwise))),
        aside="HOLD" if case.state == "held" else "CLEAR",
    )


def _line(asking: Asking, call: Call) -> Line:
    small, aside = _small(asking, call), _aside(asking, call)
    return Line("asking", asking.words, asking.id, small, aside, asking.level)


def _small(asking: Asking, call: Call) -> str:
    """Why it was not taken down; else how a question stands, and of all else the reason."""
    if why := call.refused.get(asking.id):
        return f"Not taken down. {why}"
    return "".join(asking.notes[:1]) if asking.needs_speaker else asking.because


def _aside(asking: Asking, call: Call) -> str:
    if asking.id in call.under_way:
        return "taking it down …"
    if text := call.texts.get(asking.id, "").strip():
        return f"typed: {text}"
    return "✓ taken down" if asking.id in call.taken else ""
