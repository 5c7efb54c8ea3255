"""What every place of the window shares: its look, its keys, its one voice and its job runner."""

from dataclasses import dataclass

from PySide6.QtCore import QSettings

from intake.ui.jobs import Jobs
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.memory import Memory
from intake.ui.news import News


@dataclass(frozen=True)
class Room:
    """Handed to each place when it is made."""

    look: Look
    keys: Keys
    news: News
    jobs: Jobs
    memory: Memory
    settings: QSettings
