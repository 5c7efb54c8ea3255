"""Merges two cases that are the same, and takes them apart again while nobody changed the one that stands."""

from dataclasses import dataclass

from intake.desk.amending import bring_in_line
from intake.desk.book_in import Booked
from intake.desk.desk import Desk
from intake.desk.field_words import field_words, value_words
from intake.desk.linked import refuse_handed_over, shown_numbers, standing_case
from intake.desk.scan_looks import scans_with
from intake.domain.case import Case
from intake.domain.lab import Lab
from intake.domain.merging import Differs, merged
from intake.domain.raised import with_raised
from intake.domain.wording import capital, in_sentence, item_words, listed
from intake.errors import IntakeError
from intake.store.question_moving import Exchanged
from intake.store.rows import CaseRow

_WORDS = {
    "practice": "the practice",
    "prescriber": "the prescriber",
    "patient": "what is said of the patient",
    "hygiene": "what is said of its disinfection",
    "appointment": "the appointment",
    "posted": "the day of posting",
    "notes": "the notes",
    "waived": "what the prescriber waived",
    "spoken": "what was agreed by word of mouth",
    "condition": "the state of its parcel",
    "raised": "its raised questions",
    "arches": "how its scans stand",
}


class CannotMerge(IntakeError):
    """Two cases that cannot be merged."""


@dataclass(frozen=True)
class Difference:
    """What both cases say, and not the same, in words."""

    field: str
    stays: str
    theirs: str

    @property
    def said(self) -> str:
        """In a sentence, such as `Thickness of appliance 1: 2 mm stays, the other said 3 mm`."""
        return f"{capital(self.field)}: {self.stays} stays, the other said {self.theirs}."


@dataclass(frozen=True)
class MergeLook:
    """What comes of merging two cases, before it is done."""

    stands: CaseRow
    other: CaseRow
    case: Case
    """The case as it shall be."""
    differs: tuple[Difference, ...]
    taken: tuple[str, ...]
    """What the standing one gets, in words."""
    places: tuple[tuple[int, int], ...]
    """Where each appliance of the other is then."""


@dataclass(frozen=True)
class MergedCases:
    """Two cases that were merged."""

    stands: Booked
    other_id: int
    other_version: int
    before: Case
    """The standing one as it was."""
    link_id: int
    arrivals: tuple[int, ...]
    """The arrivals that were the other one's."""
    files: tuple[int, ...]
    """The files that were put to the standing one's scans."""
    files_from: int | None
    exchanged: tuple[Exchanged, ...]


def look_at_merge(desk: Desk, case_id: int, other_id: int) -> MergeLook:
    """What comes of merging a case into the one that stands; nothing is saved.

    Raises CannotMerge where they are one, or of two practices; NotThere and NotNow where one stands no more;
    AtTheBenches where a box of the other one is at the benches: then that one is to stand.
    """
    if case_id == other_id:
        raise CannotMerge("This is the same case. Choose the other one.")
    stands = standing_case(desk, case_id, "Nothing is merged with it.")
    other = standing_case(desk, other_id, "Nothing is merged with it.")
    refuse_handed_over(desk, other_id)
    both = merged(stands.case, other.case, desk.lab)
    case = both.case
    own, theirs = (desk.store.read.scan_arrival_of(each) for each in (case_id, other_id))
    if own is not None and theirs is not None:
        case = scans_with(desk, own, theirs).put_to(case)
    differs = tuple(_difference(each, desk.lab) for each in both.differs)
    return MergeLook(stands, other, case, differs, _taken(stands.case, case), tuple(sorted(both.places.items())))


