"""Reads the words of an answer for what the question asks: a value, or a turn of phrase that settles it."""

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Literal

from intake.domain import answer_phrases as phrases
from intake.domain.answer import Answer, Promise
from intake.domain.answer_fields import Context, can_be_filled, item_place, lasting, read_field
from intake.domain.answer_phrases import OnItsWay
from intake.domain.asked_rules import (
    asks_about_age,
    asks_about_name,
    asks_about_protrusion,
    asks_about_slip,
    asks_about_twice,
    asks_for_bite,
    asks_for_something,
    asks_teeth_or_arch,
    asks_to_confirm,
    asks_to_move,
    asks_what_was_raised,
    asks_when_taken,
    can_be_standing,
    can_be_waived,
    items_wanted,
    rule_of,
)
from intake.domain.case import Case, ItemKind
from intake.domain.form_fields import FormWrong
from intake.domain.lab import Lab
from intake.domain.pouring import impression_ages, is_after
from intake.domain.practice import Practice
from intake.domain.rulebook import OutOfRange, Requirement
from intake.domain.verdict import Finding
from intake.domain.wording import ITEM_WORDS, listed, measure
from intake.domain.written_dates import DateUnclear, shown_day, shown_moment

_ARCHES = ("upper", "lower", "both", "u", "l", "b")
_SCANNED: tuple[ItemKind, ...] = ("scan", "bite-record", "photo", "prescription-sheet")
"""What can come as a scan."""


@dataclass(frozen=True)
class Asked:
    """A question with all that words about it are read by."""

    question: Finding
    case: Case
    rule: Requirement | None
    context: Context

    @property
    def place(self) -> str:
        """The field that is asked for."""
        return self.question.place

    @property
    def usual(self) -> str:
        """The lab's own usual for the field that is asked for; empty where it has none."""
        option = self.place.rpartition(".")[2]
        index = self.question.appliance
        if index is None or index >= len(self.case.appliances):
            return ""
        kind = self.context.lab.type_by_id.get(self.case.appliances[index].type)
        return {str(name): text for name, text in kind.usual.items()}.get(option, "") if kind else ""


def asked_about(question: Finding, case: Case, lab: Lab, practice: Practice | None, now: datetime) -> Asked:
    """A question with its rule, its case and the rest that words about it are read by."""
    return Asked(question, case, rule_of(question, case, lab), Context(lab, practice, now))


def read_words(text: str, asked: Asked) -> Answer:
    """The answer that words are. Raises FormWrong or DateUnclear, with what would be right."""
    written = " ".join(text.split())
    if (rest := phrases.note(text)) is not None:
        return Answer(kind="note", says=f"“{rest}”", written=written)
    if asks_to_confirm(asked.rule):
        raise FormWrong("This is settled when the practice confirms it in writing. Type “- ” and words to keep a note.")
    if (rest := phrases.always(text)) is not None:
        return _always(rest, written, asked)
    rings, when = phrases.rings_back(text, asked.context.now)
    if rings:
        return _rings_back(when, written)
    if asks_what_was_raised(asked.rule, asked.question):
        return _sent_for_it(text, written, asked) or _value(text, written, asked)
    return _promise(text, written, asked) or _settled(text, written, asked) or _value(text, written, asked)


def shown_usual(asked: Asked) -> str:
    """The lab's own usual as it is shown."""
    return read_field(asked.place, asked.usual, asked.context)[1]


def as_written(asked: Asked) -> str:
    """What looks odd, as the prescription has it: `30 mm, as written`."""
    odd = _odd(asked)
    return f"{odd}, as written" if odd else "as written"


def bite_to_fill(asked: Asked) -> int | None:
    """The place of the bite record that a position or measure is about; None where none or several may be meant."""
    if asked.place != "items" or not asks_for_bite(asked.rule):
        return None
    bites = [index for index, item in enumerate(asked.case.items) if item.item == "bite-record"]
    meant = _odd_bites(asked) or [index for index in bites if asked.case.items[index].kind is None] or bites
    return meant[0] if len(meant) == 1 else None


