"""Labelled lines of a mail: each field gets what stands behind its own label, and nothing else."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.inbox.mail_lines import labelled

LABELS = {
    "patient": ("Patient", "Name of the patient", "Patiënt"),
    "reference": ("Ref", "Reference", "Case no."),
    "appointment": ("Due", "Appointment", "Fällig"),
    "appliance": ("Appliance",),
    "practice": ("Practice", "From the practice"),
    "notes": ("Notes",),
}

MAIL = """\
Hello,
please find two scans attached.

Patient: J.T.
Ref: 20418
Appliance: hard splint, upper: 3 mm
DUE : Thu 10 Dec 2026, 10:30
Practice: Marlowe House
Notes: call us: 01632 960 123

Kind regards
"""


def test_the_lines_of_a_mail_are_read_by_the_labs_own_words():
    assert labelled(MAIL, LABELS) == {
        "patient": "J.T.",
        "reference": "20418",
        "appliance": "hard splint, upper: 3 mm",
        "appointment": "Thu 10 Dec 2026, 10:30",
        "practice": "Marlowe House",
        "notes": "call us: 01632 960 123",
    }


@pytest.mark.parametrize(
    "line",
    [
        "patient: J.T.",
        "PATIENT:J.T.",
        "  Patient :  J.T.  ",
        "patient\uff1aJ.T.",
        "Patïent: J.T.",
        "*Patient:* J.T.",
        "- Patient: J.T.",
        "\u2022 Patient: J.T.",
        "Patient\tJ.T.",
        "Patient:\tJ.T.",
        "name  of the  patient: J.T.",
        "Patient:\nJ.T.",
        "Patient:\r\nJ.T.\r\n",
        "*Patient:*\n*J.T.*",
        "> Patient: J.T.",
        ">> > Patient:\n>>> J.T.",
    ],
)
def test_a_label_is_known_however_it_is_written(line):
    assert labelled(line, LABELS) == {"patient": "J.T."}


@pytest.mark.parametrize(
    "text",
    [
        "Patient",
        "Patient J.T.",
        "The patient: J.T.",
        "Patients: J.T.",
        "Patient:",
        "Patient:\n\nKind regards",
        "Patient:\nDate of birth: 1 May 1990",
        "Patient:\nAge\t12",
        "Patient:\n> J.T.",
        "> Patient:\nJ.T.",
        "",
    ],
)
def test_what_is_not_labelled_is_not_made_out_to_be(text):
    """A form left half empty must not give the next line to the field above."""
    assert labelled(text, LABELS) == {}


def test_of_two_labels_that_stand_alone_each_gets_its_own_line():
    assert labelled("Patient:\nRef:\n20418\nDue:\n10:30 on Thursday\nNotes:\nhttps://example.com/1", LABELS) == {
        "reference": "20418",
        "appointment": "10:30 on Thursday",
        "notes": "https://example.com/1",
    }


def test_the_first_line_that_says_something_wins():
    assert labelled("Patient:\n\nPatient: J.T.\nName of the patient: K.M.", LABELS) == {"patient": "J.T."}


def test_what_is_quoted_is_read_last_and_the_oldest_last_of_all():
    text = ">> Patient: oldest\n>> Ref: 1\n>> Notes: first\n> Patient: older\n> Ref: 2\nPatient: J.T.\n"
    assert labelled(text, LABELS) == {"patient": "J.T.", "reference": "2", "notes": "first"}


def test_a_value_of_a_whole_page_is_cut():
    assert len(labelled("Notes: " + "x" * 5_000, LABELS)["notes"]) == 1_000


@pytest.mark.parametrize("line", [" " * 100_000, "*" * 100_000, ">" * 100_000, "a" * 100_000, "a: " * 30_000])
def test_a_line_of_a_hundred_thousand_characters_is_read_at_once(line):
    begun = time.process_time()
    labelled(f"{line}\n" * 3, LABELS)
    assert time.process_time() - begun < 2


@given(st.text())
def test_no_text_whatever_is_more_than_can_be_read(text):
    read = labelled(text, LABELS)
    assert set(read) <= set(LABELS)
    assert all(value.strip() and "\n" not in value for value in read.values())


WORDS = st.text(st.characters(categories=("L", "N")), min_size=1, max_size=20)


@given(st.dictionaries(st.sampled_from(sorted(LABELS)), WORDS), st.randoms(use_true_random=False))
def test_every_form_that_is_filled_in_reads_back(form, chance):
    lines = [f"{chance.choice(LABELS[field])}: {value}" for field, value in form.items()]
    chance.shuffle(lines)
    assert labelled("\n".join(lines), LABELS) == form
