"""The first run: one page that asks for the laboratory's name, country and colours, with an offer for each."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QLocale, Qt, QTimeZone, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QComboBox, QGridLayout, QLineEdit, QPushButton, QScrollArea, QVBoxLayout, QWidget

from intake.desk.begin import FirstAnswers, Offer, begin_lab, list_problem, offer, problems, zone_offered, zones_of
from intake.errors import IntakeError
from intake.ui.colour_row import ColourRow
from intake.ui.help_panel import set_help
from intake.ui.plain import Words, restyle
from intake.ui.printer_dialog import QueueChoice, queue_words
from intake.ui.room import Room
from intake.ui.spreadsheets import FileField

if TYPE_CHECKING:
    from intake.outbox.print_queue import QueueInfo
    from intake.setup.places import DataFolder

CHOOSE = "choose …"
ROOMY = 62
"""From this width on, in heights of text, there are two columns."""
FIELDS = {
    "name": ("&Laboratory", "The laboratory’s name, as it shall stand on tickets and letters."),
    "telephone": ("&Telephone", "The number that practices are to ring; it stands on the letters. It may stay empty."),
    "country": ("Count&ry", "Where the laboratory is: its bank holidays are no working days. Type its first letters."),
    "subdivision": ("P&art of it", "The part of the country, where its bank holidays differ from the others’."),
    "zone": ("Time &zone", "Every hour on tickets and letters is counted in it."),
    "ticket": ("&Printer for tickets", "Tickets go straight to this printer. It can be chosen later as well."),
    "letter": ("Printer for l&etters", "Query letters go straight to this printer. It can be chosen later as well."),
    "practices": (
        "Practices &from a file",
        "The list of your practices from a spreadsheet, CSV or XLSX: you see what would come into the directory before "
        "it does. It may stay empty; practices can be taken in at any time, or come in with their first case.",
    ),
}


class FirstRun(QScrollArea):
    """The page. Enter goes on from field to field; the key that saves a case starts.

    Args:
        room: What every place shares.
        folder: Where the setup will lie.
        queues: Lists the print queues of this computer; may take a while.
    """

    begun = Signal(object)
    """The new lab."""

    def __init__(self, room: Room, folder: "DataFolder", queues: "Callable[[], Sequence[QueueInfo]]") -> None:
        super().__init__()
        self._room, self._folder = room, folder
        self._offer: Offer | None = None
        self._tried = False
        self.rows: dict[str, ColourRow] = {}
        self._labelled: list[tuple[QWidget, QWidget]] = []
        self._lines: list[tuple[QWidget, ...]] = []
        self.name, self.telephone = QLineEdit(self), QLineEdit(self)
        self.country, self.subdivision, self.zone = QComboBox(self), QComboBox(self), QComboBox(self)
        self.ticket, self.letter = QueueChoice("", (), None, self), QueueChoice("", (), None, self)
        self.practices = FileField("a spreadsheet, or nothing for now", room.look, self)
        self.wrong = Words(ink="held", bold=True, wraps=True)
        self.start_button = QPushButton(f"&Start  {room.keys.shown('save')}", self)
        for field in (self.country, self.subdivision, self.zone, self.ticket, self.letter):
            field.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            field.setMinimumContentsLength(8)
        self._lay_out()
        room.look.changed.connect(self._arrange)
        self.country.currentIndexChanged.connect(self._on_country)
        for field in (self.subdivision, self.zone):
            field.currentIndexChanged.connect(self._again)
        self.start_button.clicked.connect(self.start)
        room.keys.action("save").triggered.connect(self.start)
        self.name.textEdited.connect(self._again)
        self.practices.edit.textChanged.connect(self._again)
        self.setFocusProxy(self.name)
        room.jobs.run(partial(_offered, queues), self._on_offer, lane="beside")

    @property
    def answers(self) -> FirstAnswers:
        """What is on the page."""
        return FirstAnswers(
            name=self.name.text().strip(),
            country=self.country.currentData() or "",
            subdivision=self.subdivision.currentData(),
            zone=self.zone.currentData() or "",
            telephone=self.telephone.text().strip(),
            boxes={category: row.box for category, row in self.rows.items()},
            ticket_queue=self.ticket.queue,
            letter_queue=self.letter.queue,
        )

    @Slot()
    def start(self) -> None:
        """Writes the setup and begins; says what is wrong, and goes there, where it cannot."""
        if self._offer is None:
            return
        self._tried = True
        wrong = self._problems()
        self._mark(wrong)
        if wrong:
            self._field(next(iter(wrong))).setFocus(Qt.FocusReason.OtherFocusReason)
            return
        try:
            lab = begin_lab(self._folder, self.answers)
        except (IntakeError, OSError) as problem:
            self.wrong.setText(_said(problem))
            return
        self.begun.emit(lab)

    def _on_offer(self, offered: Offer) -> None:
        self._offer = offered
        self.country.addItem(CHOOSE, "")
        for country in offered.countries:
            self.country.addItem(country.name, country.code)
        for field in (self.ticket, self.letter):
            for queue in offered.queues:
                field.addItem(queue_words(queue), queue.name)
        only = [queue.name for queue in offered.queues if queue.accepting]
        if len(only) == 1:
            self.ticket.setCurrentIndex(self.ticket.findData(only[0]))
            self.letter.setCurrentIndex(self.letter.findData(only[0]))
        self._add_colours(offered)
        here = QLocale.territoryToCode(QLocale.system().territory())
        self.country.setCurrentIndex(max(0, self.country.findData(here)))
        self.start_button.setEnabled(True)

    @Slot()
    def _on_country(self) -> None:
        code = self.country.currentData()
        country = next((c for c in self._offer.countries if c.code == code), None) if self._offer else None
        self.subdivision.clear()
        self.zone.clear()
        parts = country.parts if country else ()
        self.subdivision.addItem(CHOOSE if parts else "it has none" if country else "choose the country first", None)
        for part in parts:
            self.subdivision.addItem(part.name, part.code)
        self.subdivision.setEnabled(bool(parts))
        own = cast("bytes", QTimeZone.systemTimeZoneId().data()).decode()
        for zone in zones_of(code) if country else ():
            self.zone.addItem(zone, zone)
        self.zone.setCurrentIndex(max(0, self.zone.findData(zone_offered(code, own) if country else None)))
        self._again()

    @Slot()
    def _again(self) -> None:
        """Once somebody has tried to start, what is still wrong follows what is typed."""
        if self._tried:
            self._mark(self._problems())

    def _problems(self) -> dict[str, str]:
        wrong, of_list = problems(self.answers), list_problem(self.practices.edit.text())
        return wrong | ({"practices": of_list} if of_list else {})

    def _mark(self, wrong: dict[str, str]) -> None:
        self.wrong.setText("\n".join(wrong.values()))
        for category, row in self.rows.items():
            row.mark(f"box-{category}" in wrong)
        for name, field in (("name", self.name), ("practices", self.practices.edit)):
            field.setProperty("wrong", name in wrong)
            restyle(field)

    def _field(self, name: str) -> QWidget:
        if name.startswith("box-"):
            return self.rows[name.removeprefix("box-")].name
        return cast("QWidget", getattr(self, name))

    def _add_colours(self, offered: Offer) -> None:
        known = {category.box.colour.casefold(): category.box.hex for category in offered.categories}
        before: QWidget = self.practices.edit
        for category in offered.categories:
            row = ColourRow(category.name, category.box.colour, category.box.hex, known, self._room.look, self._page)
            row.edited.connect(self._again)
            self._lines.append((Words(category.name), row.patch, row.name, row.value))
            for part in (row.name, row.value):
                QWidget.setTabOrder(before, part)
                before = part
            self.rows[category.id] = row
        QWidget.setTabOrder(before, self.start_button)
        self._arrange()

    def _lay_out(self) -> None:
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._page = QWidget(self)
        self._fields, self._colours = QGridLayout(), QGridLayout()
        for name, (words, told) in FIELDS.items():
            field = self._field(name)
            typed = field.edit if isinstance(field, FileField) else field
            typed.setAccessibleName(words.replace("&", ""))
            set_help(typed, told)
            label = Words(words)
            label.setBuddy(typed)
            self._labelled.append((label, field))
        self.start_button.setEnabled(False)
        self._column = column = QVBoxLayout(self._page)
        column.addWidget(Words("Welcome to Intake", size="arm"))
        column.addWidget(Words(WELCOME.format(key=self._room.keys.shown("save")), ink="quiet", wraps=True))
        column.addLayout(self._fields)
        column.addWidget(Words("The box of each kind of work", bold=True))
        column.addLayout(self._colours)
        column.addWidget(self.wrong)
        column.addWidget(self.start_button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        self.setWidget(self._page)
        self._arrange()

    @Slot()
    def _arrange(self) -> None:
        """Fields and colours in two columns, or in one where there is not the room."""
        px = self._room.look.px
        columns = 2 if self.width() >= px(ROOMY) else 1
        _fill(self._fields, self._labelled, columns, stretched=1)
        _fill(self._colours, self._lines, columns, stretched=2)
        for grid in (self._fields, self._colours):
            grid.setHorizontalSpacing(px(0.8))
            grid.setVerticalSpacing(px(0.4))
        self._column.setContentsMargins(px(2), px(1.2), px(2), px(1.2))
        self._column.setSpacing(px(0.9))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)
        elif self.start_button.hasFocus():
            self.start()
        else:
            self.focusNextChild()


WELCOME = (
    "A few things before the first bag is opened. Everything is offered as most laboratories have it, and can be "
    "changed later. Enter goes on, {key} starts."
)


def _fill(grid: QGridLayout, lines: Sequence[Sequence[QWidget]], columns: int, stretched: int) -> None:
    """Puts lines of widgets below one another in so many columns; in each the widget at `stretched` takes the room."""
    rows = -(-len(lines) // columns)
    wide = max((len(line) for line in lines), default=0)
    for at, line in enumerate(lines):
        for offset, part in enumerate(line):
            grid.addWidget(part, at % rows, at // rows * wide + offset)
    for column in range(wide * 2):
        grid.setColumnStretch(column, int(column % wide == stretched and column // wide < columns))


def _offered(queues: "Callable[[], Sequence[QueueInfo]]") -> Offer:
    try:
        present = queues()
    except IntakeError:  # no print service answers: the printer is chosen later
        present = ()
    return offer(present)


def _said(problem: Exception) -> str:
    return str(problem) if isinstance(problem, IntakeError) else f"The setup cannot be written: {problem}."
