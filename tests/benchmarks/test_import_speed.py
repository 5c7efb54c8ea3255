"""How long a list of 20,000 practices takes to be looked at, with 300 faulty rows, and to be taken in at once."""

import csv
import random
from time import perf_counter

import pytest

from intake.desk.directory_export import export
from intake.desk.directory_import import preview, take_back, take_in
from intake.store.opening import Store
from tests.desk.desks import open_desk

MANY, FAULTY = 20_000, 300
PREVIEW, WRITTEN = 3.0, 10.0
"""A desk waits ten seconds at the most for another's writing."""
HEADERS = "Code Practice Street Town Postcode Phone E-mail Dentists Open_days Opening_hours Transit_days Notes"
TREES = ("Oak", "Elm", "Ash", "Hazel", "Birch", "Rowan", "Alder", "Pine", "Cedar", "Holly")
ENDS = ("wood", "dale", "ford", "by", "mere", "ham", "ton", "gate", "wick", "stead")


def rows():
    """Practices like those of a real list; every so many is faulty in one of several ways."""
    chance = random.Random(6)
    spoilt = set(range(0, MANY, MANY // FAULTY)[:FAULTY])
    for n in range(MANY):
        name = f"{TREES[n % 10]}{ENDS[n // 10 % 10]} {TREES[n // 100 % 10]}{ENDS[n // 1000 % 10]} Surgery {n // 10_000}"
        row = [
            f"P{n}",
            name,
            f"{n % 300} High Street",
            f"{TREES[n % 7]}{ENDS[n % 9]}",
            f"XQ{n // 2 % 97} {n // 194 % 9}A{n // 1746}",
        ]
        row += [f"0{1632 + n // 10_000} 96{n % 10_000:04}", f"desk@p{n}.example.com"]
        row += ["; ".join(f"Dr {chance.choice('ABCDEF')}. {tree}" for tree in chance.sample(TREES, 3)), "Mon-Fri"]
        row += [f"Mon-Thu 0{n % 2 + 8}:30-13:00, 14:00-17:30; Fri 09:00-13:00", str(n % 4), "Ring the side door."]
        if n in spoilt:
            at, said = ((1, ""), (5, "12"), (6, "nobody"), (9, "when the light is on"), (10, "soon"))[n % 5]
            row[0], row[at] = ("" if at == 1 else row[0]), said
        yield row


@pytest.mark.benchmark
@pytest.mark.timeout(300)
def test_20_000_practices_are_looked_at_within_3_s_and_taken_in_at_once(tmp_path, strict, allowed, record_property):
    file = tmp_path / "list.csv"
    with file.open("w", encoding="utf-8", newline="") as opened:
        csv.writer(opened, delimiter=";").writerows((HEADERS.split(), *rows()))
    store = Store.open(tmp_path / "intake.sqlite")
    desk = open_desk(store, tmp_path)
    took = {}

    def timed(what, work):
        begun = perf_counter()
        done = work()
        took[what] = perf_counter() - begun
        record_property(f"{what}_ms", round(took[what] * 1000))
        return done

    shown = timed("preview", lambda: preview(desk, file))
    assert shown.counts == {"new": MANY - FAULTY, "faulty": FAULTY}
    taken = timed("take_in", lambda: take_in(desk, shown))
    assert len(taken.new) == MANY - FAULTY
    known = timed("preview_of_what_is_known", lambda: preview(desk, file))
    assert known.counts == {"same": MANY - FAULTY, "faulty": FAULTY}
    for ending in ("csv", "xlsx") if strict else ():  # no budget: the figures are for the page
        timed(f"export_{ending}", lambda ending=ending: export(desk, tmp_path / f"directory.{ending}"))
        again = timed(f"preview_{ending}", lambda ending=ending: preview(desk, tmp_path / f"directory.{ending}"))
        assert again.counts == {"same": MANY - FAULTY}
    timed("take_back", lambda: take_back(desk, taken))
    assert not desk.practices()
    store.close()
    assert max(took["preview"], took["preview_of_what_is_known"]) <= allowed(PREVIEW)
    assert max(took["take_in"], took["take_back"]) <= allowed(WRITTEN)
