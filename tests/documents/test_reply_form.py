"""The reply slip as a form: filled in by other programs it is read back exactly, and on paper it is what it was."""

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from intake.documents.letter import draw_letter
from intake.domain.job_number import NumberRefused, read_barcode
from intake.domain.reply_fields import (
    ROLES_TO_TICK,
    Filled,
    agreed_in,
    agreed_key,
    filled,
    is_as_issued,
    question_key,
    questions_in,
)
from intake.domain.reply_number import read_reply_number
from tests.documents.filling import Viewer, fields_of, filled_by_pypdf
from tests.documents.reading import rendered, scanned, text_of
from tests.documents.samples import (
    CASE,
    FORTY_FORMS,
    HOSTILE,
    HOSTILE_FORM,
    LETTER,
    LETTERS,
    REPLY_FORM,
    TWO_JOBS,
)

PDF = draw_letter(REPLY_FORM)
SLIP = 2
"""The first page of its slip."""
TICKS = {"a31-choice": "0", "a32-choice": "1", "q41-choice": "0", "q42-choice": "4", "role": "on-behalf"}
WORDS = {
    "a32-line-1-0": "send it to us, Łódź Żółć Ωμέγα Жанна 漢字 (a) \\ %s",
    "q41-line-0-0": "Thu 26 Nov",
    "q44-line-0-0": "10 Dec",
    "q44-line-0-1": "9.30",
    "q45-other": "red & “blue”",
    "name": "Dr R. Ashdown",
    "date": "26 Nov 2026",
}
READ = {
    "a31": Filled(0, "as agreed"),
    "a32": Filled(1, f"not so: {WORDS['a32-line-1-0']}"),
    "q41": Filled(0, "coming by post on Thu 26 Nov"),
    "q42": Filled(4, "use the lab’s usual"),
    "q43": Filled(None, "A3.5"),
    "q44": Filled(0, "on 10 Dec at 9.30"),
    "q45": Filled(other="red & “blue”"),
}


def read(pdf: bytes) -> dict[str, Filled]:
    """What the form says, question by question."""
    fields = fields_of(pdf)
    assert is_as_issued(fields)
    keys = [*map(agreed_key, agreed_in(fields)), *map(question_key, questions_in(fields))]
    return {key: filled(fields, key) for key in keys}


@pytest.fixture(scope="module")
def viewer():
    """The form filled in with clicks and keys in pdfium."""
    with Viewer(PDF) as viewer:
        for name, value in TICKS.items():
            viewer.click(name, value)
        for name, text in WORDS.items():
            viewer.write(name, text)
        viewer.choose("q43-menu", 3)
        yield viewer


@pytest.fixture(scope="module")
def clicked(viewer):
    return viewer.saved()


def test_an_empty_form_says_nothing_and_is_as_issued():
    assert set(read(PDF).values()) == {Filled()}
    assert set(read(PDF)) == set(READ)
    assert fields_of(PDF)["form"] == REPLY_FORM.form


def test_a_form_filled_by_pypdf_is_read_back_exactly():
    values = {name: f"/{value}" for name, value in TICKS.items()} | WORDS | {"q43-menu": "A3.5"}
    pdf = filled_by_pypdf(PDF, values)
    assert read(pdf) == READ
    assert {name: fields_of(pdf)[name] for name in ("name", "date")} == {n: WORDS[n] for n in ("name", "date")}


def test_a_form_filled_with_clicks_and_keys_in_pdfium_is_read_back_exactly(clicked):
    assert read(clicked) == READ
    assert {name: fields_of(clicked)[name] for name in ("name", "date")} == {n: WORDS[n] for n in ("name", "date")}


@pytest.mark.parametrize("role", ROLES_TO_TICK)
def test_the_role_is_ticked_and_never_read_out_of_words(role):
    with Viewer(PDF) as viewer:
        viewer.click("role", role)
        assert fields_of(viewer.saved())["role"] == f"/{role}"