def _always(rest: str, written: str, asked: Asked) -> Answer:
    if not can_be_standing(asked.question.requirement, asked.context.lab):
        raise FormWrong("The rule book takes no standing instruction for this. Leave “always” out.")
    answer = read_words(rest, asked)
    if answer.kind not in ("value", "usual", "as-it-is"):
        raise FormWrong("Say what it shall always be, such as always 1.")
    return answer.model_copy(update={"written": written, "always": True})


def _rings_back(when: date | None, written: str) -> Answer:
    says = f"rings back {shown_moment(when)}" if when else "rings back"
    at = when if when is None or isinstance(when, datetime) else datetime.combine(when, time.min)
    return Answer(kind="ring-back", says=says, written=written, ring_back=at)


def _promise(text: str, written: str, asked: Asked) -> Answer | None:
    context, wanted = asked.context, tuple(dict.fromkeys(items_wanted(asked.rule)))
    coming = phrases.on_its_way(text, context.practice, context.lab, context.now)
    if coming is None:
        return None
    if not wanted:
        raise FormWrong("Nothing that could be sent is asked for here. Type what the practice says.")
    items = _items_coming(wanted, coming.way)
    promise = Promise(by=coming.by, way=coming.way, items=items)
    return Answer(kind="promise", says=_coming_words(items, coming), written=written, promise=promise)


def _sent_for_it(text: str, written: str, asked: Asked) -> Answer | None:
    """Something that is on its way for what a bench asks; what it is cannot be told. Other words are the answer."""
    try:
        coming = phrases.on_its_way(text, asked.context.practice, asked.context.lab, asked.context.now)
    except DateUnclear:
        return None
    if coming is None:
        return None
    promise = Promise(by=coming.by, way=coming.way)
    return Answer(kind="promise", says=_coming_words((), coming), written=written, promise=promise)


def _items_coming(wanted: tuple[ItemKind, ...], way: Literal["post", "scan"]) -> tuple[ItemKind, ...]:
    """What of the things that are wanted can come by a way."""
    items = tuple(kind for kind in wanted if (kind in _SCANNED if way == "scan" else kind != "scan"))
    if not items:
        what = listed([ITEM_WORDS[kind] for kind in wanted], "or")
        how = "as a scan" if way == "scan" else "in the post"
        raise FormWrong(f"No {what} comes {how}. Ask what is sent, and how.")
    return items


def _coming_words(items: tuple[ItemKind, ...], coming: OnItsWay) -> str:
    what = listed(["appliance" if kind == "appliance" else ITEM_WORDS[kind] for kind in items], "or") if items else ""
    how = " in the post" if coming.way == "post" else "" if items == ("scan",) else " as a scan"
    return f"{what}{how}, here by {shown_day(coming.by)}".strip()


def _settled(text: str, written: str, asked: Asked) -> Answer | None:
    """An answer that settles the question without a value of its own."""
    if phrases.is_usual(text):
        return _usual(written, asked)
    if asks_about_twice(asked.rule) and phrases.is_once(text):
        return Answer(kind="value", says="once", written=written, sets=((asked.place, ""),))
    says = _waives(text, written, asked)
    if says is None and not phrases.is_not_needed(text):
        return None
    if not can_be_waived(asked.rule):
        raise FormWrong("This cannot be left out: work cannot be done without it. Type what the practice says.")
    if says is None:
        raise FormWrong("Nothing is lacking here. Type what the practice says, or “as it is” where it is to stay so.")
    return Answer(kind="as-it-is", says=says, written=written)


def _usual(written: str, asked: Asked) -> Answer:
    if not asked.usual:
        raise FormWrong("The setup has no usual for this. Type the value that the practice says.")
    says = f"{shown_usual(asked)}, the laboratory’s usual"
    return Answer(kind="usual", says=says, written=written, sets=((asked.place, asked.usual),))


def _waives(text: str, written: str, asked: Asked) -> str | None:
    """What words say that want it made as it stands; None where they do not, for what this question asks.

    “yes” says so only where a slip is asked about: to “can it be moved” or “again, or at your risk” it says nothing.
    """
    if asks_about_twice(asked.rule):
        return "twice" if phrases.is_twice(text) or phrases.is_as_written(text) else None
    if asks_about_name(asked.rule):
        return "the same patient" if phrases.is_yes(text) or phrases.is_as_written(text) else None
    if asks_about_slip(asked.rule):
        return as_written(asked) if phrases.is_yes(text) or phrases.is_as_written(text) else None
    if asks_to_move(asked.rule) and (phrases.is_staying(text) or phrases.is_as_written(text)):
        return "the appointment stays"
    if asks_about_age(asked.rule) and phrases.is_at_risk(text):
        return "to be poured at the practice’s risk"
    if asks_for_something(asked.rule):
        return written if phrases.is_not_needed(text) or phrases.is_as_it_is(text) else None
    return written if phrases.is_as_written(text) else None


