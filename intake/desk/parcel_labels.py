"""A parcel's label at the desk: what it is, whose service it is, and whether it was seen before."""

from dataclasses import dataclass
from datetime import datetime

from intake.desk.desk import Desk
from intake.domain import parcel_labels
from intake.domain.parcel_labels import NoLabel, label_text
from intake.domain.parcels import in_it
from intake.domain.wording import listed
from intake.domain.written_dates import shown_moment
from intake.store.parcel_rows import ContentRow, ParcelRow
from intake.store.words import LabelKind


@dataclass(frozen=True)
class LabelRead:
    """What a label says."""

    label: str
    """As it is kept: in capitals, without spaces; empty where there is none."""
    kind: LabelKind
    service: str
    """The carrier's service by the lab's patterns, else what the number itself says; empty where neither does."""
    wrong: str = ""
    """What is not right with it, such as its check digit; it is kept all the same."""


@dataclass(frozen=True)
class SeenBefore:
    """A parcel that had the same label, within the months in which a number is not given anew."""

    parcel_id: int
    at: datetime
    practice: str
    contents: tuple[str, ...]
    """What lay in it, each in words."""
    says: str
    """All of it in a sentence."""


def read_label(desk: Desk, text: str) -> LabelRead:
    """What was scanned or typed as a parcel's label, with its service."""
    if not text.strip():
        return LabelRead("", "none", "")
    try:
        read = parcel_labels.read_label(text, desk.lab.parcels.carriers)
    except NoLabel as problem:
        return LabelRead("", "none", "", str(problem))
    return LabelRead(read.text, read.kind, read.service or read.meaning, read.said)


def seen_before(desk: Desk, label: str, but: int | None = None) -> SeenBefore | None:
    """The last parcel that had this label, unless so long ago that its number was given anew.

    Args:
        desk: The desk.
        label: The label as it was scanned or typed.
        but: The parcel that is looked at itself: those before it are meant.
    """
    number = label_text(label) if label.strip() else ""
    if not number:
        return None
    stands = [row for row in desk.store.read.parcels_labelled(number) if row.state != "taken-back"]
    before = [row for row in stands if but is None or row.parcel_id < but]
    at = next((row.at for row in stands if row.parcel_id == but), desk.now())
    months = desk.lab.parcels.again_months
    if not before or not parcel_labels.seen_before(before[0].at.date(), at.date(), months):
        return None
    return _seen(before[0], desk.store.read.contents_of([before[0].parcel_id]).get(before[0].parcel_id, ()))


def _seen(row: ParcelRow, contents: tuple[ContentRow, ...]) -> SeenBefore:
    lay = tuple(in_it(each.kind) + (f", on it “{each.found}”" if each.found else "") for each in contents)
    practice = row.facts.practice_name
    said = [f"This label came before, {shown_moment(row.at)}"]
    said += [f"from {practice}"] if practice else []
    said += [f"in it {listed(list(lay))}"] if lay else []
    refused = " It was refused and went back." if row.state == "refused" else ""
    return SeenBefore(row.parcel_id, row.at, practice, lay, f"{'; '.join(said)}.{refused}")
