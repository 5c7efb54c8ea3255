"""Who is at the desk: people are entered and changed, sign in by a PIN, and some deeds are for leads only.

Nobody has to sign in as long as nobody has a PIN. The first with one has to be a lead, and a lead always stays, so that
nobody is shut out of the setup.
"""

import re
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

from intake.desk.desk import Desk
from intake.domain.people import LeadDeed, Person, Role
from intake.domain.written_dates import shown_moment
from intake.errors import IntakeError
from intake.store.setup_rows import PersonRow

LEAST_DIGITS, MOST_DIGITS = 4, 12
_DEEDS: dict[LeadDeed, str] = {
    "setup": "put a setup in force",
    "people": "change who is at the desk",
    "import": "take a directory in",
    "merge": "merge practices",
}


class NotForYou(IntakeError):
    """Only a lead may do that."""


class PersonWrong(IntakeError):
    """What was said of a person cannot be."""


class PinWrong(IntakeError):
    """A PIN was not taken."""


def people(desk: Desk) -> tuple[Person, ...]:
    """Everybody who is or was at the desks, by initials."""
    return tuple(map(_person, desk.store.read.people()))


def with_people(desk: Desk) -> Desk:
    """The desk, knowing who works at it."""
    return replace(desk, people=people(desk))


def signs_in(desk: Desk) -> bool:
    """Whether whoever is at the desk has to sign in."""
    return any(person.active and person.has_pin for person in desk.people)


def may(desk: Desk, deed: LeadDeed) -> bool:
    """Whether whoever is at the desk may do something that can be kept to leads."""
    if not signs_in(desk) or deed not in desk.lab.people.lead_only:
        return True
    leads = (person.initials for person in desk.people if person.role == "lead" and person.active)
    return desk.signed_in and desk.person in leads


def only_leads(desk: Desk, deed: LeadDeed) -> None:
    """Raises NotForYou where whoever is at the desk may not do it."""
    if not may(desk, deed):
        raise NotForYou(f"Only a lead may {_DEEDS[deed]}. Ask one to sign in.")


def enter_person(desk: Desk, initials: str, name: str, role: Role) -> Person:
    """Enters somebody new, who chooses a PIN next.

    Raises:
        PersonWrong: the initials or the name cannot be.
        NotNow: somebody has or had these initials.
        NotForYou: only a lead may.
    """
    only_leads(desk, "people")
    plain = _initials(initials)
    if not name.strip():
        raise PersonWrong("Give the name beside the initials.")
    with desk.work() as work:
        work.people.enter(plain, name.strip(), role)
        work.commit()
    return _known(desk, plain)


def change_person(desk: Desk, initials: str, name: str, role: Role, active: bool) -> Person:
    """Changes the name, the role, or whether somebody still works here.

    Raises:
        PersonWrong: the name is empty, or no lead would be left.
        NotThere: nobody has these initials.
        NotForYou: only a lead may.
    """
    only_leads(desk, "people")
    if not name.strip():
        raise PersonWrong("Give the name beside the initials.")
    with desk.work() as work:
        work.people.change(initials, name=name.strip(), role=role, active=active)
        _a_lead_stays(desk, initials, role, active)
        work.commit()
    return _known(desk, initials)


def set_pin(desk: Desk, initials: str, pin: str, again: str) -> Person:
    """Gives somebody a new PIN: one's own, or as a lead anybody's.

    Raises:
        PinWrong: it is too short or too easy, or not typed twice the same.
        NotForYou: it is another's PIN, and only a lead may.
        PersonWrong: the first PIN has to be a lead's.
    """
    if not (desk.signed_in and initials == desk.person):
        only_leads(desk, "people")
    _sound(pin, again)
    row = _row(desk, initials)
    if row.role != "lead" and not signs_in(with_people(desk)):
        raise PersonWrong("The first PIN has to be a lead’s: else nobody could change the setup any more.")
    from argon2 import PasswordHasher

    hashed = PasswordHasher().hash(pin)  # argon2id with the library's parameters, which are RFC 9106's second choice
    with desk.work() as work:
        work.people.set_pin(initials, hashed)
        work.commit()
    return _known(desk, initials)


