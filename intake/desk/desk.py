"""The desk: one place at reception, with what it works with handed in."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from intake.desk.room_seen import RoomSeen
from intake.domain.bench_room import BenchRoom
from intake.domain.case import Case
from intake.domain.judging import judge
from intake.domain.lab import Lab
from intake.domain.people import Person
from intake.domain.practice import Practice
from intake.domain.reading import find_practice
from intake.domain.verdict import Verdict
from intake.inbox.scan_files import ScanFiles
from intake.outbox.mail import MailRoute
from intake.outbox.print_queue import PrintQueue
from intake.store.opening import Store
from intake.store.work import Work


@dataclass(frozen=True)
class Notice:
    """What is to be told when a desk is opened; `trouble` where something is wrong."""

    text: str
    trouble: bool = False


def _as_it_is(desk: "Desk") -> "Desk":
    return desk


@dataclass(frozen=True)
class Desk:
    """Everything a piece of desk work needs."""

    store: Store
    lab: Lab
    queue: PrintQueue
    now: Callable[[], datetime]
    """The lab's wall clock, without a time zone."""
    person: str
    """The initials of who is at the desk."""
    name: str = "desk"
    """Tells this desk from the others that share its store."""
    folder: Path | None = None
    """Where the setup and what belongs to it lie, such as the logo."""
    notices: tuple[Notice, ...] = ()
    mail: MailRoute | None = None
    """The lab's mail server; None where the setup names none."""
    mail_drafts: MailRoute | None = None
    """Where e-mails are written as drafts, to be sent from a mail program."""

    scan_store: ScanFiles | None = None
    """Where the files of deliveries lie."""

    edition: int | None = None
    """The edition of the lab setup that `lab` is; None where the setup is not kept in the store."""

    people: tuple[Person, ...] = ()
    """Who works at the desks, as it was read last."""

    signed_in: bool = False
    """Whether `person` has given a PIN."""

    fit: Callable[["Desk"], "Desk"] = field(default=_as_it_is, compare=False, repr=False)
    """Brings in line with another setup what was handed in with it: the clock's time zone, the mail server, queues."""

    room_seen: RoomSeen = field(default_factory=RoomSeen, compare=False, repr=False)
    """Which days the benches are full, as they were read last."""

    def with_setup(self, lab: Lab, edition: int | None) -> "Desk":
        """The desk with another setup in force."""
        return self.fit(replace(self, lab=lab, edition=edition, room_seen=RoomSeen()))

    @property
    def room(self) -> BenchRoom | None:
        """The room on the benches, read now and then; None where the setup's promise does not count it."""
        if not self.lab.load.promise:
            return None
        from intake.desk.load import room_of

        return self.room_seen.of(self.now(), lambda: room_of(self))

    @property
    def scan_files(self) -> ScanFiles:
        """The scan store of a desk that has one."""
        assert self.scan_store is not None, "this desk was opened without a scan store"
        return self.scan_store

    def practices(self) -> tuple[Practice, ...]:
        """The directory."""
        return tuple(row.practice for row in self.store.read.practices())

    def practice_of(self, case: Case) -> Practice | None:
        """The directory's entry of a case's practice, by its code in any case of letters."""
        if not isinstance(case.practice, str):
            return None
        # Nearly always the code stands as the directory writes it: then one entry is read instead of all.
        row = self.store.read.practice(case.practice)
        return row.practice if row else find_practice(case.practice, self.practices())

    def work(self) -> Work:
        """One act at this desk, now."""
        return self.store.work(self.person, self.now(), self.edition)

    def judge(self, case: Case, at: datetime | None = None) -> Verdict:
        """The verdict on a case, by the directory as it stands."""
        return judge(case, self.lab, self.practice_of(case), at or self.now(), room=self.room)
