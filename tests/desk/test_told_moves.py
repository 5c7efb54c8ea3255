"""The history of boxes and benches, as it is read aloud."""

import re
from datetime import datetime
from pathlib import Path

import pytest

from intake.desk.history import sentence
from intake.desk.told_moves import SENTENCES
from intake.domain.box_moves import MoveKind
from intake.domain.job_number import JobNumber
from intake.store.rows import EventRow

JOB = JobNumber.make(2026, 4123)
STORE = Path(__file__).resolve().parents[2] / "intake" / "store"


def event(kind, details=None, personal=None):
    at = datetime(2026, 11, 26, 14, 10)
    return EventRow(7, at, "AB", kind, 1, JOB.digits, None, None, details or {}, personal)


@pytest.mark.parametrize(
    ("event", "words"),
    [
        (event("job-handed-over", {"bench": "Casting", "copy": 1}), "Job {} handed over to Casting."),
        (
            event("job-handed-over", {"bench": "Casting", "copy": 3}),
            "Job {} handed over to Casting, by copy 3 of its ticket.",
        ),
        (event("job-in", {"bench": "Splints"}), "Job {} taken in at Splints."),
        (event("job-out", {"bench": "Splints"}), "Job {}: Splints is done with it."),
        (event("job-out", {"bench": "Checking", "box": 12}), "Job {}: Checking is done with it. Box 12 is free."),
        (
            event("job-back", {"bench": "Splints"}, {"reason": "Is the clasp wanted?"}),
            "Job {} brought back to reception from Splints: Is the clasp wanted?",
        ),
        (
            event("job-back", {"bench": "Splints"}, {"reason": "damaged."}),
            "Job {} brought back to reception from Splints: damaged.",
        ),
        (event("job-back", {"bench": "Splints"}), "Job {} brought back to reception from Splints."),
        (
            event("move-taken-back", {"bench": "Casting", "kind": "handed-over"}),
            "Job {}: the move before was a mistake and was taken back: handed over to Casting.",
        ),
        (event("box-filled", {"box": 12, "before": None}), "Job {} put in box 12."),
        (event("box-filled", {"box": 15, "before": 12}), "Job {} put in box 15, and no longer in box 12."),
        (event("box-freed", {"box": 15}), "Job {} no longer in box 15, which is free."),
        (
            event("question-raised", {"bench": "Splints"}, {"question": "Is the clasp wanted?"}),
            "Question to the practice raised at Splints: “Is the clasp wanted?”",
        ),
        (event("question-raised", {"bench": ""}), "Question to the practice raised."),
        (
            event("question-taken-back", {"bench": ""}, {"question": "Which shade?"}),
            "Question to the practice taken back, raised by mistake: “Which shade?”",
        ),
    ],
)
def test_what_became_of_a_box_is_told_in_a_sentence(event, words):
    assert sentence(event) == words.format(JOB.shown)


def test_every_kind_of_event_that_moves_and_boxes_record_has_a_sentence():
    source = (STORE / "moves.py").read_text(encoding="utf-8")
    literal = set(re.findall(r'"((?:move|box|question)-[a-z-]+)"', source))
    assert literal | {f"job-{kind}" for kind in MoveKind.__args__} == set(SENTENCES)
