"""What holds for every test: no window on a real screen, no settings or files of the person at this machine."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

pytest_plugins = ["tests.databases"]

# An example may be the first to load a library or to read a year's bank holidays: no time limit of its own.
settings.register_profile("usual", deadline=None, max_examples=20)
settings.register_profile("thorough", deadline=None, max_examples=400)
settings.load_profile("usual")
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
# Scaling and styles of the machine would move what the tests measure.
for name in ("QT_SCALE_FACTOR", "QT_STYLE_OVERRIDE", "QT_QPA_PLATFORMTHEME", "QT_FONT_DPI"):
    os.environ.pop(name, None)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--thorough", action="store_true", help="more kills, damaged files and examples; takes long")


def pytest_configure(config: pytest.Config) -> None:
    if config.getoption("--thorough"):
        settings.load_profile("thorough")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leaves out what is tried in a thorough run only."""
    if not config.getoption("--thorough"):
        left_out = [item for item in items if item.get_closest_marker("thorough")]
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if not item.get_closest_marker("thorough")]


@pytest.fixture(scope="session")
def often(request: pytest.FixtureRequest) -> Callable[[int], int]:
    """How often something is tried: so often in a usual run, ten times as often in a thorough one."""
    return lambda usual: usual * (10 if request.config.getoption("--thorough") else 1)


@pytest.fixture(autouse=True)
def _home_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Sends whatever looks for the user's folders to the test's own: settings, data, caches, printer options."""
    home = tmp_path / ".home"
    for name in ("HOME", "USERPROFILE", "APPDATA", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(home))
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
        monkeypatch.delenv(name, raising=False)