def take_pin(desk: Desk, initials: str) -> Person:
    """Takes somebody's PIN, so that they cannot sign in until they have a new one.

    Raises:
        NotForYou: only a lead may.
        PersonWrong: no lead could sign in any more, though others could.
    """
    only_leads(desk, "people")
    row = _row(desk, initials)
    with desk.work() as work:
        work.people.set_pin(initials, None)
        _a_lead_stays(desk, initials, row.role, active=False)
        work.commit()
    return _known(desk, initials)


def sign_in(desk: Desk, initials: str, pin: str) -> Desk:
    """The desk with somebody else at it.

    Raises:
        PinWrong: there is nobody with these initials and this PIN, or no PIN is taken for a while.
    """
    plain = initials.strip().upper()
    row = desk.store.read.person(plain)
    if row is None or not row.active or row.pin is None:
        raise PinWrong(f"Nobody with the initials {plain} can sign in here.")
    now = desk.now()
    if row.closed_until is not None and now < row.closed_until:
        raise PinWrong(f"Too many wrong PINs. Try again from {shown_moment(row.closed_until)}, or ask a lead.")
    if not _fits(row.pin, pin):
        raise PinWrong(_counted(desk, row))
    with desk.work() as work:
        work.people.right_pin(plain)
        work.commit()
    return replace(with_people(desk), person=plain, signed_in=True)


def _counted(desk: Desk, row: PersonRow) -> str:
    """Counts a wrong PIN, and says what comes of it."""
    rules = desk.lab.people
    left = rules.tries - row.wrong - 1
    until = desk.now() + timedelta(minutes=rules.wait_minutes) if left <= 0 else None
    with desk.store.work(row.initials, desk.now()) as work:
        work.people.wrong_pin(row.initials, until)
        work.commit()
    if until is not None:
        return f"This is not the PIN of {row.initials}. No PIN of theirs is taken until {shown_moment(until)}."
    return f"This is not the PIN of {row.initials}. {left} {'try is' if left == 1 else 'tries are'} left."


def _fits(hashed: str, pin: str) -> bool:
    from argon2 import PasswordHasher
    from argon2.exceptions import VerificationError

    try:
        return bool(PasswordHasher().verify(hashed, pin))
    except VerificationError:
        return False


def _sound(pin: str, again: str) -> None:
    if not re.fullmatch(r"[0-9]+", pin) or not LEAST_DIGITS <= len(pin) <= MOST_DIGITS:
        raise PinWrong(f"A PIN has {LEAST_DIGITS} to {MOST_DIGITS} digits.")
    if pin != again:
        raise PinWrong("The two are not the same. Type the PIN twice.")
    steps = {int(later) - int(earlier) for earlier, later in pairwise(pin)}
    if steps in ({0}, {1}, {-1}):
        raise PinWrong("This PIN is guessed first. Choose another.")


def _initials(typed: str) -> str:
    plain = typed.strip().upper()
    if not re.fullmatch(r"[^\W_]{1,4}", plain):
        raise PersonWrong("Initials are one to four letters or digits.")
    return plain


def _a_lead_stays(desk: Desk, changed: str, role: Role, active: bool) -> None:
    """Raises PersonWrong where a change leaves people who sign in, and no lead among them."""
    others = [row for row in desk.store.read.people() if row.initials != changed and row.active and row.pin]
    mine = desk.store.read.person(changed)
    mine_signs_in = active and mine is not None and mine.pin is not None
    if (others or mine_signs_in) and not (
        any(row.role == "lead" for row in others) or (mine_signs_in and role == "lead")
    ):
        raise PersonWrong("A lead with a PIN has to stay: else nobody could change the setup any more.")


def _row(desk: Desk, initials: str) -> PersonRow:
    row = desk.store.read.person(initials)
    if row is None:
        raise PersonWrong(f"Nobody here has the initials {initials}.")
    return row


def _known(desk: Desk, initials: str) -> Person:
    return _person(_row(desk, initials))


def _person(row: PersonRow) -> Person:
    return Person(row.initials, row.name, row.role, row.active, row.pin is not None)
