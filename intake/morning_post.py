"""The demo's morning post: invented parcels are opened, and what lies in them is booked in."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from intake.desk.book_in import book
from intake.desk.desk import Desk
from intake.desk.hygiene import disinfect
from intake.desk.incidents import stop
from intake.desk.parcels import NewContent, NewParcel, Opened, open_parcel, parcel_card, refuse
from intake.domain.case import Case
from intake.domain.form import read_form
from intake.domain.job_number import read_number
from intake.domain.reading import read_case
from intake.resources import demo


@dataclass
class Post:
    """What became of the post: in lines for the summary, and the documents that wait to be printed."""

    said: list[str] = field(default_factory=list)
    documents: list[int] = field(default_factory=list)


def parcels() -> tuple[Mapping[str, Any], ...]:
    """The parcels in the order in which they are opened."""
    return tuple(tomllib.loads(demo("parcels.toml").read_text(encoding="utf-8"))["parcels"])


def open_one(desk: Desk, told: Mapping[str, Any], booked: bool = True) -> Post:
    """Opens one parcel at the desk and does what it asks for; books its cases in, unless they are to wait."""
    contents = told.get("contents", ())
    opened = open_parcel(
        desk,
        NewParcel(
            label=told.get("label", ""),
            way=told.get("way", "post"),
            practice=told["practice"],
            hygiene=told["hygiene"],
            seen=tuple(told["seen"]),
            note=told.get("note", ""),
            accepted_by=told.get("accepted_by", ""),
            contents=tuple(_content(each) for each in contents),
        ),
    )
    post = Post()
    if "disinfected" in told:
        disinfect(desk, **told["disinfected"], parcel_id=opened.parcel_id)
    if "stopped" in told:
        stop(desk, opened.parcel_id, **told["stopped"])
    if "refused" in told:
        post.documents.append(refuse(desk, opened.parcel_id, told["refused"]))
    if booked:
        for numbers, tickets in _book(desk, opened, contents):
            post.said.append(f"  Booked in as {numbers}.")
            post.documents += tickets
    card = parcel_card(desk, opened.parcel_id)
    post.said.insert(0, f"Parcel {card.parcel_id} from {card.practice}: {card.says}")
    return post


def _content(told: Mapping[str, str]) -> NewContent:
    return NewContent(**{name: text for name, text in told.items() if name != "file"})  # type: ignore[arg-type]


def _book(desk: Desk, opened: Opened, contents: tuple[Mapping[str, str], ...]) -> Iterator[tuple[str, tuple[int, ...]]]:
    """Books what the prescriptions in the bags say, with what the desk said of the parcel."""
    files = [each["file"] for each in contents if each["kind"] in ("case", "part", "repair") and "file" in each]
    for arrival_id, name in zip(opened.arrivals, files, strict=False):
        prescribed = read_case((demo("parcels") / name).read_bytes(), desk.lab, desk.practices())
        case = with_the_parcels_facts(desk, arrival_id, prescribed)
        done = book(desk, case, token=f"parcel-{arrival_id}", arrival_id=arrival_id)
        yield ", ".join(read_number(job.number).shown for job in done.jobs), done.tickets


def with_the_parcels_facts(desk: Desk, arrival_id: int, prescribed: Case) -> Case:
    """The prescription with what was entered when the parcel was opened, as the form has both."""
    row = desk.store.read.arrival(arrival_id)
    assert row is not None, "the parcel has just been opened"
    kept = Case.model_validate(row.prescription["kept"])
    known = read_form(row.prescription["typed"], desk.lab, desk.practices(), desk.now(), kept).case
    patient = prescribed.patient.model_copy(update={"found": known.patient.found})
    told = {"patient": patient, "hygiene": known.hygiene, "arrived": known.arrived, "condition": known.condition}
    return prescribed.model_copy(update=told)
