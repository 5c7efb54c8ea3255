"""Who speaks: a name, in what role and by which way, as the desk says it back."""

from collections.abc import Iterable

from intake.domain.answer import Authority, Route, Speaker

ROLES: dict[Authority, str] = {
    "prescriber": "the prescriber",
    "on-behalf": "for the prescriber",
    "team": "of the practice’s team",
}
WAYS: dict[Route, str] = {
    "telephone": "by telephone",
    "in-person": "in person",
    "e-mail": "by e-mail",
    "letter": "by letter",
    "reply-form": "on the reply form",
}


def role_of(name: str, prescribers: Iterable[str]) -> Authority:
    """The role that a name alone tells: the prescriber where it is one's, in full; else no more than the team's."""
    known = {_plain(each) for each in prescribers}
    return "prescriber" if _plain(name) and _plain(name) in known else "team"


def next_role(role: Authority) -> Authority:
    """The role after this one, round and round: team, for the prescriber, prescriber."""
    order: tuple[Authority, ...] = ("team", "on-behalf", "prescriber")
    return order[(order.index(role) + 1) % len(order)]


def next_way(way: Route) -> Route:
    """The way after this one, round and round, of those that the desk takes answers down by."""
    order: tuple[Route, ...] = ("telephone", "in-person", "e-mail", "letter")
    return order[(order.index(way) + 1) % len(order)] if way in order else order[0]


def speaker_words(speaker: Speaker) -> str:
    """Who speaks, in a sentence: `Ms Osterby, for the prescriber, by telephone.`; empty without a name."""
    name = speaker.name.strip()
    return f"{name}, {ROLES[speaker.authority]}, {WAYS[speaker.route]}." if name else ""


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace(".", " ").split())