def _value(text: str, written: str, asked: Asked) -> Answer:
    places = _places(text, asked)
    sets = tuple((place, lasting(place, part, asked.context)) for place, part in places)
    shown = dict.fromkeys(read_field(place, part, asked.context)[1] for place, part in places)
    return Answer(kind="value", says=" ".join(shown), written=written, sets=sets)


def _places(text: str, asked: Asked) -> list[tuple[str, str]]:
    """The fields that words fill, each with its part of the words."""
    if asks_when_taken(asked.rule):
        if phrases.says_nothing(text):
            raise FormWrong("Type when it was taken, or post or scan when a new one is on its way.")
        return [(item_place(index, "taken"), text) for index in _misdated(asked)]
    if asked.place == "items":
        return _bite(text, asked)
    if asks_to_move(asked.rule) and phrases.says_nothing(text):
        raise FormWrong("Type the day that it is moved to, such as 14 dec, or “stays” when it cannot be moved.")
    if not can_be_filled(asked.place):
        raise FormWrong("Type “- ” and the words to keep a note, or change the prescription itself for this.")
    if asks_teeth_or_arch(asked.rule) and text.casefold().strip().removesuffix(" arch") in _ARCHES:
        return [(f"{asked.place.removesuffix('.teeth')}.arch", text)]
    return [(asked.place, text)]


def _misdated(asked: Asked) -> list[int]:
    """The places of the items whose date is asked about; the other items keep theirs."""
    case, context = asked.case, asked.context
    if asks_about_age(asked.rule):
        odd = [age.item for age in impression_ages(case, context.lab, context.now) if age.state == "past-limit"]
    else:
        odd = [index for index, item in enumerate(case.items) if is_after(item.taken, case.arrived)]
    if not odd:
        raise FormWrong("Nothing that came is meant by this. Change the prescription itself, where it has a slip.")
    return odd


def _bite(text: str, asked: Asked) -> list[tuple[str, str]]:
    """The position of a bite record that came, and its measure: `centric`, `opened by 3 mm`, `6 mm`."""
    bites = [item for item in asked.case.items if item.item == "bite-record"]
    if not asks_for_bite(asked.rule) or not bites:
        raise FormWrong("Type post or scan when it is on its way, “not needed”, or “- ” and words to keep a note.")
    index = bite_to_fill(asked)
    if index is None:
        raise FormWrong("Several bite records came: change the one that is meant in the prescription itself.")
    words = text.casefold().replace(" by ", " ").removeprefix("in ").strip()
    kind, _, mm = ("", "", words) if words[:1].isdigit() else words.partition(" ")
    parts = ((item_place(index, "kind"), kind), (item_place(index, "mm"), mm.strip()))
    return [(place, part) for place, part in parts if part]


def _odd(asked: Asked) -> str:
    """The value that looks odd, as the prescription has it; empty where it cannot be told."""
    bites = _odd_bites(asked)
    if bites:
        return measure(asked.case.items[bites[0]].mm or 0)
    index, option = asked.question.appliance, asked.place.rpartition(".")[2]
    if index is None or index >= len(asked.case.appliances):
        return ""
    value = getattr(asked.case.appliances[index].options, option, None)
    return measure(value) if isinstance(value, float) else str(value or "")


def _odd_bites(asked: Asked) -> list[int]:
    """The places of the bite records whose protrusion is out of its range."""
    if asked.rule is None or not asks_about_protrusion(asked.rule):
        return []
    ranges = [each for each in asked.rule.when if isinstance(each, OutOfRange)]
    return [
        index
        for index, item in enumerate(asked.case.items)
        if item.item == "bite-record" and item.kind == "protrusive" and item.mm is not None
        if any(not each.least <= item.mm <= each.most for each in ranges)
    ]
