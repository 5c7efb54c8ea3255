"""What holds for every test: no window on a real screen, no settings or files of the person at this machine."""

import os
from pathlib import Path

import pytest
from hypothesis import settings

pytest_plugins = ["tests.databases"]

# An example may be the first to load a library or to read a year's bank holidays: no time limit of its own.
settings.register_profile("intake", deadline=None)
settings.load_profile("intake")
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
# Scaling and styles of the machine would move what the tests measure.
for name in ("QT_SCALE_FACTOR", "QT_STYLE_OVERRIDE", "QT_QPA_PLATFORMTHEME", "QT_FONT_DPI"):
    os.environ.pop(name, None)


@pytest.fixture(autouse=True)
def _home_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Sends whatever looks for the user's folders to the test's own: settings, data, caches, printer options."""
    home = tmp_path / ".home"
    for name in ("HOME", "USERPROFILE", "APPDATA", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(home))
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
        monkeypatch.delenv(name, raising=False)
