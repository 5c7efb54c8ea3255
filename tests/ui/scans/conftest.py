"""A real store with a desk on it, and what every place of the window shares."""

import shutil

import pytest

from intake.desk.scan_panel import scan_panel
from intake.store.opening import Store
from intake.ui.jobs import Jobs
from intake.ui.memory import Memory
from intake.ui.news import News
from intake.ui.room import Room
from tests.desk.desks import enter_practices, open_desk
from tests.scans import arches
from tests.scans.bringing import bring, pair, two_arches, unnamed

MANY = {
    "upper.ply": arches.with_hole(pair().upper, 4.0),
    "lower.ply": pair().lower,
    "bite.ply": arches.bite(pair()),
    "scan A.ply": arches.half(pair(1.1).upper),
    "scan B.ply": arches.in_unit(pair(1.07).lower, "cm"),
    "odd.stl": b"solid and nothing else",
}


@pytest.fixture
def desk(sqlite_place, tmp_path):
    store = Store.open(sqlite_place)
    enter_practices(store)
    yield open_desk(store, tmp_path)
    store.close()


@pytest.fixture
def bring_in(desk, tmp_path):
    """Takes files in as one arrival: `bring_in("a", two_arches())`."""
    return lambda name, files, checked=True: bring(desk, tmp_path / name, files, checked)


@pytest.fixture(scope="session")
def known_desk(empty_file, tmp_path_factory):
    """A desk at which these arrivals are checked already; it is only read."""
    place = tmp_path_factory.mktemp("known")
    store = Store.open(str(shutil.copy(empty_file, place / "intake.sqlite")))
    enter_practices(store)
    yield open_desk(store, place)
    store.close()


@pytest.fixture(scope="session")
def panels(known_desk, tmp_path_factory):
    """What is shown of them, by name."""
    files = {
        "many": MANY,
        "two": two_arches(1.2),
        "unnamed": unnamed(1.3, "inch"),
        "one": {f"{'a' * 80}.ply": pair(1.15).upper},
        "fit": {"upper.ply": pair(1.25).upper},
    }
    place = tmp_path_factory.mktemp("came")
    return {name: scan_panel(known_desk, bring(known_desk, place / name, meshes)) for name, meshes in files.items()}


@pytest.fixture
def room(look, keys, settings):
    jobs = Jobs(_raise)
    news = News(look, keys)
    yield Room(look, keys, news, jobs, Memory(settings), settings)
    jobs.close()
    news.deleteLater()


@pytest.fixture
def trouble(room):
    """What is wrong and stands in the news; empty where nothing is."""
    return lambda: "" if room.news._trouble_row.isHidden() else room.news.trouble_words.text()


def _raise(problem):
    raise problem
