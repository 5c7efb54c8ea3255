"""How long it takes until the window is painted, beside a bare window of the same toolkit, in the same run."""

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

import pytest

from intake.store.opening import Store
from tests.desk.desks import enter_practices

ROOT = Path(__file__).resolve().parents[2]
ROUNDS, USUAL = 9, 5
COMPILED = Path(tempfile.gettempdir()) / "intake-benchmark-compiled"

BARE = """
import sys, time
from PySide6.QtWidgets import QApplication, QMainWindow
class Bare(QMainWindow):
    def paintEvent(self, event):
        super().paintEvent(event)
        print(time.time(), flush=True)
        app.quit()
app = QApplication([])
window = Bare()
window.resize(1280, 700)
window.show()
app.exec()
"""

INTAKE = """
import sys, time
from PySide6.QtCore import QEvent, QTimer
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QLineEdit
from intake.app import open_desk, read_lab
from intake.setup.places import data_folder
from intake.ui.start import Start
app = QApplication([])
start = Start(app, data_folder(sys.argv[1]), open_desk, read_lab, lambda: ())
def painted():
    print(time.time(), flush=True)
def ready():
    field = QApplication.focusWidget()
    assert isinstance(field, QLineEdit), field
    for letter in "qu":
        QApplication.sendEvent(field, QKeyEvent(QEvent.Type.KeyPress, ord(letter), app.keyboardModifiers(), letter))
    app.processEvents()
    assert field.text() == "qu"
    print(time.time(), flush=True)
start.opened.connect(lambda desk: print(time.time(), flush=True) or QTimer.singleShot(0, start.window.close))
start.window.painted.connect(painted)
start.ready.connect(ready)
start.window.show()
app.exec()
"""

IMPORTED = """
import sys
import intake.app, intake.setup.places, intake.ui.start
print(*sorted({name.partition(".")[0] for name in sys.modules}))
"""


def _run(script, *words):
    """What a script prints in a process of its own, with compiled modules kept as an installed Intake has them."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    environment = kept | {"QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT), "PYTHONPYCACHEPREFIX": str(COMPILED)}
    command = [sys.executable, "-c", script, *words]
    return subprocess.run(command, env=environment, capture_output=True, text=True, check=True).stdout


def _milliseconds(script, *words):
    """The times that a script prints, counted from before its process was started."""
    begun = time.time()
    return [(float(line) - begun) * 1000 for line in _run(script, *words).split()]


@pytest.fixture
def lab(tmp_path):
    """The demo's lab with its practices, and a store that is there already."""
    folder = tmp_path / "lab"
    folder.mkdir()
    shutil.copy(ROOT / "demo" / "lab.toml", folder / "setup.toml")
    store = Store.open(folder / "intake.db")
    enter_practices(store)
    store.close()
    return str(folder)


def test_nothing_slow_is_imported_before_the_window_is_painted():
    slow = {"pydantic", "sqlalchemy", "reportlab", "alembic", "pypdfium2", "holidays", "rapidfuzz", "tomlkit", "PIL"}
    assert not slow & set(_run(IMPORTED).split())


@pytest.mark.benchmark
def test_the_window_is_painted_and_ready_to_type_soon_after_a_bare_one(lab, record_property, allowed, strict):
    """Painted within twice, ready to type within four and a half times the time of a bare window, in one run."""
    _milliseconds(BARE), _milliseconds(INTAKE, lab)  # once each, for the disk
    pairs = [(_milliseconds(BARE)[0], *_milliseconds(INTAKE, lab)) for _ in range(ROUNDS if strict else USUAL)]
    bare, painted, ready, opened = (median(times) for times in zip(*pairs, strict=True))
    for name, value in (("bare", bare), ("painted", painted), ("ready", ready), ("opened", opened)):
        record_property(f"{name}_ms", round(value))
    print(
        f"\nbare window {bare:.0f} ms; Intake painted {painted:.0f} ms ({painted / bare:.2f} x), "
        f"ready to type {ready:.0f} ms ({ready / bare:.2f} x), data open {opened:.0f} ms"
    )
    assert painted <= allowed(2) * bare
    assert ready <= allowed(4.5) * bare
