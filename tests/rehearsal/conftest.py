"""The demo's day, run to files once with all its pictures, for the tests of both."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from intake.desk.arrivals import waiting
from intake.rehearsal import run_day
from intake.ui.pictures import take_pictures


@dataclass
class Ran:
    """A day that was run: its folder, its pictures and when they were asked for."""

    out: Path
    moments: list[tuple] = field(default_factory=list)
    """The moment, what waits then, how many forms came back, the time, and the folder."""
    pictures: list[Path] = field(default_factory=list)
    took: timedelta = timedelta()

    def picture(self, desk, folder, moment):
        self.moments.append((moment, len(waiting(desk)), len(desk.store.read.replies()), desk.now(), folder))
        began = datetime.now()
        pictures = take_pictures(desk, folder, moment)
        self.took += datetime.now() - began
        self.pictures.extend(pictures)
        return pictures


@pytest.fixture(scope="package")
def ran(qapp, tmp_path_factory):
    day = Ran(tmp_path_factory.mktemp("demo") / "day")
    assert run_day(day.out, day.picture) == 0
    return day
