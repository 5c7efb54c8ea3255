"""The words that the tables keep: states and kinds, each a closed set."""

from typing import Literal, get_args

from intake.domain.answer import AnswerKind, Authority, Route
from intake.domain.box_moves import MoveKind as MoveKind
from intake.domain.parcels import ContentKind as ContentKind
from intake.domain.parcels import IncidentKind as IncidentKind
from intake.domain.people import Role

Stream = Literal["post", "scan"]
ArrivalState = Literal["waiting", "booked", "set-aside", "dismissed"]
CaseState = Literal["open", "withdrawn"]
JobState = Literal["held", "clear", "gone", "withdrawn"]
QueryState = Literal["open", "answered", "withdrawn"]
QueryLevel = Literal["stops", "asks"]
DocumentKind = Literal[
    "ticket", "letter", "blank", "return-note", "stickers", "bench-codes", "box-labels", "day-sheet", "pour-list"
]
"""blank: a blank prescription form for a practice to fill in; return-note: goes back with a parcel that is refused;
stickers: a practice's own, for its parcels; bench-codes and box-labels: the lab's barcodes."""
DocumentState = Literal["waiting", "drawn", "sent", "done", "failed", "cancelled"]
"""waiting: to be drawn; drawn: its PDF is kept, no queue has it yet; sent: a queue took it as job N; done: the queue
says so; failed: with the problem; cancelled: before it was printed, by a later copy or with its case."""
Way = Literal["print", "mail", "draft"]
"""How a document leaves: by the printer, by e-mail, or as an e-mail that a person sends from a mail program."""
CallOutcome = Literal["spoke", "no-answer", "engaged", "message-left", "ring-back", "wrong-number"]
ReplyState = Literal["waiting", "taken", "set-aside"]
ReplyKind = Literal["form", "flattened", "scanned", "altered", "other-case", "again", "unreadable"]
"""What came back: the form as it was issued and filled in; printed flat, or scanned, so that a person has to read it;
changed in what it asks; one that belongs to another case; answered once more; or nothing that can be read."""
ScanState = Literal["unchecked", "checked", "unreadable"]
FileKind = Literal["scan", "picture", "pdf", "message", "prescription", "refused"]
"""What a file of a delivery is: a mesh, a picture, a PDF, the mail itself, a prescription file, or nothing that can be
taken in."""

ParcelWay = Literal["post", "by-hand"]
ParcelState = Literal["open", "done", "refused", "stopped", "taken-back"]
"""open: something in it has neither a case nor a reason; stopped: something in it can hurt, nobody reaches in;
taken-back: it was entered by mistake."""
LabelKind = Literal["none", "s10", "sscc", "other"]
EditionSource = Literal["first", "window", "file", "put-back"]
"""Where an edition of the lab setup comes from: the first run, the window, the file that was changed by hand, or an
older edition that was put in force again."""
LinkKind = Literal["split", "merged", "remake"]
"""split: made of some appliances of the other case; merged: the same as the other, which stands; remake: made anew."""

STREAMS: tuple[Stream, ...] = get_args(Stream)
ARRIVAL_STATES: tuple[ArrivalState, ...] = get_args(ArrivalState)
CASE_STATES: tuple[CaseState, ...] = get_args(CaseState)
JOB_STATES: tuple[JobState, ...] = get_args(JobState)
QUERY_LEVELS: tuple[QueryLevel, ...] = get_args(QueryLevel)
QUERY_STATES: tuple[QueryState, ...] = get_args(QueryState)
DOCUMENT_KINDS: tuple[DocumentKind, ...] = get_args(DocumentKind)
DOCUMENT_STATES: tuple[DocumentState, ...] = get_args(DocumentState)
WAYS: tuple[Way, ...] = get_args(Way)
CALL_OUTCOMES: tuple[CallOutcome, ...] = get_args(CallOutcome)
REPLY_STATES: tuple[ReplyState, ...] = get_args(ReplyState)
REPLY_KINDS: tuple[ReplyKind, ...] = get_args(ReplyKind)
ANSWER_KINDS: tuple[AnswerKind, ...] = get_args(AnswerKind)
AUTHORITIES: tuple[Authority, ...] = get_args(Authority)
ROUTES: tuple[Route, ...] = get_args(Route)
SCAN_STATES: tuple[ScanState, ...] = get_args(ScanState)
FILE_KINDS: tuple[FileKind, ...] = get_args(FileKind)
PARCEL_WAYS: tuple[ParcelWay, ...] = get_args(ParcelWay)
PARCEL_STATES: tuple[ParcelState, ...] = get_args(ParcelState)
LABEL_KINDS: tuple[LabelKind, ...] = get_args(LabelKind)
CONTENT_KINDS: tuple[ContentKind, ...] = get_args(ContentKind)
INCIDENT_KINDS: tuple[IncidentKind, ...] = get_args(IncidentKind)
MOVE_KINDS: tuple[MoveKind, ...] = get_args(MoveKind)
LINK_KINDS: tuple[LinkKind, ...] = get_args(LinkKind)
EDITION_SOURCES: tuple[EditionSource, ...] = get_args(EditionSource)
ROLES: tuple[Role, ...] = get_args(Role)
