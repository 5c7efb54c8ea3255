"""A desk of the demo's lab for tests: its setup and directory, a clock that stands, printers that keep files."""

from datetime import datetime
from functools import cache
from pathlib import Path

from intake.desk.desk import Desk
from intake.domain.reading import read_case
from intake.inbox.scan_files import ScanFiles
from intake.outbox.folder_queue import FolderQueue
from intake.resources import demo
from intake.setup.reading import read_practices, read_setup

NOW = datetime(2026, 11, 25, 10, 30)
"""Wednesday morning of the demo's day."""


@cache
def demo_lab():
    """The demo's lab, with queues for its paper."""
    lab = read_setup(demo("lab.toml"))
    ticket, letter = (paper.model_copy(update={"queue": "files"}) for paper in (lab.ticket, lab.letter))
    return lab.model_copy(update={"ticket": ticket, "letter": letter})


@cache
def demo_practices():
    return read_practices(demo("practices.toml"))


def open_desk(store, folder, now=NOW, person="AB", name="desk", lab=None):
    """A desk on a store; what it prints lies in `folder`/printed."""
    clock = now if callable(now) else lambda: now
    queue, scans = FolderQueue(Path(folder) / "printed"), ScanFiles(Path(folder) / "scans")
    return Desk(store, lab or demo_lab(), queue, clock, person, name, scan_store=scans)


def enter_practices(store):
    """Puts the demo's practices in the directory."""
    with store.work("AB", NOW) as work:
        for practice in demo_practices():
            work.practices.save(practice)
        work.commit()


def day_file(name):
    """A prescription file of the demo's day by its number or the beginning of its name."""
    (found,) = demo("day").glob(f"{name}*.json")
    return found


def day_case(name):
    """The case in a file of the demo's day."""
    return read_case(day_file(name).read_bytes(), demo_lab(), demo_practices())


def printed(folder):
    """The names of what was printed, in order."""
    return sorted(path.name for path in (Path(folder) / "printed").glob("*.pdf"))
