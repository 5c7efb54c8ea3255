"""Works the form of Parcels: what the label and the practice say, keeping it, taking that back, the next one."""

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QObject, Signal, Slot

from intake.domain.form_fields import Said
from intake.domain.parcel_labels import label_text
from intake.domain.parcels import ContentKind
from intake.domain.wording import counted
from intake.errors import IntakeError
from intake.ui.latest import Latest
from intake.ui.parcels import asked
from intake.ui.parcels.deeds import Deeds
from intake.ui.parcels.draft import Draft, with_thing
from intake.ui.parcels.form import ParcelForm
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued

Then = Literal["case", "later", "stop", "refuse"]
"""What follows once it is kept: its first case is opened, or nothing yet; it is stopped; it is refused."""
TROUBLE = "parcel-not-kept"
NOTHING = "There is nothing to keep yet: scan the parcel’s label or the practice’s sticker, or say what lies in it."
ANOTHER = "{label} is not kept yet. {keep} keeps it, {new} puts it aside; then scan again."


class Opening(QObject):
    """Keeps what is in the form.

    Args:
        room: What every place shares.
        form: The form.
        deeds: Runs what is asked of the desk.
        parent: The owner.
    """

    kept = Signal(object, str, str)
    """A parcel was kept, as `asked.Kept`; what follows; why it is refused, if it is."""
    changed = Signal(int)
    """What is said of a parcel was corrected."""
    came_back = Signal(object)
    """The keeping of a parcel was taken back, and it is in the form again: the arrivals that wait no longer."""
    seen_again = Signal(int)
    """The parcel that had the label before."""

    def __init__(self, room: Room, form: ParcelForm, deeds: Deeds, parent: QObject) -> None:
        super().__init__(parent)
        self._room, self._form, self._deeds = room, form, deeds
        self._aside: list[Draft] = []
        self._labels, self._statements = Latest(room.jobs), Latest(room.jobs)
        form.label_changed.connect(self._on_label)
        form.practice_changed.connect(self._on_practice)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._labels.forget()
        self._statements.forget()

    def ask_again(self) -> None:
        """Asks for what was typed before the data were open."""
        self._on_label(self._form.label.text)
        self._on_practice(self._form.practice.code)

    def take_label(self, label: str) -> None:
        """Takes a label that was scanned: of the parcel in the form if it has none yet, else of a new one."""
        draft = self._form.draft
        if draft.parcel_id is None and label_text(draft.label) in ("", label):
            self._form.scan_label(label)
        else:
            shown, words = self._room.keys.shown, draft.label.strip() or "The parcel in the form"
            said = ANOTHER.format(label=words, keep=shown("keep-parcel"), new=shown("parcel-new"))
            self._room.news.tell(said)

    def keep(self, then: Then, why: str = "") -> None:
        """Keeps what is in the form and empties it; `kept` follows, or it comes back with what is wrong."""
        draft = self._form.draft
        if draft.is_empty:
            self._room.news.tell(NOTHING)
        elif self._form.practice.wrong and then != "stop":
            self._form.practice_field.say(Said(self._form.practice.wrong, wrong=True))
            self._form.practice_field.take_keys(at_end=True)
            self._room.news.tell(f"Not kept yet. {self._form.practice.wrong}")
        elif self._deeds.desk is None:
            self._room.news.tell("The data are still being opened; keep it again in a moment.")
        else:
            self._keep(self._deeds.desk, draft, then, why)

    def _keep(self, desk: "Desk", draft: Draft, then: Then, why: str) -> None:
        named = replace(draft, practice=self._form.practice.named)
        self._room.news.settle(TROUBLE)
        hygiene = self._form.hygiene.hygiene
        self.next_form()
        run, failed = self._room.jobs.run, partial(self._on_not_kept, draft)
        if draft.parcel_id is None:
            run(partial(asked.keep, desk, named, hygiene), partial(self._on_kept, draft, then, why), failed)
        else:  # tickets may be printed anew: a printer that does not answer keeps nobody waiting
            done = partial(self._on_changed, draft.parcel_id)
            run(partial(asked.change, desk, named, hygiene), done, failed, lane="beside")

    def stop(self) -> None:
        """Something in it can hurt: it is kept as it stands, and stopped."""
        draft = self._form.draft
        self._form.things.load(with_thing(draft.things, "danger"))
        self.keep("stop")

    def new(self) -> None:
        """An empty form; what was begun comes back once that is kept."""
        draft = self._form.draft
        if not draft.is_empty:
            self._room.news.tell("Put aside: it comes back in the form when the next parcel is kept.")
        self._form.load(Draft())
        if not draft.is_empty:
            self._aside.append(draft)

    def next_form(self) -> None:
        """An empty form, or what had to stand aside."""
        self._form.load(self._aside.pop() if self._aside else Draft())

    def put_in(self, draft: Draft) -> None:
        """Puts a draft in; what was begun before stands aside."""
        before = self._form.draft
        if not before.is_empty:
            self._aside.append(before)
        self._form.load(draft)

    def add(self, kind: ContentKind) -> None:
        """Puts one more thing to what lies in it."""
        self._form.add(kind)

    def _on_kept(self, draft: Draft, then: Then, why: str, kept: asked.Kept) -> None:
        opened = kept.opened
        words = draft.label.strip() or self._deeds_words(draft)
        said = f"Kept: {words}, {counted(len(opened.contents), 'thing')} in it."
        said = " ".join((said, *(opened.again.says if opened.again else "",), *kept.troubles)).strip()
        if then == "stop":  # what can hurt is written down, not taken back by a key
            self._room.news.withdraw_undo()
            self._room.news.tell(said)
        else:
            self._room.news.offer_undo(said, partial(self._take_back, draft, kept), f"parcel {words}")
        self.kept.emit(kept, then, why)

    @staticmethod
    def _deeds_words(draft: Draft) -> str:
        return f"the parcel of {draft.practice.strip()}" if draft.practice.strip() else "a parcel without a label"

    def _on_changed(self, parcel_id: int, came_of_it: "tuple[tuple[str, ...], tuple[Issued, ...]]") -> None:
        troubles, issued = came_of_it
        self._room.news.tell(" ".join(("Corrected.", *troubles)))
        self._deeds.issued.emit(issued)
        self.changed.emit(parcel_id)

    def _on_not_kept(self, draft: Draft, problem: Exception) -> None:
        """Brings everything back; under hands that type on, when they are done."""
        if self._form.draft.is_empty:
            self._form.load(draft)
            said = f"Not kept. {problem}"
        else:
            self._aside.append(draft)
            said = f"Not kept: the parcel before this one. It comes back when this one is kept. {problem}"
        self._room.news.trouble(said if isinstance(problem, IntakeError) else "Not kept.", TROUBLE)
        if not isinstance(problem, IntakeError):
            raise problem

    def _take_back(self, draft: Draft, kept: asked.Kept) -> None:
        work = partial(asked.take_back, parcel_id=kept.opened.parcel_id)
        self._deeds.run(work, partial(self._on_back, draft, kept))

    def _on_back(self, draft: Draft, kept: asked.Kept, _: None) -> None:
        self.put_in(draft)
        self._room.news.tell("Taken back: the form of the parcel is as it was.")
        self.came_back.emit(kept.opened.arrivals)

    @Slot(str)
    def _on_label(self, text: str) -> None:
        if not text.strip() or self._deeds.desk is None:
            self._labels.forget()
            return
        self._labels.ask(partial(asked.label, self._deeds.desk, text), self._on_read, self._on_no_label)

    def _on_read(self, told: asked.OfLabel) -> None:
        self._form.show_label(told)
        if told.before is not None and self._form.before.isVisibleTo(self._form):
            self.seen_again.emit(told.before.parcel_id)

    def _on_no_label(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._form.label.say(Said(str(problem), wrong=True))

    @Slot(str)
    def _on_practice(self, code: str) -> None:
        self._form.hygiene.take_statement("")
        if not code or self._deeds.desk is None:
            self._statements.forget()
            return
        work = partial(asked.standing_statement, self._deeds.desk, code)
        self._statements.ask(work, self._form.hygiene.take_statement, self._deeds.trouble)
