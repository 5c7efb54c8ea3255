"""What of a parcel waits to be booked in: the form of each case in it, with the parcel's facts typed in already."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from intake.desk.desk import Desk
from intake.domain.appliance_phrases import appliance_words
from intake.domain.case import Appliance, Case, Item, Patient, SeenCondition
from intake.domain.form_fields import unquoted
from intake.domain.form_lines import line_place
from intake.domain.item_phrases import items_words
from intake.domain.parcels import ContentKind
from intake.domain.practice import Practice
from intake.domain.practice_search import folded, the_practice
from intake.domain.reading import find_practice
from intake.domain.written_dates import shown_day
from intake.store.parcel_rows import ParcelFacts
from intake.store.rows import ArrivalRow, NewArrival
from intake.store.work import Work

REPAIR = "repair"
"""The id of the appliance type that an appliance for repair is booked as, where the setup has it."""
_OF_PARCEL = ("practice", "hygiene")
"""The places of a form that a parcel's facts fill, and that a correction of them changes."""


def new_arrival(desk: Desk, facts: ParcelFacts, kind: ContentKind, found: str, arrived: datetime) -> NewArrival:
    """What is to be booked in of one thing in a parcel."""
    typed = _typed(facts) | {"arrived": f"{shown_day(arrived)} {arrived:%H:%M}"}
    typed |= {"patient.found": found.strip()} if found.strip() else {}
    typed |= _repair(desk) if kind == "repair" else {}
    return NewArrival(
        stream="post",
        arrived=arrived,
        practice=facts.practice_name,
        patient_label=found.strip(),
        prescription=_content(typed, Case(patient=Patient(found=found.strip() or None), condition=condition_of(facts))),
    )


def correct(desk: Desk, work: Work, arrivals: Sequence[ArrivalRow], before: ParcelFacts, after: ParcelFacts) -> None:
    """Gives what waits the corrected facts of its parcel, in a unit of work.

    Where the desk has typed something else meanwhile, that stays.
    """
    was, becomes = _typed(before), _typed(after)
    for row in arrivals:
        if row.state != "waiting" or "typed" not in row.prescription:
            continue
        typed = dict(row.prescription["typed"])
        for place in _OF_PARCEL:
            if typed.get(place, "") == was.get(place, ""):
                typed[place] = becomes.get(place, "")
        kept = Case.model_validate(row.prescription.get("kept") or {})
        if kept.condition in (None, condition_of(before)):
            kept = kept.model_copy(update={"condition": condition_of(after)})
        said = {place: text for place, text in typed.items() if text}
        content = dict(row.prescription) | _content(said, kept, row.prescription)
        practice = after.practice_name if row.practice == before.practice_name else row.practice
        work.arrivals.change(
            row.arrival_id,
            row.version,
            prescription=content,
            practice=practice,
            patient_label=row.patient_label,
            patient_reference=row.patient_reference,
            problem=row.problem,
        )


def practice_of_parcel(text: str, practices: Sequence[Practice]) -> tuple[str | None, str]:
    """The code and name of the practice that a parcel is said to be from; no code where it is not in the directory.

    A few letters will do where they fit one practice alone, as in the form; quotation marks are taken as written.
    """
    as_written = unquoted(text)
    if as_written is not None:
        return None, as_written
    named = [practice for practice in practices if folded(practice.name) == folded(text)]
    known = find_practice(text, practices) or (named[0] if len(named) == 1 else the_practice(text, practices))
    return (known.code, known.name) if known is not None else (None, text.strip())


def _typed(facts: ParcelFacts) -> dict[str, str]:
    """A parcel's facts in the words that the form reads: nothing known of disinfection is said as well."""
    typed = {
        "practice": facts.practice_code or facts.practice_name,
        "hygiene": "d" if facts.hygiene == "declared" else "?",
    }
    return {place: text for place, text in typed.items() if text}


def _repair(desk: Desk) -> dict[str, str]:
    """The line of an appliance for repair, and the appliance among what came."""
    items = items_words((Item(item="appliance"),), desk.lab)
    line = appliance_words(Appliance(type=REPAIR), desk.lab) if REPAIR in desk.lab.type_by_id else ""
    return {"items": items} | ({line_place(0): line} if line else {})


def condition_of(facts: ParcelFacts) -> SeenCondition:
    """What was seen of a parcel, as its cases keep it."""
    return SeenCondition(seen=facts.seen, note=facts.note, accepted_by=facts.accepted_by)


def _content(typed: Mapping[str, str], kept: Case, before: Mapping[str, object] | None = None) -> dict[str, object]:
    known = before or {}
    return {
        "typed": dict(typed),
        "kept": kept.model_dump(mode="json"),
        "case_id": known.get("case_id"),
        "version": known.get("version"),
    }
