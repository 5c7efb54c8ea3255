"""Files are told apart by what is in them, and never by their names."""

import random

import pytest

from intake.documents.blank_prescription import draw_blank
from intake.documents.letter import draw_letter
from intake.inbox.sorting import what_is
from tests.documents.filling import filled_by_pypdf
from tests.documents.samples import BLANK, LETTER, REPLY_FORM


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (draw_letter(REPLY_FORM), "reply"),
        (draw_letter(LETTER), "reply"),
        (draw_blank(BLANK), "blank"),
        (filled_by_pypdf(draw_blank(BLANK), {"patient-label": "J.T."}), "blank"),
        (b"%PDF-1.7 damaged", "reply"),
        (b"\x89PNG\r\n\x1a\n", "reply"),
        (b"\xff\xd8\xff\xe0", "reply"),
        (b' {"format": "intake-case/1"}', "prescription"),
        (b'\xef\xbb\xbf{"format": "intake-case/1"}', "prescription"),
        (b"{ not json", "unknown"),
        (b'{"a": \xff}', "unknown"),
        (b'{"a": ' + b"[" * 100_000, "unknown"),
        (b"[1]", "unknown"),
        (b"From: a@example.com\n\nhello", "mail"),
        (b"Received: by mail.example.com\r\nfrom: a@example.com\r\n\r\n", "mail"),
        (b"Dear lab,\n\nfrom: us", "unknown"),
        (b"PK\x03\x04", "unknown"),
        (b"", "unknown"),
    ],
)
def test_a_file_is_what_is_in_it(content, kind):
    assert what_is(content) == kind


def test_whatever_comes_is_sorted():
    chance = random.Random(5)
    heads = (b"", b"%PDF-1.7\n", b"{", b"From: a\n", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")
    for _ in range(2_000):
        assert what_is(chance.choice(heads) + chance.randbytes(chance.randrange(400)))
