"""E-mails that did not go out: in sight, tried again when it is time; and the password, asked for once."""

from dataclasses import replace
from datetime import timedelta

import keyring
import keyring.backend
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget

from intake.desk.letters import write_to
from intake.outbox.passwords import SERVICE, password_of
from intake.outbox.smtp import Smtp
from intake.store.opening import Store
from intake.ui.jobs import Jobs
from intake.ui.mailing import KEPT, NO_ACCOUNT, Mailing
from intake.ui.memory import Memory
from intake.ui.news import News
from intake.ui.room import Room
from tests.desk.desks import NOW, demo_lab, enter_practices, open_desk
from tests.desk.waiting import booked
from tests.outbox.mail_server import mail_server

KEY = "QUILLB2"


class Drawer(keyring.backend.KeyringBackend):
    """A keyring in memory; the system's own is never touched by a test."""

    priority = 1

    def __init__(self):
        super().__init__()
        self.kept = {}

    def get_password(self, service, account):
        return self.kept.get((service, account))

    def set_password(self, service, account, password):
        self.kept[service, account] = password


@pytest.fixture
def drawer():
    before, mine = keyring.get_keyring(), Drawer()
    keyring.set_keyring(mine)
    yield mine
    keyring.set_keyring(before)


class Clock:
    """The lab's wall clock, which the test moves."""

    def __init__(self):
        self.now = NOW

    def __call__(self):
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def server():
    with mail_server() as running:
        yield running


@pytest.fixture
def desk(sqlite_place, tmp_path, clock, server):
    store = Store.open(sqlite_place)
    enter_practices(store)
    route = Smtp("localhost", server.port, context=server.trusted)
    yield replace(open_desk(store, tmp_path, now=clock), mail=route)
    store.close()


@pytest.fixture
def signing_in(desk, server):
    """The desk of a lab whose mail server asks for a password."""
    mail = desk.lab.mail.model_copy(update={"server": "localhost", "port": server.port, "user": "reception"})
    route = Smtp("localhost", server.port, "starttls", "reception", lambda: password_of("reception"), server.trusted)
    return replace(desk, lab=demo_lab().model_copy(update={"mail": mail}), mail=route)


@pytest.fixture
def room(look, keys, settings):
    problems = []
    jobs = Jobs(problems.append)
    yield Room(look, keys, News(look, keys), jobs, Memory(settings), settings)
    jobs.close()
    assert problems == []


@pytest.fixture
def mailing(room, qtbot):
    window = QWidget()
    QVBoxLayout(window).addWidget(room.news)
    for row in room.keys.table:
        window.addAction(room.keys.action(row.id))
    qtbot.addWidget(window)
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    made = Mailing(room, 10, window)
    made.told = []
    made.sent.connect(made.told.append)
    yield made
    made.stop()
    qtbot.waitUntil(lambda: room.jobs.under_way == 0)


def failed_letter(desk, server):
    """A letter that the server did not take."""
    booked(desk, "02")
    server.kept.refuse = "451 come back later"
    (issued,) = write_to(desk, KEY, "mail")
    assert not issued.sent
    return issued


def trouble(room):
    return room.news.trouble_words.text() if not room.news._trouble_row.isHidden() else ""


def test_a_mail_that_failed_stays_in_sight_and_goes_out_when_it_is_time(mailing, desk, server, clock, room, qtbot):
    issued = failed_letter(desk, server)
    number = issued.document.document_id
    mailing.set_desk(desk)
    practice = issued.document.practice_name
    qtbot.waitUntil(lambda: f"Letter {number} to {practice} did not go out by e-mail." in trouble(room))
    assert "451 come back later" in trouble(room)
    assert room.news.trouble_button.text().endswith("F9")
    server.kept.refuse = ""
    qtbot.wait(60)
    assert server.kept.messages == [], "not before it is time"
    clock.now += timedelta(minutes=demo_lab().mail.retry_minutes)
    qtbot.waitUntil(lambda: len(server.kept.messages) == 1)
    qtbot.waitUntil(lambda: trouble(room) == "")
    ((sent,),) = mailing.told
    assert sent.document.document_id == number
    qtbot.wait(60)
    assert len(server.kept.messages) == 1, "once"


def test_a_mail_that_fails_again_stays_in_sight_with_the_newest_reason(mailing, desk, server, clock, room, qtbot):
    failed_letter(desk, server)
    mailing.set_desk(desk)
    server.kept.refuse = "452 the disk is full"
    clock.now += timedelta(minutes=demo_lab().mail.retry_minutes)
    qtbot.waitUntil(lambda: "452 the disk is full" in trouble(room))
    assert mailing.told == []


def test_what_fails_and_is_sent_elsewhere_is_followed(mailing, desk, server, room, qtbot):
    mailing.set_desk(desk)
    qtbot.waitUntil(lambda: room.jobs.under_way == 0)
    issued = failed_letter(desk, server)
    mailing.on_issued((issued,))
    qtbot.waitUntil(lambda: "did not go out" in trouble(room))


def test_a_missing_password_is_told_with_its_way_out_and_asked_for_once(
    mailing, signing_in, server, drawer, room, qtbot
):
    booked(signing_in, "02")
    write_to(signing_in, KEY, "mail")
    mailing.set_desk(signing_in)
    qtbot.waitUntil(lambda: "did not go out" in trouble(room))
    assert "No password is kept for the mail account reception" in trouble(room)
    assert room.news.trouble_button.text() == "Mail password …"
    room.news.trouble_button.click()
    dialog = QApplication.activeModalWidget()
    assert dialog.field.echoMode() == QLineEdit.EchoMode.Password
    qtbot.waitUntil(dialog.field.hasFocus)
    for sign in "sesame":
        QTest.keyClick(dialog.windowHandle(), sign)
    QTest.keyClick(dialog.windowHandle(), Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: len(server.kept.messages) == 1)
    qtbot.waitUntil(lambda: trouble(room) == "")
    assert drawer.kept == {(SERVICE, "reception"): "sesame"}
    assert room.news.words.text() == KEPT


def test_a_password_that_is_kept_is_not_asked_for(mailing, signing_in, drawer, room, qtbot):
    drawer.kept[SERVICE, "reception"] = "sesame"
    mailing.set_desk(signing_in)
    qtbot.waitUntil(lambda: room.jobs.under_way == 0)
    assert trouble(room) == ""


def test_nothing_is_kept_where_the_dialog_is_left(mailing, signing_in, drawer, room, qtbot):
    mailing.set_desk(signing_in)
    qtbot.waitUntil(lambda: "No password is kept" in trouble(room))
    room.keys.action("mail-password").trigger()
    dialog = QApplication.activeModalWidget()
    QTest.keyClick(dialog.windowHandle(), Qt.Key.Key_Return)  # an empty password is none
    assert dialog.isVisible()
    for sign in "sesame":
        QTest.keyClick(dialog.windowHandle(), sign)
    QTest.keyClick(dialog.windowHandle(), Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: room.jobs.under_way == 0)
    assert drawer.kept == {}


def test_a_lab_without_a_mail_account_is_told_so(mailing, desk, room):
    mailing.set_desk(desk)
    room.keys.action("mail-password").trigger()
    assert room.news.words.text() == NO_ACCOUNT
