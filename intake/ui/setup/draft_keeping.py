"""Keeps the changed setup in the store while it is being changed, so that a kill loses at most the last seconds."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Slot

from intake.errors import IntakeError
from intake.ui.room import Room
from intake.ui.setup import asked
from intake.ui.setup.draft import Draft

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.setup_drafts import KeptDraft

KEEP_MS = 2000
"""So long after the last change it is kept."""
BACK = "What was being changed in Lab setup when Intake ended is back there, and not in force yet."
MEANWHILE = "Edition {edition} was put in force meanwhile. What is changed here is changed from that one now."
BOTH = " Changed by both: {places}. What is changed here stands there."


class DraftKeeping(QObject):
    """Keeps a draft soon after it changes.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
        parent: The owner.
    """

    def __init__(self, room: Room, draft: Draft, parent: QObject) -> None:
        super().__init__(parent)
        self._room, self._draft = room, draft
        self.desk: Desk | None = None
        self._kept: str | None = None
        """What the store keeps; None where that is nothing."""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(KEEP_MS)
        self._timer.timeout.connect(self.keep_now)
        draft.changed.connect(self._on_changed)

    def bring_back(self, kept: "KeptDraft") -> None:
        """Puts what was being changed before into the draft again, and says so."""
        self._kept = kept.text
        self._draft.replace(kept.text)
        self._draft.edition = kept.edition
        if self._draft.is_changed:
            self._room.news.tell(BACK)

    def go_on_from(self, begun: asked.Begun) -> None:
        """Carries what is being changed over to a setup that came in force meanwhile, and says so."""
        both = self._draft.go_on_from(begun.file, begun.lab, begun.parsed)
        said = MEANWHILE.format(edition=begun.file.edition)
        places = "; ".join(", ".join(str(part).replace("_", " ") for part in place) for place in both)
        self._room.news.tell(f"{said}{BOTH.format(places=places)}" if both else said)

    def is_settled(self) -> None:
        """What was being changed is in force: the store keeps nothing any more."""
        self._kept = None
        self._timer.stop()

    @Slot()
    def keep_now(self) -> None:
        """Keeps the draft as it is, where that is not what is kept."""
        self._timer.stop()
        wanted = self._draft.text if self._draft.is_changed else None
        if self.desk is not None and wanted != self._kept:
            self._kept = wanted
            self._room.jobs.run(
                partial(asked.keep_draft, self.desk, wanted, self._draft.edition), failed=self._on_failed
            )

    @Slot()
    def _on_changed(self) -> None:
        if self.desk is not None:
            self._timer.start()

    def _on_failed(self, problem: Exception) -> None:
        """It is tried again with the next change."""
        self._kept = None
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(f"What is changed in the setup could not be kept. {problem}")
