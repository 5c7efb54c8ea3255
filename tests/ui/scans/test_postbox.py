"""The mailbox that scans come to, at a real server: looked into behind the window, and its password asked for once."""

import ssl
import time
from dataclasses import replace

import keyring
import keyring.backend
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QVBoxLayout, QWidget

from intake.outbox.passwords import SERVICE
from intake.ui.password_dialog import PasswordDialog
from intake.ui.scans.mailbox import KEPT, LOOKING, NO_MAILBOX, NOT_OPEN, NOTHING_NEW, Postbox
from tests.desk.desks import demo_lab
from tests.inbox.imap_server import PASSWORD, USER, imap_server, relayed
from tests.scans.bringing import mail, two_arches

__all__ = ["imap_server"]
WAIT = 20_000
FOLDER = "Scans for the lab"
ACCOUNT = f"{USER} at localhost"


class Drawer(keyring.backend.KeyringBackend):
    """A keyring in memory; the system's own is never touched by a test."""

    priority = 1

    def __init__(self):
        super().__init__()
        self.kept = {(SERVICE, ACCOUNT): PASSWORD}

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


@pytest.fixture
def trusted(imap_server, tmp_path, monkeypatch):
    """The system trusts the server's authority, as it trusts a real one's."""
    authorities = map(ssl.DER_cert_to_PEM_cert, imap_server.trusted.get_ca_certs(binary_form=True))
    (tmp_path / "authority.pem").write_text("".join(authorities), encoding="ascii")
    monkeypatch.setenv("SSL_CERT_FILE", str(tmp_path / "authority.pem"))


@pytest.fixture
def folder(imap_server):
    """A folder of the account, in which nothing lies yet."""
    imap_server.deliver(FOLDER, [])
    yield FOLDER
    imap_server.remove(FOLDER)


@pytest.fixture
def reading(desk, imap_server, folder, trusted, drawer):
    """The desk of a lab that has a mailbox: `reading()`, or `reading(port=...)` for another."""

    def of(**more):
        rules = {"server": "localhost", "port": imap_server.tls_port, "user": USER, "folder": folder} | more
        return replace(desk, lab=demo_lab().model_copy(update={"mailbox": desk.lab.mailbox.model_copy(update=rules)}))

    return of


@pytest.fixture
def window(qtbot):
    made = QWidget()
    QVBoxLayout(made)
    qtbot.addWidget(made)
    made.resize(900, 500)
    return made


@pytest.fixture
def postbox(room, window, qtbot):
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    made = Postbox(room, window)
    made.told = []
    made.received.connect(made.told.append)
    yield made
    made.stop()


@pytest.fixture
def quiet(room, qtbot):
    return lambda: qtbot.waitUntil(lambda: not room.jobs.under_way, timeout=WAIT)


def said(room):
    return room.news.words.text()


def test_a_message_with_scans_becomes_an_arrival_and_is_told_once(
    postbox, reading, imap_server, folder, room, desk, quiet
):
    imap_server.deliver(folder, [mail("Patient: E.V.\nReference: 77120\n", two_arches())])
    postbox.set_desk(reading())
    quiet()
    (row,) = desk.store.read.arrivals()
    assert (row.patient_label, row.patient_reference) == ("E.V.", "77120")
    assert said(room) == "2 scans taken in."
    assert [[each.arrival_id for each in told] for told in postbox.told] == [[row.arrival_id]]
    postbox.look()
    quiet()
    assert len(desk.store.read.arrivals()) == 1
    assert len(postbox.told) == 1


def test_a_message_without_scans_is_told_as_one(postbox, reading, imap_server, folder, room, quiet):
    imap_server.deliver(folder, [mail("Please fetch it from https://scans.example.com/share/7f3a")])
    postbox.set_desk(reading())
    quiet()
    assert said(room) == "1 message taken in."


def test_looking_by_key_says_also_that_nothing_came(postbox, reading, room, quiet, keys):
    postbox.set_desk(reading())
    quiet()
    assert said(room) == "", "nobody asked"
    keys.action("look-into-mailbox").trigger()
    assert said(room) == LOOKING
    quiet()
    assert said(room) == NOTHING_NEW
    assert postbox.told == []


def test_a_lab_without_a_mailbox_is_left_alone_and_told_so_when_somebody_asks(postbox, desk, room, keys):
    for action in ("look-into-mailbox", "mailbox-password"):
        keys.action(action).trigger()
        assert said(room) == NOT_OPEN
    postbox.set_desk(desk)
    assert not room.jobs.under_way
    for action in ("look-into-mailbox", "mailbox-password"):
        room.news.tell("")
        keys.action(action).trigger()
        assert said(room) == NO_MAILBOX


def test_a_missing_password_is_asked_for_once_and_kept_in_the_keyring(
    postbox, reading, drawer, room, trouble, window, quiet, qtbot
):
    drawer.kept.clear()
    postbox.set_desk(reading())
    quiet()
    assert "No password is kept" in trouble()
    room.news.trouble_button.click()
    dialog = window.findChild(PasswordDialog)
    qtbot.waitUntil(lambda: dialog.isVisible())
    told = [label.text() for label in dialog.findChildren(QLabel)]
    assert any("password of reception before it shows what came." in each for each in told)
    dialog.field.insert(PASSWORD)  # no key of a test writes its é
    QTest.keyClick(dialog.field, Qt.Key.Key_Return)
    quiet()
    assert drawer.kept == {(SERVICE, ACCOUNT): PASSWORD}
    assert said(room) == KEPT
    assert trouble() == ""


def test_a_wrong_password_is_told_and_the_button_asks_for_it(postbox, reading, drawer, room, trouble, quiet, keys):
    drawer.kept[SERVICE, ACCOUNT] = "wrong"
    postbox.set_desk(reading())
    quiet()
    assert "password" in trouble()
    assert room.news.trouble_button.text() == keys.words("mailbox-password") + " …"
    assert PASSWORD not in trouble()


def test_a_server_that_is_not_there_is_told_until_it_is_and_what_came_before_is_shown(
    postbox, reading, imap_server, folder, room, trouble, quiet, desk, keys
):
    cut = {"most": 40_000}
    with relayed(imap_server.tls_port, most=lambda: cut["most"]) as port:
        messages = [mail("first"), mail("second", two_arches(), name="m2")]
        imap_server.deliver(folder, messages)
        postbox.set_desk(reading(port=port))
        quiet()
        assert len(desk.store.read.arrivals()) == 1, "the first came whole"
        assert trouble() != ""
        assert room.news.trouble_button.text() == f"{keys.words('look-into-mailbox')}  Ctrl+Shift+K"
        assert postbox.told == [()]
        cut["most"] = None
        keys.action("look-into-mailbox").trigger()
        quiet()
    assert trouble() == ""
    assert len(desk.store.read.arrivals()) == 2
    assert said(room) == "2 scans taken in."


def test_closing_while_a_server_keeps_silent_is_quick(postbox, reading, room, quiet):
    """A server that takes the call and says nothing is waited for a minute."""
    import socket

    with socket.create_server(("127.0.0.1", 0)) as silent:
        postbox.set_desk(reading(port=silent.getsockname()[1]))
        begun = time.monotonic()
        postbox.stop()
        quiet()
        assert time.monotonic() - begun < 2
    assert said(room) == ""


def test_the_initials_of_another_person_do_not_look_again(postbox, reading, room, quiet):
    postbox.set_desk(reading())
    quiet()
    postbox.set_desk(replace(reading(), person="ZK"))
    assert not room.jobs.under_way
    QApplication.processEvents()
