"""What a lab setup says that cannot hold together, although each of its lines is in order."""

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator
from datetime import datetime
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple, TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from intake.domain.answer_fields import Context, read_field
from intake.domain.form_appliances import option_place
from intake.domain.form_fields import FormWrong
from intake.domain.lab import LETTER_PLACEHOLDERS, Lab
from intake.domain.languages import odd_phrases
from intake.domain.placeholders import odd_placeholders
from intake.domain.practice import read_span
from intake.domain.rule_contradictions import contradictions_of
from intake.domain.rulebook import PLACEHOLDERS
from intake.domain.texts import texts_of

if TYPE_CHECKING:
    from intake.setup.editing import Place

T = TypeVar("T", bound=Hashable)


class Odd(NamedTuple):
    """One thing that cannot be: where in the file, and a sentence without its full stop."""

    place: "Place"
    what: str


def contradictions(lab: Lab) -> Iterator[str]:
    """What a setup says that cannot hold together, a sentence each."""
    return (odd.what for odd in oddities(lab))


def oddities(lab: Lab) -> Iterator[Odd]:
    """What a setup says that cannot hold together, each with its place."""
    yield from _doubles(lab)
    yield from _strangers(lab)
    yield from _usual(lab)
    yield from _benches(lab)
    yield from _calendar(lab)
    yield from _ringing(lab)
    yield from _parcels(lab)
    yield from _texts(lab)


def overlap(stretches: Iterable[str]) -> str:
    """Why stretches of a day cannot stand together; empty where they can."""
    spans = sorted(read_span(text) for text in stretches)
    for (_, closes), (opens, _) in pairwise(spans):
        if opens < closes:
            return f"two stretches overlap at {opens:%H:%M}"
    return ""


def zone_known(zone: str) -> bool:
    """Whether there is a time zone of that name."""
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def twice(names: Iterable[T]) -> dict[T, int]:
    """What stands more than once, each with the position at which it stands again."""
    first: set[T] = set()
    again: dict[T, int] = {}
    for at, name in enumerate(names):
        if name in first:
            again.setdefault(name, at)
        first.add(name)
    return again


def _doubles(lab: Lab) -> Iterator[Odd]:
    places: dict[str, tuple[Place, list[str]]] = {
        "categories": (("categories",), [category.id for category in lab.categories]),
        "appliance types": (("types",), [kind.id for kind in lab.types]),
        "impression materials": (("materials",), [material.id for material in lab.materials]),
        "disinfectants": (("parcels", "agents"), [agent.name.casefold() for agent in lab.parcels.agents]),
        "carriers' services": (("deadlines", "services"), [each.name.casefold() for each in lab.deadlines.services]),
        "boxes": (("categories",), [category.box.colour.casefold() for category in lab.categories]),
    }
    for what, (place, ids) in places.items():
        for name, at in twice(ids).items():
            yield Odd((*place, at, *(("box",) if what == "boxes" else ())), f"{what}: “{name}” stands twice")


def _strangers(lab: Lab) -> Iterator[Odd]:
    """What names something that is not there, or has nothing where something has to be."""
    for at, kind in enumerate(lab.types):
        if kind.category not in lab.category_by_id:
            said = f"appliance type “{kind.id}”: there is no category “{kind.category}”"
            yield Odd(("types", at, "category"), said)
    for at, category in enumerate(lab.categories):
        if not category.route:
            yield Odd(("categories", at, "route"), f"category “{category.id}”: its route has no bench")
    for at, requirement in enumerate(lab.rules):
        if not isinstance(requirement.types, str):
            for unknown in sorted(set(requirement.types) - set(lab.type_by_id)):
                said = f"rule “{requirement.id}”: there is no appliance type “{unknown}”"
                yield Odd(("rules", at, "types"), said)
    for unknown in sorted(set(lab.letter.answers) - {requirement.id for requirement in lab.rules}):
        said = f"letter.answers: the rule book has no requirement “{unknown}”"
        yield Odd(("letter", "answers", unknown), said)


def _usual(lab: Lab) -> Iterator[Odd]:
    """What stands as the lab's usual and could not be typed as an answer."""
    context = Context(lab, None, datetime.min)
    for at, kind in enumerate(lab.types):
        for name, text in kind.usual.items():
            place = ("types", at, "usual", name)
            if name not in kind.asks:
                yield Odd(place, f"appliance type “{kind.id}”: its usual has {name}, which it does not ask for")
                continue
            try:
                read_field(option_place("appliances[0]", name), text, context)
            except FormWrong as problem:
                yield Odd(place, f"appliance type “{kind.id}”, usual {name}: {str(problem).rstrip('.')}")


