"""Pictures of Lab setup, taken on a copy of the demo's lab: what is entered for a picture stays out of its day."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import chdir, contextmanager
from dataclasses import replace
from datetime import time
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from intake.desk.desk import Desk
from intake.desk.lab_setup import put_in_force, setup_file
from intake.desk.people import enter_person
from intake.desk.safekeeping import back_up
from intake.setup.editing import SetupText
from intake.store.opening import Store
from intake.ui.pictures import wait, window_picture
from intake.ui.places import SETUP
from intake.ui.setup.directory.take_in_dialog import TakeInDialog
from intake.ui.start import Start

EDITIONS = {
    "Splints have four days since the new bench": (("categories", 0, "route", 1, "days"), 4),
    "The cut-off is later now that the second post comes": (("calendar", "cut_off"), time(12, 30)),
}
"""Why a setup was changed, and what was."""
SHEET = """Code;Practice;Postcode;Telephone;E-mail
MARLOW1;Marlowe House Dental Practice;XQ1 2AB;01632 960177;desk@marlowe-house.example.com
QUAYSIDE;Quayside Dental Rooms;XQ4 7CD;01632 960166;hello@quayside.example.com
;Marlow House Dental Practice;XQ1 2AB;01632 960101;
ORCHARD;Orchard Road Surgery;XQ5 1EF;ask Jo;post@orchard.example.com
"""
"""A directory as a spreadsheet has it: a practice changed, one new, one twice, one whose telephone is none."""


def of_setup(desk: Desk, folder: Path) -> list[Path]:
    """Every page of Lab setup, and the dialogs of two of them."""
    with _copy(desk) as copy:
        shown: dict[str, Callable[[Start], None]] = {
            "setup-laboratory": partial(_page, page="setup-laboratory"),
            "setup-directory": _directory,
            "setup-work": _work,
            "setup-colours": partial(_page, page="setup-colours"),
            "setup-rules": _rules,
            "setup-calendar": _calendar,
            "setup-texts": _texts,
            "setup-people": partial(_page, page="setup-people"),
            "setup-editions": partial(_page, page="setup-editions"),
        }
        pictures = [window_picture(copy, folder / f"{name}.png", show, "light", 100) for name, show in shown.items()]
        dark = partial(_page, page="setup-colours")
        pictures.append(window_picture(copy, folder / "setup-colours-dark.png", dark, "dark", 100))
        dialogs: dict[str, Callable[[Start], None]] = {
            "setup-try": _try_it,
            "setup-directory-file": partial(_from_file, copy),
        }
        for name, show in dialogs.items():
            pictures.append(window_picture(copy, folder / f"{name}.png", show, "light", 100, _dialog))
    return pictures


@contextmanager
def _copy(desk: Desk) -> Iterator[Desk]:
    """A desk on a copy of the data, with two editions and two people more."""
    assert desk.folder is not None, "the demo has a folder"
    with TemporaryDirectory(ignore_cleanup_errors=True) as aside:
        place = Path(aside)
        back_up(desk, place / "intake.db")
        for name in ("setup.toml", "logo.png"):
            shutil.copy(desk.folder / name, place)
        copy = replace(desk, store=Store.open(place / "intake.db"), folder=place)
        for why, (where, value) in EDITIONS.items():
            file = setup_file(copy)
            text = SetupText(file.text)
            text.put(where, value)
            copy = put_in_force(copy, str(text), why, file.edition).desk
        enter_person(copy, "HW", "Hilde Warrender", "lead")
        enter_person(copy, "JT", "Jun Tanaka", "desk")
        try:
            yield copy
        finally:
            copy.store.close()


def _page(start: Start, page: str) -> None:
    place = start.places[SETUP]
    start.window.show_place(SETUP)
    wait(start)
    place.show_page(page)
    place.page.setFocus()
    wait(start)


def _directory(start: Start) -> None:
    _page(start, "setup-directory")
    page = start.places[SETUP].page
    page.finder.setText("oxm")
    page.list.show_only("oxm")
    page.form.take_keys("telephone")


def _work(start: Start) -> None:
    _page(start, "setup-work")
    start.places[SETUP].page.panels["work-categories"].view.go_to(0, 3)


def _rules(start: Start) -> None:
    _page(start, "setup-rules")
    page = start.places[SETUP].page
    page.find_field.setText("bite")
    page.list.choose_first()


def _calendar(start: Start) -> None:
    """A month on, where the lab is closed between the years."""
    _page(start, "setup-calendar")
    _press(start.window, "PgDown")


def _texts(start: Start) -> None:
    _page(start, "setup-texts")
    start.places[SETUP].page.find_field.setText("closing")


def _from_file(desk: Desk, start: Start) -> None:
    assert desk.folder is not None, "the copy has a folder"
    file = desk.folder / "practices.csv"
    file.write_text(SHEET, encoding="utf-8")
    _page(start, "setup-directory")
    start.places[SETUP].page.deeds.take_in()
    wait(start)
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, TakeInDialog), "the dialog of the list is open"
    with chdir(desk.folder):  # the picture is no matter of where this machine keeps things
        dialog.file.take(file.name)
        _press(dialog, "Return")
        wait(start)


def _try_it(start: Start) -> None:
    """The rule book asks for a bite record instead of waiting for it, and that is tried."""
    _page(start, "setup-rules")
    draft = start.places[SETUP].draft

    def softer(text: SetupText) -> None:
        for at, rule in enumerate(text.get(("rules",))):
            if rule["id"] == "bite-record":
                text.put(("rules", at, "level"), "asks")

    draft.change(softer)
    start.places[SETUP].page.try_it()
    wait(start)
    dialog = QApplication.activeModalWidget()
    assert dialog is not None, "the dialog of the trial is open"
    _press(dialog, "Return")
    wait(start)


def _press(window: QWidget, key: str) -> None:
    combination = QKeySequence.fromString(key)[0]  # type: ignore[index]  # the wheel's own stubs leave it out
    QTest.keyClick(window.windowHandle(), combination.key(), combination.keyboardModifiers())


def _dialog(window: QWidget) -> QWidget:
    return QApplication.activeModalWidget() or window
