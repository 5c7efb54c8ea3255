"""The words that the tables keep: states and kinds, each a closed set."""

from typing import Literal, get_args

Stream = Literal["post", "scan"]
ArrivalState = Literal["waiting", "booked", "set-aside", "dismissed"]
CaseState = Literal["open", "withdrawn"]
JobState = Literal["held", "clear", "gone", "withdrawn"]
QueryState = Literal["open", "answered", "withdrawn"]
DocumentKind = Literal["ticket", "letter"]
DocumentState = Literal["waiting", "drawn", "sent", "done", "failed", "cancelled"]
"""waiting: to be drawn; drawn: its PDF is kept, no queue has it yet; sent: a queue took it as job N; done: the queue
says so; failed: with the problem; cancelled: before it was printed, by a later copy or with its case."""

STREAMS: tuple[Stream, ...] = get_args(Stream)
ARRIVAL_STATES: tuple[ArrivalState, ...] = get_args(ArrivalState)
CASE_STATES: tuple[CaseState, ...] = get_args(CaseState)
JOB_STATES: tuple[JobState, ...] = get_args(JobState)
QUERY_STATES: tuple[QueryState, ...] = get_args(QueryState)
DOCUMENT_KINDS: tuple[DocumentKind, ...] = get_args(DocumentKind)
DOCUMENT_STATES: tuple[DocumentState, ...] = get_args(DocumentState)
