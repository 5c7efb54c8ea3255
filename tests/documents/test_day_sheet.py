"""The day sheet on paper: its numbers, tables that flow over pages, and at the foot where the history ends."""

import re
from dataclasses import replace

import numpy as np
import pytest

from intake.documents.day_sheet import draw_day_sheet
from intake.documents.day_sheet_content import Column, HourBar, SheetOfDay, SheetTable
from tests.documents.reading import MM, outside, overlaps, rendered, text_of

HASH = "3f" * 32
COLUMNS = (Column("Job", 1.9), Column("Practice", 3), Column("Category, box", 2.4), Column("Jobs", 1, numbers=True))
LONG = "The Wexcombe Magna, Nether Ambling and Upper Tarnbeck Community Dental Partnership (incorporating a Surgery)"
ODD = "Gabinet „Jasna Łąka” <b>&amp; Ηλιόλοφος"


def rows(count):
    names = ("Mill Lane Dental", LONG, ODD)
    return tuple((f"26 {at:06} 08", names[at % 3], "Splints, Blue", str(at)) for at in range(count))


def a_table(count=3, heading="Must leave today", **said):
    return SheetTable(heading, COLUMNS, rows(count), "None.", **said)


SHEET = SheetOfDay(
    title="Day sheet, Wed 25 Nov 2026",
    lab="Tern Bay Dental Laboratory",
    counted="Counted on Wed 25 Nov 2026, 17:40 by AB.",
    closed="The day is not closed.",
    figures=(
        ("1,060", "arrived"),
        ("1,048", "cases booked"),
        ("729", "jobs clear"),
        ("338", "jobs held"),
        ("612", "jobs handed over"),
        ("12", "open just now"),
    ),
    open="8 arrivals to book in · 4 parcels not finished · 402 jobs held in all · 75 queries open",
    hours=tuple(HourBar(hour, hour * 9, hour * 8, hour * 5) for hour in range(7, 19)),
    tables=(a_table(), a_table(0, "Parcels that are not finished")),
    head=f"The history has 12,345 events; the last is {HASH}.",
    purpose="Keep this sheet.",
)
SHEETS = {
    "usual": SHEET,
    "empty": replace(SHEET, figures=(("0", "arrived"),), hours=(), tables=(a_table(0),)),
    "one hour": replace(SHEET, hours=(HourBar(9, 1, 0, 0),)),
    "whole night": replace(SHEET, hours=tuple(HourBar(hour, 1000, 999, 998) for hour in range(24))),
    "colours": replace(SHEET, tables=(a_table(2, colours=("#1f6fb4", "#f4f4f4")),)),
    "long": replace(SHEET, tables=(a_table(150, more="and 2,000 more"), a_table(40, "Tickets"))),
}


def flat(text):
    return re.sub(r"\s+", " ", text)


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
@pytest.mark.sampled(3)
def test_nothing_stands_on_something_else_or_in_the_margin(sheet):
    pdf = draw_day_sheet(sheet)
    assert overlaps(pdf) == []
    assert outside(pdf, 10 * MM) == []


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_every_page_says_which_it_is_and_where_the_history_ends(sheet):
    pages = [flat(page) for page in text_of(draw_day_sheet(sheet))]
    for number, page in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in page
        assert HASH in page
        assert "Keep this sheet." in page


def test_the_sheet_says_the_numbers_of_the_day():
    (page,) = map(flat, text_of(draw_day_sheet(SHEET)))
    for said in ("Day sheet, Wed 25 Nov 2026", "The day is not closed.", "1,060", "612", "402 jobs held in all"):
        assert said in page
    assert "None." in page


def test_a_table_flows_over_pages_and_loses_no_row():
    pages = [flat(page) for page in text_of(draw_day_sheet(SHEETS["long"]))]
    whole = " ".join(pages)
    assert len(pages) > 3
    assert [at for at in range(150) if f"26 {at:06} 08" not in whole] == []
    assert "and 2,000 more" in whole
    for page in pages[1:3]:
        assert page.startswith("Must leave today (continued) Job Practice Category, box Jobs")


def test_words_from_outside_are_printed_as_they_are():
    (page,) = map(flat, text_of(draw_day_sheet(SHEET)))
    assert "<b>&amp;" in page
    assert "Łąka" in page
    assert "Ηλιόλοφος" in page


def test_a_printer_without_colours_shows_the_bars_and_the_names_of_the_boxes():
    picture = rendered(draw_day_sheet(SHEETS["colours"]))[0]
    assert picture.mode == "L"
    assert (np.asarray(picture) < 60).sum() > 5_000
    assert "Splints, Blue" in flat(text_of(draw_day_sheet(SHEETS["colours"]))[0])


def test_the_same_sheet_is_the_same_bytes():
    assert draw_day_sheet(SHEET) == draw_day_sheet(SHEET)
