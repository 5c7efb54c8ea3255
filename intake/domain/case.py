"""A case: one prescription for one patient, in the form `intake-case/1`."""

import difflib
from contextlib import suppress
from datetime import date, datetime
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    StrictBool,
    Tag,
    ValidationInfo,
    WithJsonSchema,
    field_validator,
    model_validator,
)

from intake.domain.teeth import TEETH, Unclear, arch_of, read_teeth

Arch = Literal["upper", "lower", "both"]
Hygiene = Literal["disinfected", "not-disinfected", "unknown", "not-applicable"]
ItemKind = Literal[
    "impression", "model", "scan", "bite-record", "photo", "shade-tab", "appliance", "prescription-sheet"
]
BiteKind = Literal["centric", "open", "protrusive"]
CASE_FORMAT: Literal["intake-case/1"] = "intake-case/1"


def _written_date(value: object) -> object:
    """Dates are written text in local time; a bare number or a time zone would be a guess."""
    if value is None or isinstance(value, date):
        return value
    if not isinstance(value, str):
        raise ValueError("write the date as text, such as 2026-12-10T09:30")
    for read in (date.fromisoformat, datetime.fromisoformat):
        with suppress(ValueError):
            moment = read(value)
            break
    else:
        raise ValueError(f"“{value}” is no date; write it as 2026-12-10 or 2026-12-10T09:30")
    if isinstance(moment, datetime) and moment.tzinfo is not None:
        raise ValueError("write the time as the clock on the wall shows it, without a time zone")
    return moment


def _iso_tooth(value: str, info: ValidationInfo) -> str:
    if value in TEETH:
        return value
    wrong = read_teeth(value, info.context.notation).wrong if info.context else ()
    if info.context and not wrong:
        return value  # readable, but a neighbour is not: only the neighbour is an error
    raise ValueError(wrong[0].why if wrong else f"“{value}” is no ISO 3950 tooth")


def _a_number(value: object) -> object:
    if isinstance(value, bool):
        raise ValueError("write a measure in mm, such as 1.5, not true or false")
    return value


_DAY, _TIME = r"\d{4}-\d\d-\d\d", r"[T ]\d\d:\d\d(:\d\d(\.\d+)?)?"
_MOMENT = {"type": "string", "pattern": f"^{_DAY}({_TIME})?$", "examples": ["2026-12-10", "2026-12-10T09:30"]}
# The schema's own “date-time” is of RFC 3339, which demands a time zone: here the clock on the wall is meant.
Moment = Annotated[datetime | date, BeforeValidator(_written_date), WithJsonSchema(_MOMENT)]
LocalTime = Annotated[datetime, BeforeValidator(_written_date), WithJsonSchema(_MOMENT)]
Millimetres = Annotated[float, Field(gt=0, allow_inf_nan=False), BeforeValidator(_a_number)]
Tooth = Annotated[str, AfterValidator(_iso_tooth)]
Teeth = tuple[Tooth, ...]
"""ISO 3950 two-digit codes."""


class Frozen(BaseModel):
    """A value: it refuses unknown keys and never changes."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Patient(Frozen):
    """Who the appliance is for: a label and a reference, no more than is needed."""

    label: str | None = None
    reference: str | None = None
    found: str | None = None
    """The name as it stands on the tray or the bag, word for word; the prescription's is never changed by it."""
    under_18: StrictBool | None = None
    allergies: tuple[str, ...] = ()


class Options(Frozen):
    """What the prescription says about one appliance beyond its type, arch and teeth."""

    thickness_mm: Millimetres | None = None
    shade: str | None = None
    material: str | None = None
    colour: str | None = None
    bite_opening_mm: Millimetres | None = None
    pontics: Teeth = ()
    clasps: Teeth = ()
    springs: Teeth = ()


class Appliance(Frozen):
    """One thing to make. Teeth are ISO 3950; what could mean two teeth is kept apart as it was written."""

    type: str
    arch: Arch | None = None
    teeth: Teeth = ()
    unclear_teeth: tuple[str, ...] = ()
    options: Options = Options()
    notes: str = ""

    @model_validator(mode="before")
    @classmethod
    def _teeth_to_iso(cls, value: Any, info: ValidationInfo) -> Any:
        """Teeth as prescriptions write them become ISO 3950, when a file is read in a lab's notation."""
        if info.context is None or not isinstance(value, dict):
            return value
        read = dict(value)
        unclear = _read_teeth_into(read, "teeth", info.context.notation, read.get("arch"))
        if isinstance(read.get("options"), dict):
            read["options"] = dict(read["options"])
            for name in ("pontics", "clasps", "springs"):
                unclear += _read_teeth_into(read["options"], name, info.context.notation, read.get("arch"))
        earlier = read.get("unclear_teeth") or ()
        if unclear and isinstance(earlier, list | tuple):
            read["unclear_teeth"] = [*earlier, *unclear]
        return read

    @field_validator("type")
    @classmethod
    def _type_of_the_setup(cls, value: str, info: ValidationInfo) -> str:
        if info.context is not None and value not in info.context.types:
            near = difflib.get_close_matches(value, info.context.types, n=1)
            hint = f"; did you mean “{near[0]}”?" if near else f"; it makes {', '.join(sorted(info.context.types))}"
            raise ValueError(f"this lab makes no “{value}”{hint}")
        return value


