"""Every text, colour, number of days and route of the setup is changed, and seen on paper, in a mail or in a verdict.

The whole model is walked: a field that is neither a text that is seen, nor a value whose effect is told here, nor
listed with the reason why it is neither text, colour, number of days nor route, fails.
"""

import re
from collections.abc import Callable, Iterator
from datetime import date, time, timedelta
from functools import cache
from typing import Any

import pytest

from intake.domain.bench_rules import HandOverRules
from intake.domain.case import Frozen
from intake.domain.delivery_services import Service
from intake.domain.lab import Lab
from intake.domain.printed.language import Language
from intake.domain.rulebook import Requirement
from intake.domain.texts import NAME_OF_RULE, texts_of, with_texts
from tests.desk.desks import demo_lab
from tests.desk.labs import lab_with
from tests.desk.seen_of_setup import everything, letters
from tests.desk.views_of_setup import (
    NO_WORD,
    Place,
    ahead,
    asking,
    by_service,
    dates,
    disinfectant,
    impressions,
    label_of_parcel,
    menu_of_shades,
    of_route,
    on_letter,
    on_ticket,
    open_days,
    parted,
    seen_again,
    typed_material,
    typed_type,
    usual,
)

OWN_RULES = (
    Requirement.model_validate(
        {
            "id": "of-our-own",
            "level": "asks",
            "types": "every",
            "satisfied_by": [{"prescribed": "practice"}, {"prescribed": "arch"}],
            "question": "Who, and which arch?",
            "because": "We ask.",
        }
    ),
    Requirement.model_validate(
        {
            "id": "another-of-our-own",
            "level": "warns",
            "types": "case",
            "when": [{"under_18": True}],
            "question": "Ask {practice} about {earliest} and {question}.",
            "because": "We wonder.",
        }
    ),
)


@cache
def the_lab() -> Lab:
    """The demo's setup with an entry in every list, and rules that use what the shipped ones do not."""
    lab = demo_lab()
    deadlines = lab.deadlines.model_copy(update={"services": (Service(name="Island post", transit_days=3),)})
    calendar = lab.calendar.model_copy(update={"worked": (date(2026, 12, 19),)})
    hand_over = HandOverRules(ahead_days=2)
    languages = {"de": Language(name="Deutsch", phrases={"Reply slip": "Antwortbogen"})}
    rules = (*lab.rules, *OWN_RULES)
    return lab_with(lab, deadlines=deadlines, calendar=calendar, hand_over=hand_over, rules=rules, languages=languages)


def leaves(value: object, place: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], object]]:
    """Everything that the setup says, each with its place; a list without entries counts as one thing."""
    if isinstance(value, Frozen):
        for name in type(value).model_fields:
            yield from leaves(getattr(value, name), (*place, name))
    elif isinstance(value, dict):
        for name, part in value.items():
            yield from leaves(part, (*place, name))
    elif isinstance(value, tuple) and value:
        for at, part in enumerate(value):
            yield from leaves(part, (*place, at))
    else:
        yield place, value


def general(place: tuple[Any, ...]) -> str:
    """A place without its numbers: `categories[].box.hex`."""
    return re.sub(r"\.\[", "[", ".".join("[]" if isinstance(part, int) else str(part) for part in place))


# What is seen of each text.

UNSEEN = {
    ("words", "form", "none"): "read, not printed: tests/desk/test_languages.py sees it",
    ("words", "ticket", "front"): "needs scans of both arches: tests/desk/test_ticket_pictures.py changes and sees it",
}


def test_every_text_that_is_changed_is_seen():
    lab, marks, changes = the_lab(), {}, {}
    for text in texts_of(lab):
        if text.part == "answers" or text.place[0] == NAME_OF_RULE or text.place in UNSEEN:
            continue
        lines = []
        for at, line in enumerate(text.lines):
            mark = f"Qz{len(marks):03d}"
            marks[mark] = (*text.place, at)
            lines.append(f"{line} {mark}")
        changes[text.place] = lines[0] if isinstance(text.words, str) else tuple(lines)
    for seen in everything(with_texts(lab, changes)):
        for mark in [mark for mark in marks if mark in seen]:
            del marks[mark]
    assert sorted(marks.values(), key=str) == []