def test_a_text_pasted_in_pdfium_is_read_back_exactly():
    with Viewer(PDF) as viewer:
        viewer.paste("q41-other", "Ring Ms Żółtowska, 漢字")
        viewer.paste("q43-menu", "between A2 and A3")
        pdf = viewer.saved()
    assert read(pdf)["q41"] == Filled(other="Ring Ms Żółtowska, 漢字")
    assert read(pdf)["q43"] == Filled(None, "between A2 and A3")


def test_one_answer_of_a_question_is_ticked_at_a_time():
    with Viewer(PDF) as viewer:
        viewer.click("q42-choice", "0")
        viewer.click("q42-choice", "2")
        assert read(viewer.saved())["q42"] == Filled(2, "2 mm")


def test_the_viewer_shows_the_tick_in_its_box_and_only_there(viewer):
    empty = Viewer(PDF)
    with empty:
        before, after = (np.asarray(v.seen()[SLIP].convert("L"), dtype=int) for v in (empty, viewer))
    scale = 110 / 72
    buttons = _boxes(PDF, SLIP, "q42-choice")
    for value, (left, low, right, high) in buttons.items():
        area = np.s_[
            int(after.shape[0] - high * scale) : int(after.shape[0] - low * scale),
            int(left * scale) : int(right * scale),
        ]
        darker = (before[area] - after[area]).sum()
        assert (darker > 500) == (value == "4"), value


def _boxes(pdf: bytes, page: int, name: str) -> dict[str, tuple[float, ...]]:
    widgets = [a.get_object() for a in PdfReader(BytesIO(pdf)).pages[page].annotations]
    rows = [w for w in widgets if "/Parent" in w and w["/Parent"]["/T"] == name]
    return {next(k[1:] for k in w["/AP"]["/N"] if k != "/Off"): tuple(map(float, w["/Rect"])) for w in rows}


def test_an_empty_form_is_printed_as_the_slip_that_a_pen_fills_in():
    paper = draw_letter(replace(REPLY_FORM, form=""))
    assert fields_of(paper) == {}
    as_form, as_paper = (np.asarray(rendered(pdf, 100)[SLIP], dtype=int) for pdf in (PDF, paper))
    below = slice(int(24 / 297 * as_form.shape[0]), None)  # the number of the form stands above
    assert abs(as_form[below] - as_paper[below]).max() == 0


def test_the_number_of_the_form_is_on_every_page_of_the_slip_and_on_no_page_of_the_letter():
    pdf = draw_letter(FORTY_FORMS)
    pages, words = rendered(pdf, 200), text_of(pdf)
    begin = next(i for i, page in enumerate(words) if "Reply slip" in page)
    assert len(pages) > begin + 2
    for number, page in enumerate(pages):
        found = [code for code in scanned(page) if code.startswith("R")]
        assert found == ([FORTY_FORMS.form] if number >= begin else [])
    assert all("Reply form R 000187 66" in page for page in words[begin:])


def test_the_codes_of_a_slip_are_read_off_a_poor_scan_and_told_apart():
    slip = rendered(PDF, 150)[SLIP].rotate(2, fillcolor=255, resample=Image.Resampling.BICUBIC)
    out = BytesIO()
    slip.save(out, "JPEG", quality=50)
    codes = scanned(Image.open(out))
    assert sorted(codes) == sorted(["260041237600", "260041237600", "260041247300", REPLY_FORM.form])
    assert [read_reply_number(code) for code in codes if code.startswith("R")] == [187]
    with pytest.raises(NumberRefused):
        read_barcode(REPLY_FORM.form)


def test_what_was_agreed_stands_in_the_letter_before_what_is_asked():
    letter = " ".join(text_of(PDF)[:SLIP]).replace("\n", " ")
    order = [
        "Reminder 1: our letter of Fri 20 Nov 2026 is still unanswered.",
        "This is what was agreed by word of mouth.",
        "bite opening: 2 mm",
        "Dr R. Ashdown, the prescriber, by telephone, Tue 24 Nov 2026",
        "opposing arch: make it without",
        "Please send a bite record",
    ]
    places = [letter.index(words) for words in order]
    assert places == sorted(places)


