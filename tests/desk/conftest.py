"""Desks for the tests of what reception does."""

import pytest

from tests.desk.desks import enter_practices, open_desk


@pytest.fixture
def desk(store, tmp_path):
    """A desk of the demo's lab with its directory, on each database in turn."""
    enter_practices(store)
    return open_desk(store, tmp_path)
