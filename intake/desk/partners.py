"""What an arrival may belong to: another one that waits, or a held case that its scans settle. Only ever offered."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from intake.desk import expected
from intake.desk.answer_words import requirement_words
from intake.desk.arrivals import kept_case
from intake.desk.desk import Desk
from intake.desk.expected import Match, practice_key
from intake.domain.case import Case, NewPractice
from intake.domain.form import read_form
from intake.domain.job_number import read_number
from intake.domain.partners import Known, Likeness, appliance_names, likeness, scans_settle
from intake.domain.practice import Practice
from intake.domain.practice_search import folded
from intake.domain.wording import listed
from intake.domain.written_dates import short_day
from intake.store.rows import ArrivalRow, RingRow
from intake.store.scan_rows import FileRow

Files = dict[int, tuple[FileRow, ...]]


@dataclass(frozen=True)
class Partner:
    """An arrival, or a held case, that what is in the form may belong to."""

    kind: Literal["arrival", "case"]
    id: int
    version: int
    case: Case
    """The prescription there, as it was when it was offered."""
    why: str
    """Why it fits, in a few words."""
    said: str
    """The offer in a sentence."""


def offers(desk: Desk, case: Case, arrival_id: int | None = None) -> tuple[Match | Partner, ...]:
    """All that a case in the form may be put to: what waits for something promised first, then the likeliest partners.

    To a case that waits for what scans show, an arrival with scans is a partner, whether it was promised or not.
    """
    partners = partners_for(desk, case, arrival_id)
    promised = expected.expected_for(desk, case)
    if _has_scans(desk, arrival_id):
        found = {partner.id for partner in partners if partner.kind == "case"}
        return (*(_as_partner(match) for match in promised if match.case_id not in found), *partners)
    return (*promised, *partners)


def partners_for(desk: Desk, case: Case, arrival_id: int | None = None) -> tuple[Partner, ...]:
    """What may belong to a case that arrives, likeliest first.

    Args:
        desk: The desk.
        case: The case as far as it is known.
        arrival_id: The arrival that it comes with; without one, there are no scans of it.
    """
    files = desk.store.read.files_of([arrival_id]) if arrival_id is not None else {}
    row = desk.store.read.arrival(arrival_id) if arrival_id is not None else None
    mine = _known(desk, case, row.arrived.date() if row else _day(desk, case), files.get(arrival_id or 0, ()))
    found = _arrivals(desk, case, mine, arrival_id)
    if any(file.kind == "scan" for each in files.values() for file in each):
        found += _cases(desk, mine)
    return tuple(partner for _, partner in sorted(found, key=lambda each: (-each[0].score, each[1].kind, each[1].id)))


def waiting_case(desk: Desk, row: ArrivalRow, practices: tuple[Practice, ...]) -> Case:
    """What an arrival prescribes, as far as that can be read."""
    if "typed" in row.prescription:
        kept = kept_case(row.prescription)
        return read_form(row.prescription["typed"], desk.lab, practices, desk.now(), kept).case
    return Case.model_validate(row.prescription.get("case", {}))


def _arrivals(desk: Desk, case: Case, mine: Known, arrival_id: int | None) -> list[tuple[Likeness, Partner]]:
    practices, names = desk.practices(), _names(desk, case)
    rows = [row for row in desk.store.read.arrivals("waiting") if row.arrival_id != arrival_id]
    rows = [row for row in rows if folded(row.practice) in names]
    files = desk.store.read.files_of([row.arrival_id for row in rows])
    found = []
    for row in rows:
        # Most belong to others by what stands in the list: only the rest has its prescription read.
        if likeness(mine, _listed(row, mine, files), desk.lab.scans.partner_days) is None:
            continue
        theirs = waiting_case(desk, row, practices)
        known = _known(desk, theirs, row.arrived.date(), files.get(row.arrival_id, ()))
        alike = likeness(mine, known, desk.lab.scans.partner_days)
        if alike is not None:
            said = f"{_who(theirs, row.practice, row.source_name)} {_waits(mine, known)}: {alike.why}."
            found.append((alike, Partner("arrival", row.arrival_id, row.version, theirs, alike.why, said)))
    return found


def _cases(desk: Desk, mine: Known) -> list[tuple[Likeness, Partner]]:
    """The cases of the same practice that are held, or asked about, for what scans can show."""
    asked: dict[int, list[RingRow]] = {}
    for row in desk.store.read.ring_rows(mine.practice) if mine.practice else ():
        if scans_settle(row.requirement, desk.lab):
            asked.setdefault(row.case_id, []).append(row)
    found = []
    for case_id, case in desk.store.read.cases(asked).items():
        day, asked_words = _last_asked(asked[case_id])
        alike = likeness(mine, _known(desk, case.case, day), desk.lab.scans.partner_days)
        if alike is None:
            continue
        jobs = desk.store.read.jobs_of(case_id)
        numbers = [read_number(job.number).shown for job in jobs if job.state != "withdrawn"]
        wanted = dict.fromkeys(requirement_words(row.requirement).lower() for row in asked[case_id])
        why = f"{alike.same}, {asked_words}"
        said = f"{_who(case.case, case.practice_name)}, job {listed(numbers)}, waits for {listed(list(wanted))}: {why}."
        found.append((alike, Partner("case", case_id, case.version, case.case, why, said)))
    return found


def _known(desk: Desk, case: Case, arrived: date, files: Sequence[FileRow] = ()) -> Known:
    return Known(
        practice=practice_key(desk, case),
        label=case.patient.label or "",
        reference=case.patient.reference or "",
        appliances=appliance_names(case, desk.lab),
        arrived=arrived,
        has_scans=any(file.kind == "scan" for file in files) or any(item.item == "scan" for item in case.items),
        has_prescription=bool(case.appliances),
        names=tuple(file.name for file in files),
    )


def _listed(row: ArrivalRow, mine: Known, files: Files) -> Known:
    """An arrival by what stands of it in the list of what waits."""
    names = tuple(file.name for file in files.get(row.arrival_id, ()))
    practice = mine.practice if row.practice.strip() else ""
    who = row.patient_label, row.patient_reference
    return Known(practice, *who, (), row.arrived.date(), has_scans=False, has_prescription=False, names=names)


def _names(desk: Desk, case: Case) -> set[str]:
    """How the practice of a case may stand in the list of what waits; not at all where it is not named there."""
    known = desk.practice_of(case)
    named = case.practice.name if isinstance(case.practice, NewPractice) else case.practice or ""
    return {"", folded(known.name if known else named), folded(named)}


def _last_asked(rows: Sequence[RingRow]) -> tuple[date, str]:
    """The last day on which a case was asked for something, or on which what was promised can be here; in words too."""
    asked = max((row.letter_on or row.opened).date() for row in rows)
    promised = max((row.expected_on for row in rows if row.expected_on is not None), default=asked)
    return (
        (promised, f"promised for {short_day(promised)}")
        if promised > asked
        else (asked, f"asked on {short_day(asked)}")
    )


def _day(desk: Desk, case: Case) -> date:
    return (case.arrived or desk.now()).date()


def _who(case: Case, practice: str, source: str = "") -> str:
    unnamed = f"“{source}”" if source else "A patient without a label"
    patient = case.patient.label or case.patient.reference or unnamed
    return f"{patient} of {practice}" if practice.strip() else patient


def _waits(mine: Known, theirs: Known) -> str:
    """How an arrival waits: for what this one may be, or as it is."""
    if mine.has_scans and not theirs.has_scans:
        return "waits without a scan"
    if mine.has_prescription and not theirs.has_prescription:
        return "waits without a prescription"
    return "waits too"


def _has_scans(desk: Desk, arrival_id: int | None) -> bool:
    files = desk.store.read.files_of([arrival_id]) if arrival_id is not None else {}
    return any(file.kind == "scan" for rows in files.values() for file in rows)


def _as_partner(match: Match) -> Partner:
    return Partner("case", match.case_id, match.version, match.case, match.why, match.said)
