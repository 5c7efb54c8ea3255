"""Desks for the tests of what reception does."""

from pathlib import Path

import pytest

from tests.desk.desks import enter_practices, open_desk


@pytest.fixture
def desk(store, tmp_path):
    """A desk of the demo's lab with its directory, on each database in turn."""
    enter_practices(store)
    return open_desk(store, tmp_path)


# What the store promises is tested on both databases in tests/store. Of the desk's own work both are tried where it
# writes in one act what another desk may change meanwhile, or where it searches; the rest runs on SQLite, for time.
BOTH = {
    "test_book_in.py",
    "test_killed.py",
    "test_merging_practices.py",
    "test_never_forgotten.py",
    "test_story.py",
    "test_try_rules.py",
}


def pytest_collection_modifyitems(items):
    here = Path(__file__).parent
    items[:] = [
        item for item in items if item.path.parent != here or item.path.name in BOTH or "postgresql" not in item.name
    ]