def _benches(lab: Lab) -> Iterator[Odd]:
    """What of benches and boxes cannot be."""
    of_routes = dict.fromkeys(step.bench for category in lab.categories for step in category.route)
    names = [bench.name for bench in lab.benches]
    for name in dict.fromkeys(names):
        if name not in of_routes:
            said = f"bench “{name}”: no route goes there; the routes name {', '.join(of_routes)}"
            yield Odd(("benches", names.index(name)), said)
    for name, at in twice(names).items():
        yield Odd(("benches", at), f"benches: “{name}” stands twice")
    folded = Counter(name.casefold() for name in of_routes)
    for name in of_routes:
        if folded[name.casefold()] > 1:
            said = f"routes: “{name}” is written with other capitals too; write every bench in one way"
            yield Odd(_step_of(lab, name), said)
    if lab.boxes is not None and lab.boxes.first > lab.boxes.last:
        yield Odd(("boxes", "first"), f"boxes: the first, {lab.boxes.first}, is more than the last, {lab.boxes.last}")


def _step_of(lab: Lab, bench: str) -> "Place":
    """The first step of a route that names a bench."""
    return next(
        ("categories", at, "route", number, "bench")
        for at, category in enumerate(lab.categories)
        for number, step in enumerate(category.route)
        if step.bench == bench
    )


def _calendar(lab: Lab) -> Iterator[Odd]:
    weekdays: dict[str, tuple[Place, tuple[int, ...]]] = {
        "calendar.weekdays": (("calendar", "weekdays"), lab.calendar.weekdays),
        "deadlines.delivery_weekdays": (("deadlines", "delivery_weekdays"), lab.deadlines.delivery_weekdays),
        **{
            f"carrier's service “{each.name}”": (("deadlines", "services", at), each.weekdays)
            for at, each in enumerate(lab.deadlines.services)
        },
    }
    for name, (place, days) in weekdays.items():
        if not days:
            yield Odd(place, f"{name}: at least one weekday is needed, Monday is 0")
    for at, closure in enumerate(lab.calendar.closures):
        if closure.last < closure.first:
            said = f"closure “{closure.name}”: its last day, {closure.last}, is before its first, {closure.first}"
            yield Odd(("calendar", "closures", at), said)
    for at, material in enumerate(lab.materials):
        if material.limit_hours < material.usual_hours:
            said = f"impression material “{material.id}”: its limit is shorter than its usual time"
            yield Odd(("materials", at, "limit_hours"), said)
    if not zone_known(lab.calendar.zone):
        said = f"calendar.zone: there is no time zone “{lab.calendar.zone}”; write it as Europe/London"
        yield Odd(("calendar", "zone"), said)


def _ringing(lab: Lab) -> Iterator[Odd]:
    """What of ringing and mail cannot be."""
    for name in ("lab_hours", "usual_hours"):
        stretches: tuple[str, ...] = getattr(lab.ringing, name)
        if problem := overlap(stretches):
            yield Odd(("ringing", name), f"ringing.{name}: {problem}")
        if not stretches:
            said = f"ringing.{name}: at least one stretch of the day is needed, such as 09:00-13:00"
            yield Odd(("ringing", name), said)
    if lab.mail.server and "@" not in (lab.mail.sender or lab.email):
        said = "mail.server: mails need an address that they are sent from; give mail.sender, or the laboratory’s email"
        yield Odd(("mail", "server"), said)


def _parcels(lab: Lab) -> Iterator[Odd]:
    """What of opening parcels cannot be."""
    if not lab.parcels.sharps:
        said = "parcels.sharps: at least one step is needed for what is sharp or dangerous"
        yield Odd(("parcels", "sharps"), said)


def _texts(lab: Lab) -> Iterator[Odd]:
    for at, rule in enumerate(lab.rules):
        for problem in contradictions_of(rule):
            yield Odd(("rules", at), f"rule “{rule.id}”: {problem}")
        for name in ("question", "because"):
            for problem in odd_placeholders(getattr(rule, name), PLACEHOLDERS):
                yield Odd(("rules", at, name), f"rule “{rule.id}”: {problem}")
    for name, known in LETTER_PLACEHOLDERS.items():
        for problem in odd_placeholders(getattr(lab.letter, name), known):
            yield Odd(("letter", name), f"letter.{name}: {problem}")
    for words in texts_of(lab):
        if words.part == "words" and isinstance(words.words, str):
            named = ".".join(map(str, words.place))
            for problem in odd_placeholders(words.words, words.known):
                yield Odd(words.place, f"{named}: {problem}")
    for problem in odd_phrases(lab):
        yield Odd(("languages",), problem)