def offered(lab: Lab) -> set[str]:
    """What the slips of the letters offer to tick."""
    cases = [case for letter in letters(lab) for case in letter.cases]
    return {answer for case in cases for each in case.questions for answer in each.answers}


NOT_OFFERED = {
    "yes, the same patient": "the shipped rule cannot be waived: the desk puts the name right itself",
    "no: telephone us": "it answers nothing",
    **dict.fromkeys(("mm", "inches", "cm", "m"), "a unit is chosen at the desk, on the picture of the scan"),
    "a new impression is coming": "it does not say by which way, as a promise has to",
}
"""Answers of the shipped setup that no slip offers, since they cannot be taken as answers when it comes back."""


def test_every_answer_to_tick_comes_from_the_setup():
    lab = the_lab()
    own = {answer for answers in lab.letter.answers.values() for answer in answers}
    assert offered(lab) == own - set(NOT_OFFERED)
    other = {requirement: tuple(f" {each}" for each in answers) for requirement, answers in lab.letter.answers.items()}
    changed = lab_with(lab, letter=lab.letter.model_copy(update={"answers": other}))
    assert offered(changed) == {f" {answer}" for answer in own - set(NOT_OFFERED)}
    assert offered(lab_with(lab, letter=lab.letter.model_copy(update={"answers": {}}))) == set()