def merge(desk: Desk, look: MergeLook, reason: str, asks: bool = False) -> MergedCases:
    """Merges two cases: the standing one gets what only the other has, the other is withdrawn with the link.

    The other's arrivals, and the questions that it has asked already, belong to the standing one from then on.

    Args:
        desk: The desk.
        look: What `look_at_merge` gave.
        reason: Why they are the same.
        asks: Whether the practice is to be asked about what both say and not the same.

    Raises:
        CannotMerge: the reason is missing.
        ChangedMeanwhile: one of them was changed since it was looked at.
    """
    if not reason.strip():
        raise CannotMerge("Say why they are the same: it stands in the history of both.")
    refuse_handed_over(desk, look.other.case_id)
    case_id, other_id, read = look.stands.case_id, look.other.case_id, desk.store.read
    question = _question(look) if asks and look.differs else ""
    case = with_raised(look.case, question, desk.person, desk.now()) if question else look.case
    own, theirs = read.scan_arrival_of(case_id), read.scan_arrival_of(other_id)
    with desk.work() as work:
        arrivals = tuple(row.arrival_id for row in read.arrivals_of_case(other_id))
        exchanged = work.links.exchange_questions(other_id, case_id, dict(look.places), whole_case=True)
        other_version = work.cases.withdraw(
            other_id, look.other.version, f"the same as {shown_numbers(desk, case_id)}: {reason.strip()}"
        )
        if question:
            work.moves.tell_question(case_id, question, "")
        why = "merged with another case that is the same"
        stands = bring_in_line(desk, work, case_id, look.stands.version, case, desk.practice_of(case), why=why)
        for arrival_id in arrivals:
            work.arrivals.booked(arrival_id, case_id)
        files = work.scans.move_files(theirs, own) if own is not None and theirs is not None else ()
        differs = [(each.field, each.stays, each.theirs) for each in look.differs]
        link_id = work.links.add("merged", other_id, case_id, reason.strip(), differs)
        work.commit()
    booked = Booked(case_id, stands.version, stands.jobs, stands.verdict, stands.tickets)
    before, files_from = look.stands.case, theirs if files else None
    return MergedCases(booked, other_id, other_version, before, link_id, arrivals, files, files_from, exchanged)


def take_apart(desk: Desk, done: MergedCases) -> tuple[Booked, tuple[int, ...]]:
    """Undoes `merge`: both stand as they did, each with its arrivals and numbers.

    Gives the one that stood, and the tickets that wait to be printed, of both.

    Raises:
        ChangedMeanwhile: one of the two was changed since.
    """
    case_id = done.stands.case_id
    with desk.work() as work:
        work.links.exchange_questions_back(done.exchanged)
        case = bring_in_line(
            desk,
            work,
            case_id,
            done.stands.version,
            done.before,
            desk.practice_of(done.before),
            why="what was merged with it is apart again",
        )
        work.cases.reinstate(done.other_id, done.other_version, "taken apart again")
        for arrival_id in done.arrivals:
            work.arrivals.booked(arrival_id, done.other_id)
        if done.files_from is not None:
            work.scans.move_back(done.files, done.files_from)
        work.links.take_back(done.link_id)
        work.commit()
    waiting = [row.document_id for row in desk.store.read.documents_waiting() if row.case_id == done.other_id]
    return Booked(case_id, case.version, case.jobs, case.verdict, case.tickets), (*case.tickets, *waiting)


def _difference(differs: Differs, lab: Lab) -> Difference:
    return Difference(
        field_words(differs.place), *(_value(differs.place, value, lab) for value in (differs.stays, differs.theirs))
    )


def _value(place: str, value: object, lab: Lab) -> str:
    kind = lab.type_by_id.get(str(value)) if place.endswith(".type") else None
    return in_sentence(kind.name) if kind is not None else value_words(place, value)


def _taken(before: Case, case: Case) -> tuple[str, ...]:
    """What a case has more than before, in words."""
    items = list(case.items)
    for item in before.items:
        if item in items:
            items.remove(item)
    told = [item_words(item) for item in items]
    more = len(case.appliances) - len(before.appliances)
    told += [f"{more} more to make"] if more else []
    if case.appliances[: len(before.appliances)] != before.appliances:
        told.append("what is said of its appliances")
    told += [words for field, words in _WORDS.items() if getattr(before, field) != getattr(case, field)]
    return tuple(told)


def _question(look: MergeLook) -> str:
    """The question that the two prescriptions raise; a patient is not named in it."""
    values = [
        each.field if "patient" in each.field else f"{each.field} ({each.stays} or {each.theirs})"
        for each in look.differs
    ]
    return f"Two prescriptions came for this patient, and they differ in {listed(values)}. Which holds?"
