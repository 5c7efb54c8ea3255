"""The day, timed over 100,000 cases, the newest of which wait on their practices: sheet, what is left over, paper."""

import shutil
from statistics import median
from time import perf_counter

import pytest

from intake.desk.day_sheet import day_sheet
from intake.desk.day_sheet_words import day_sheet_words
from intake.desk.evening import evening
from intake.documents.day_sheet import draw_day_sheet
from intake.store.opening import Store
from tests.desk.desks import open_desk
from tests.store.samples import NOW as FILLED

pytestmark = [pytest.mark.benchmark, pytest.mark.timeout(600)]


@pytest.fixture(scope="module")
def store(many_cases, tmp_path_factory):
    store = Store.open(shutil.copy(many_cases, tmp_path_factory.mktemp("day")))
    yield store
    store.close()


@pytest.fixture
def desk(store, tmp_path):
    return open_desk(store, tmp_path, now=FILLED)


def timed(act, times=5):
    """The median of some runs in milliseconds, and the last result."""
    took = []
    for _ in range(times):
        begin = perf_counter()
        result = act()
        took.append((perf_counter() - begin) * 1000)
    return round(median(took), 1), result


def test_the_day_sheet_is_counted_within_300_ms(desk, record_property, allowed):
    """Its budget was set for 50,000 cases; here all of 100,000 arrived on the one day, which is the worst case."""
    took, sheet = timed(lambda: day_sheet(desk))
    assert sheet.counts.whole.booked > 500
    record_property("median_ms", took)
    assert took <= allowed(300)


def test_what_is_left_over_is_gathered_within_500_ms(desk, record_property, allowed):
    took, found = timed(lambda: evening(desk))
    assert len(found.left) > 500
    record_property("median_ms", took)
    record_property("left over", len(found.left))
    assert took <= allowed(500)


def test_a_day_sheet_of_500_lines_is_drawn_within_a_second(desk, record_property, allowed):
    words = day_sheet_words(day_sheet(desk), desk.lab.name, "AB")
    took, pdf = timed(lambda: draw_day_sheet(words), times=3)
    assert pdf.startswith(b"%PDF")
    record_property("median_ms", took)
    assert took <= allowed(1000)
