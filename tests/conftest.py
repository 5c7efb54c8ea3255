"""What holds for every test: no window on a real screen, no settings or files of the person at this machine."""

import gc
import os
from collections import defaultdict
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest
from hypothesis import settings

pytest_plugins = ["tests.databases"]

# An example may be the first to load a library or to read a year's bank holidays: no time limit of its own.
settings.register_profile("usual", deadline=None, max_examples=12)
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
    """Leaves out what is tried in a thorough run only, most variants of what is sampled among it."""
    if config.getoption("--thorough"):
        return
    sampled = defaultdict(list)
    for item in items:
        if item.get_closest_marker("sampled"):
            sampled[item.nodeid.partition("[")[0]].append(item)
    spread = {id(item) for variants in sampled.values() for item in _spread(variants)}
    rest = {id(item) for variants in sampled.values() for item in variants} - spread
    left_out = [item for item in items if item.get_closest_marker("thorough") or id(item) in rest]
    gone = set(map(id, left_out))
    config.hook.pytest_deselected(items=left_out)
    items[:] = [item for item in items if id(item) not in gone]


def _spread(variants: list[pytest.Item]) -> list[pytest.Item]:
    """So many of a test's variants as its mark says, spread evenly, the first and the last among them."""
    marker = variants[0].get_closest_marker("sampled")
    assert marker is not None, "only what is marked comes here"
    wanted = min(int(marker.args[0]), len(variants))
    steps = max(1, wanted - 1)
    return [variants[round(n * (len(variants) - 1) / steps)] for n in range(wanted)]


def pytest_collection_finish(session: pytest.Session) -> None:
    """Keeps the collector of garbage from going through ten thousand tests again and again: they stay to the end."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


@pytest.fixture(scope="session")
def often(request: pytest.FixtureRequest) -> Callable[[int], int]:
    """How often something is tried: so often in a usual run, ten times as often in a thorough one."""
    return lambda usual: usual * (10 if request.config.getoption("--thorough") else 1)


@pytest.fixture(scope="session")
def _homes(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A folder for each test that may look for one; none is made before something is put there."""
    folder = tmp_path_factory.mktemp("homes")
    return (folder / str(number) for number in count())


@pytest.fixture(autouse=True)
def _home_of_its_own(_homes: Iterator[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """Sends whatever looks for the user's folders to the test's own: settings, data, caches, printer options."""
    home = next(_homes)
    for name in ("HOME", "USERPROFILE", "APPDATA", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(home))
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
        monkeypatch.delenv(name, raising=False)