def test_a_letter_that_only_confirms_asks_nothing():
    pdf = draw_letter(replace(REPLY_FORM, cases=()))
    assert set(read(pdf)) == {"a31", "a32"}


def test_a_question_without_an_id_has_boxes_and_lines_but_no_fields():
    pdf = draw_letter(replace(LETTER, form=REPLY_FORM.form))
    assert set(fields_of(pdf)) == {"form", "check", "name", "role", "date"}


@pytest.mark.parametrize("text", [HOSTILE, "%s %(x)d", "(((", "\\", "\ud7ff\ue000", "a\r\nb"])
def test_hostile_text_is_kept_in_the_form_as_text(text):
    (case, *_), (agreed, *_) = HOSTILE_FORM.cases, HOSTILE_FORM.agreed
    question = replace(case.questions[0], question=text, answers=(text, "yes"), menu=(text, "A2"))
    answer = replace(agreed.answers[0], about=text, says=text, by=text)
    letter = replace(
        HOSTILE_FORM,
        cases=(replace(case, patient=text, questions=(question,)),),
        agreed=(replace(agreed, patient=text, answers=(answer,)),),
    )
    with Viewer(draw_letter(letter)) as viewer:
        viewer.click("q51-choice", "1")
        viewer.choose("q51-menu", 1)
        pdf = viewer.saved()
    assert read(pdf)["q51"].problem == "two answers"
    assert filled(fields_of(pdf), "q51").text == "yes; A2"


@pytest.mark.parametrize("letter", [REPLY_FORM, HOSTILE_FORM], ids=["form", "hostile form"])
def test_the_form_opens_nothing_runs_nothing_and_sends_nothing(letter):
    reader = PdfReader(BytesIO(draw_letter(letter)))
    objects = [reader.get_object(number) for number in range(1, int(reader.trailer["/Size"]))]
    keys = {key for each in objects if isinstance(each, dict) for key in each}
    assert keys.isdisjoint({"/A", "/AA", "/JS", "/OpenAction", "/URI", "/XFA", "/EF", "/EmbeddedFiles", "/Names"})
    assert "/Rect" in keys


@pytest.mark.parametrize("letter", [each for each in LETTERS.values() if each.form], ids=["form", "hostile form"])
def test_every_field_lies_on_the_paper_and_on_no_other(letter):
    for page in PdfReader(BytesIO(draw_letter(letter))).pages:
        boxes = [
            tuple(map(float, a.get_object()["/Rect"])) for a in page.annotations or () if a.get_object()["/F"] == 4
        ]
        for i, (left, low, right, high) in enumerate(boxes):
            assert 0 < left < right < page.mediabox.width
            assert 0 < low < high < page.mediabox.height
            for other in boxes[:i]:
                assert (
                    min(right, other[2]) <= max(left, other[0]) + 0.01
                    or min(high, other[3]) <= max(low, other[1]) + 0.01
                )


def test_a_field_says_what_it_is_for_to_those_who_have_the_form_read_out():
    fields = PdfReader(BytesIO(PDF)).get_fields()
    assert fields["q42-choice"]["/TU"] == "Which thickness shall the splint have?"
    assert fields["q41-line-0-0"]["/TU"] == "coming by post on ____, line 1"
    hidden = ("form", "check")
    assert all(field.get("/TU") for name, field in fields.items() if name not in hidden and not name.endswith("-asks"))


def test_the_same_form_gives_the_same_bytes():
    assert draw_letter(REPLY_FORM) == PDF


def test_a_query_stands_only_once_in_a_form():
    twice = replace(CASE, questions=(replace(CASE.questions[0], id=7),) * 2)
    with pytest.raises(ValueError, match="q7-"):
        draw_letter(replace(REPLY_FORM, cases=(twice, TWO_JOBS)))
