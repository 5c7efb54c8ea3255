"""The words of each kind of document, line for line; `python -m tests.documents.test_golden` writes them anew."""

from pathlib import Path

import pytest

from intake.documents.blank_prescription import draw_blank
from intake.documents.letter import draw_letter
from intake.documents.ticket import draw_ticket
from tests.documents.reading import text_of
from tests.documents.samples import BLANK, LETTER, REPLY_FORM, THIRD_COPY

GOLDEN = Path(__file__).parent / "golden"
DOCUMENTS = {
    "ticket": lambda: draw_ticket(THIRD_COPY),
    "letter": lambda: draw_letter(LETTER),
    "reply-form": lambda: draw_letter(REPLY_FORM),
    "blank-prescription": lambda: draw_blank(BLANK),
}


def text(name: str) -> str:
    return "\n\f\n".join(text_of(DOCUMENTS[name]())) + "\n"


@pytest.mark.parametrize("name", DOCUMENTS)
def test_the_words_of_the_document_are_as_agreed(name):
    assert text(name) == (GOLDEN / f"{name}.txt").read_text(encoding="utf-8")


if __name__ == "__main__":
    for name in DOCUMENTS:
        (GOLDEN / f"{name}.txt").write_text(text(name), encoding="utf-8", newline="\n")