def _read_teeth_into(holder: dict[str, Any], name: str, notation: Any, arch: Any) -> list[str]:
    """Replaces the teeth under a key by ISO 3950 where all can be read; gives what means two teeth."""
    written = holder.get(name)
    if not isinstance(written, list | tuple) or not all(isinstance(tooth, str) for tooth in written):
        return []
    read = read_teeth(written, notation)
    if read.wrong:
        return []
    settled = {unclear.written: _across(unclear, arch) for unclear in read.unclear}
    holder[name] = tuple(dict.fromkeys((*read.teeth, *(tooth for teeth in settled.values() for tooth in teeth))))
    return [written for written, teeth in settled.items() if not teeth]


def _across(unclear: Unclear, arch: Any) -> tuple[str, ...]:
    """“3-3”, canine to canine, lies in the arch that is prescribed; nothing else is settled so."""
    first, _, last = unclear.written.replace("–", "-").partition("-")
    if first.strip() != last.strip():
        return ()
    rows = (read_teeth(meaning, "iso").teeth for meaning in unclear.meanings)
    return next((teeth for teeth in rows if teeth and arch_of(teeth[0]) == arch), ())


class Item(Frozen):
    """One physical or digital thing that came with the case."""

    item: ItemKind
    arch: Arch | None = None
    material: str | None = None
    taken: Moment | None = None
    kind: BiteKind | None = None
    mm: Millimetres | None = None
    source: Literal["physical", "scan"] | None = None


class NewPractice(Frozen):
    """A practice that is not in the directory yet: enough to work with."""

    name: str
    address: tuple[str, ...] = ()
    postcode: str = ""
    telephone: str = ""
    email: str = ""


def _by_code_or_details(value: Any) -> str:
    return "details" if isinstance(value, dict | NewPractice) else "code"


PracticeNamed = Annotated[
    Annotated[str | None, Tag("code")] | Annotated[NewPractice, Tag("details")], Discriminator(_by_code_or_details)
]
"""A code of the directory, or the details of a practice that is not in it yet."""


class Waiver(Frozen):
    """The prescriber's word that a requirement need not be met for this case."""

    requirement: str
    appliance: int | None = None
    by: str
    note: str = ""


class Spoken(Frozen):
    """An answer that changes what is made, given by word of mouth and not confirmed in writing yet."""

    requirement: str
    appliance: int | None = None
    says: str
    by: str
    on: date


ScanFault = Literal["unreadable", "unit", "jaw", "part", "broken", "twice"]
"""What can be wrong with a scan: it cannot be read, its unit or its jaw is not sure, it is part of an arch, damaged, or
came before."""


class SeenFault(Frozen):
    """One thing that is wrong with a scan, with its numbers."""

    fault: ScanFault
    says: str


class SeenScan(Frozen):
    """What was seen of one scan that came with the case."""

    shows: Literal["upper", "lower", "bite"] | None = None
    name: str = ""
    faults: tuple[SeenFault, ...] = ()


ArchesStanding = Literal["registered", "doubtful", "not-one-frame", "apart", "through", "gap"]


class SeenArches(Frozen):
    """Whether the scans of the two arches bite, with the numbers that say so."""

    standing: ArchesStanding
    says: str


Condition = Literal[
    "dry", "wet", "crushed", "torn-tray", "distorted", "blood", "prescription-unreadable", "prescription-missing"
]
"""In what state a parcel and what lay in it were when it was opened."""


class SeenCondition(Frozen):
    """What was seen when a parcel was opened, and who took it on in spite of it."""

    seen: tuple[Condition, ...] = ()
    note: str = ""
    accepted_by: str = ""
    """Initials of who decided to work with it in spite of what was seen."""


class Raised(Frozen):
    """A question to the practice that came up at a bench or at the desk, and not from the rule book."""

    question: str
    by: str
    at: LocalTime
    bench: str = ""
    answer: str = ""
    """What the practice said; empty while the question is open."""


class Case(Frozen):
    """One prescription as the desk has it so far; what is missing is a finding, not an error."""

    # A file has to say its format and name something to make; a form at the desk may not have come so far.
    model_config = ConfigDict(json_schema_extra={"required": ["format", "appliances"]})

    format: Literal["intake-case/1"] = CASE_FORMAT
    practice: PracticeNamed = None
    prescriber: str | None = None
    patient: Patient = Patient()
    appliances: Annotated[tuple[Appliance, ...], Field(json_schema_extra={"minItems": 1})] = ()
    items: tuple[Item, ...] = ()
    hygiene: Hygiene = "unknown"
    appointment: Moment | None = None
    posted: Moment | None = None
    arrived: LocalTime | None = None
    notes: str = ""
    waived: tuple[Waiver, ...] = ()
    spoken: tuple[Spoken, ...] = ()
    scans: tuple[SeenScan, ...] = ()
    arches: SeenArches | None = None
    condition: SeenCondition | None = None
    raised: tuple[Raised, ...] = ()

    @property
    def stream(self) -> Literal["post", "scan"]:
        """How the case came: `scan` when nothing in it can be held in the hand."""
        physical = [i for i in self.items if i.item != "scan" and i.source != "scan" and i.item != "photo"]
        return "scan" if any(i.item == "scan" for i in self.items) and not physical else "post"
