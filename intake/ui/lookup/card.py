"""The card of a job: its box, the answer to read aloud, and every fact under it."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QGridLayout, QScrollArea, QVBoxLayout, QWidget

from intake.domain.job_number import JobNumber
from intake.domain.written_dates import shown_moment
from intake.ui.box_patch import BoxPatch, BoxView
from intake.ui.look import Look
from intake.ui.plain import Words, restyle

if TYPE_CHECKING:
    from intake.desk.look_up import Card

ENDED = {"withdrawn": "WITHDRAWN", "gone": "HANDED OVER"}
BOLD = ("Cautions", "Must leave")
ROOMY, BOX = 44, 16
"""From this width on, in heights of text, the answer stands beside the box; how wide that is then at most."""
ABREAST = 32
"""With so much room, what stands under the answer stands side by side."""


class CardView(QScrollArea):
    """Shows one job.

    Args:
        look: For colours, fonts and lengths.
        empty: What to say while no job is chosen.
        parent: The owner.
    """

    def __init__(self, look: Look, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName("Card")
        self.box = BoxPatch(look, "", self)
        self.number = Words(size="small", ink="quiet")
        self.sentence = Words(size="arm", wraps=True)
        self.replaced = Words(ink="held", bold=True, wraps=True)
        self.empty = Words(empty, ink="quiet", wraps=True)
        self.answered = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        """Under the answer."""
        self._facts = QGridLayout()
        self.foot = QVBoxLayout()
        """Under the facts."""
        self._shown_facts: list[Words] = []
        self._lay_out()
        look.changed.connect(self._fit)
        self.clear()

    def show_card(self, card: "Card") -> None:
        """Shows a job from its top."""
        job = card.job
        ended = ENDED.get(job.state, "")
        self.box.show_boxes([BoxView(job.category_name, job.box_colour, job.box_hex, job.state == "held", ended)])
        self.number.setText(f"Job {JobNumber(job.number).shown}")
        self.sentence.setText(card.sentence)
        self.replaced.setText(card.replaced)
        self.replaced.setVisible(bool(card.replaced))
        self._fill(card)
        self._show(True)
        self.setAccessibleDescription(f"{card.replaced} {card.sentence}".strip())
        self.verticalScrollBar().setValue(0)

    def clear(self) -> None:
        """Shows no job."""
        self._show(False)
        self.setAccessibleDescription(self.empty.text())

    def scroll_page(self, pages: int) -> None:
        """Scrolls by pages, from wherever the keys are."""
        bar = self.verticalScrollBar()
        bar.setValue(bar.value() + pages * round(bar.pageStep() * 0.9))

    def _show(self, card: bool) -> None:
        self._card.setVisible(card)
        self.empty.setVisible(not card)

    def _lay_out(self) -> None:
        self._card = QWidget()
        self._head = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        said = QVBoxLayout()
        for words in (self.number, self.sentence, self.replaced):
            said.addWidget(words)
        said.addLayout(self.answered)
        said.addStretch(1)
        self._head.addWidget(self.box, 0, Qt.AlignmentFlag.AlignTop)
        self._head.addLayout(said, 1)
        self._column = QVBoxLayout(self._card)
        self._column.addLayout(self._head)
        self._column.addLayout(self._facts)
        self._column.addLayout(self.foot)
        self._column.addStretch(1)
        self._facts.setColumnStretch(1, 1)
        whole = QWidget(self)
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._card, 1)
        column.addWidget(self.empty, 0, Qt.AlignmentFlag.AlignTop)
        self.setWidget(whole)
        self._fit()

    def _fill(self, card: "Card") -> None:
        for part in self._shown_facts:
            self._facts.removeWidget(part)
            part.deleteLater()
        self._shown_facts = []
        told = [(fact.words, fact.lines) for fact in card.facts]
        told.append(("History", tuple(f"{shown_moment(said.at)}  {said.who}  {said.what}" for said in card.history)))
        for row, (heading, lines) in enumerate(told):
            head = Words(heading, ink="quiet")
            text = Words(
                "\n".join(lines), ink="caution" if heading == "Cautions" else "ink", bold=heading in BOLD, wraps=True
            )
            text.setAccessibleName(heading)
            self._facts.addWidget(head, row, 0, Qt.AlignmentFlag.AlignTop)
            self._facts.addWidget(text, row, 1)
            self._shown_facts += [head, text]

    @Slot()
    def _fit(self) -> None:
        margin = self._look.px(1)
        roomy = self.viewport().width() >= self._look.px(ROOMY)
        sideways, downwards = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        if self.sentence.property("print") != (size := "arm" if roomy else "text"):
            self.sentence.setProperty("print", size)
            restyle(self.sentence)
        self._head.setDirection(sideways if roomy else downwards)
        beside = self.viewport().width() - self._look.px(BOX if roomy else 0)
        self.answered.setDirection(sideways if beside >= self._look.px(ABREAST) else downwards)
        self.box.setFixedHeight(self._look.px(11 if roomy else 5.5))
        self.box.setMinimumWidth(self._look.px(14))
        self.box.setMaximumWidth(self._look.px(BOX) if roomy else 16_777_215)
        self._head.setAlignment(self.box, Qt.AlignmentFlag.AlignTop if roomy else Qt.AlignmentFlag(0))
        self._column.setContentsMargins(margin, 0, margin, margin)
        self.empty.setContentsMargins(margin, margin, margin, margin)
        self._column.setSpacing(self._look.px(1.2))
        self.answered.setSpacing(self._look.px(0.5))
        self._head.setSpacing(self._look.px(1.2))
        self._facts.setHorizontalSpacing(self._look.px(1.2))
        self._facts.setVerticalSpacing(self._look.px(0.7))
        self._facts.setColumnMinimumWidth(0, self._look.px(6.5))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