SEEN: dict[str, tuple[Callable[[Any], Any], Callable[[Lab, Place], object]]] = {
    **dict.fromkeys(("name", "address[]", "postcode", "telephone", "email"), (lambda words: f"{words}9", on_letter)),
    "calendar.weekdays[]": (lambda day: 6, open_days),
    "calendar.closures[].first": (lambda day: day - timedelta(days=1), open_days),
    "calendar.closures[].last": (lambda day: day + timedelta(days=1), open_days),
    "calendar.closures[].name": (lambda name: f"{name}!", open_days),
    "calendar.worked[]": (lambda day: day + timedelta(days=1), open_days),
    "calendar.subdivision": (lambda part: "SCT", open_days),
    "calendar.cut_off": (lambda hour: time(7, 0), dates),
    "deadlines.days_before": (lambda days: days + 1, dates),
    "deadlines.transit_days": (lambda days: days + 1, dates),
    "deadlines.slack_days": (lambda days: days + 3, dates),
    "deadlines.delivery_weekdays[]": (lambda day: 6, dates),
    "deadlines.reply_hour": (lambda hour: time(9, 0), dates),
    "deadlines.services[].name": (lambda name: f"{name}!", by_service),
    "deadlines.services[].transit_days": (lambda days: days + 1, by_service),
    "deadlines.services[].weekdays[]": (lambda day: 6, by_service),
    "categories[].name": (lambda name: f"{name}!", on_ticket),
    "categories[].box.colour": (lambda name: f"{name}!", on_ticket),
    "categories[].box.hex": (lambda colour: "#123456", on_ticket),
    "categories[].route[].bench": (lambda name: f"{name}!", on_ticket),
    "categories[].route[].days": (lambda days: days + 1, of_route),
    "types[].words[]": (lambda words: NO_WORD, typed_type),
    "types[].usual.thickness_mm": (lambda text: "1.25", usual),
    "types[].usual.bite_opening_mm": (lambda text: "1.25", usual),
    "types[].usual.material": (lambda text: NO_WORD, usual),
    "materials[].words[]": (lambda words: NO_WORD, typed_material),
    "materials[].usual_hours": (lambda hours: hours / 2, impressions),
    "materials[].limit_hours": (lambda hours: hours + 1, impressions),
    "materials[].not_before_hours": (lambda hours: hours + 1, impressions),
    "materials[].keep": (lambda words: f"{words}!", impressions),
    "shades[]": (lambda shade: "Q9", menu_of_shades),
    "parcels.carriers[].service": (lambda name: f"{name}!", label_of_parcel),
    "parcels.again_months": (lambda months: months + 1, seen_again),
    "parcels.agents[].name": (lambda name: f"{name}!", disinfectant),
    "parcels.agents[].minutes": (lambda minutes: minutes + 1, disinfectant),
    "ringing.letter_days": (lambda days: days + 1, asking),
    "ringing.promise_days": (lambda days: days + 1, asking),
    "ringing.confirm_within_days": (lambda days: days + 1, asking),
    "ringing.write_hours_before": (lambda hours: hours + 1, asking),
    "ringing.review_months": (lambda months: months + 1, asking),
    "hand_over.ahead_days": (lambda days: days + 1, ahead),
    "scans.partner_days": (lambda days: days + 1, parted),
}
"""How a value is changed, and what shows it."""
ELSEWHERE = {
    "format": "it says what file this is",
    "logo": "a picture: tests/documents/test_letter.py",
    "notation": "how teeth are read: tests/domain/test_teeth.py",
    "calendar.zone": "a place: tests/standards/test_clock_changes.py",
    "calendar.country": "a place: tests/domain/test_bank_holidays.py",
    "ticket.": "how a ticket is set, and its queue: tests/documents/test_ticket.py",
    "letter.window": "an envelope: tests/documents/test_letter.py",
    "letter.first": "when a question is written: tests/domain/test_letters_due.py",
    "letter.queue": "a printer",
    "letter.answers": "answers, which have a test of their own above",
    "ringing.again_minutes": "when to ring: tests/domain/test_ringing.py",
    "ringing.engaged_minutes": "when to ring: tests/domain/test_ringing.py",
    "ringing.message_minutes": "when to ring: tests/domain/test_ringing.py",
    "ringing.least_minutes": "when to ring: tests/domain/test_ringing.py",
    "ringing.tries_before_writing": "when to write: tests/domain/test_letters_due.py",
    "ringing.lab_hours": "when to ring: tests/domain/test_ringing.py",
    "ringing.usual_hours": "when to ring: tests/domain/test_opening_hours.py",
    "mail.": "a server: tests/outbox",
    "mailbox.": "a server: tests/inbox",
    "parcels.carriers[].pattern": "how a label is told: tests/domain/test_parcel_labels.py",
    "hand_over.disinfected": "whether, not how long: tests/domain/test_handing_over.py",
    "load.": "whether, not how long: tests/domain/test_scheduling.py",
    "boxes.": "numbers of boxes: tests/desk/test_boxes.py",
    "people.": "how people sign in: tests/desk/test_people.py",
    "scans.labels": "how the lines of a message begin, which is read: tests/inbox",
    "scans.": "how scans are measured and found: tests/inbox/mesh, tests/domain/test_scan_judging.py",
    "categories[].id": "never printed",
    "benches[].": "what a bench can, by the name that the routes have: tests/domain/test_bench_load.py",
    "types[].": "which type goes where and what it asks: tests/domain/test_findings.py",
    "materials[].id": "never printed",
    "materials[].water_based": "whether, not how long: tests/domain/test_hygiene.py",
    "rules[].": "what a rule is about, level by level: tests/domain/test_findings.py, test_rules_in_force.py",
    "words.work.small_names": "a way of writing: tests/domain/test_languages.py",
    "languages": "other languages: tests/desk/test_languages.py",
}
"""Why a field, or all of a kind that no test here changes, is no text, colour, number of days or route that is seen."""


def changed(lab: Lab, place: Place, value: object) -> Lab:
    """The setup with another value at a place; nothing that was worked out before is kept."""
    return with_texts(lab, {place: value})  # type: ignore[dict-item]


@pytest.mark.parametrize("what", SEEN)
def test_every_colour_number_of_days_and_route_that_is_changed_is_seen(what: str) -> None:
    change, shown = SEEN[what]
    lab = the_lab()
    found = [(place, value) for place, value in leaves(lab) if general(place) == what]
    assert found
    unseen = [place for place, value in found if shown(changed(lab, place, change(value)), place) == shown(lab, place)]
    assert unseen == []


def test_nothing_of_the_setup_is_left_out() -> None:
    lab = the_lab()
    texts = {text.place for text in texts_of(lab)}
    left = set()
    for place, _ in leaves(lab):
        name = general(place)
        known = place in texts or place[:-1] in texts or name in SEEN
        if not known and not any(name == each or name.startswith(each) for each in ELSEWHERE):
            left.add(name)
    assert left == set()


def test_what_is_said_to_be_seen_elsewhere_is_in_the_setup() -> None:
    names = {general(place) for place, _ in leaves(the_lab())}
    assert [each for each in ELSEWHERE if not any(name.startswith(each) for name in names)] == []
