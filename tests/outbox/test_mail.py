"""E-mails through a real server on loopback, over TLS, and as drafts: the same PDF, byte for byte."""

import re
import socket
import ssl
import threading
from dataclasses import replace
from email import message_from_bytes, policy

import keyring
import keyring.backend
import keyring.errors
import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.outbox.mail import Mail, MailRefused, MailTrouble, message_of
from intake.outbox.mail_file import DraftFolder
from intake.outbox.passwords import keep_password, password_of
from intake.outbox.smtp import Smtp
from tests.outbox.mail_server import mail_server, scripted_server

PDF = b"%PDF-1.7\n" + bytes(range(256)) * 40 + b"\n%%EOF\n"
MAIL = Mail(
    sender="reception@lab.example.com",
    to="desk@marlowe-house.example.com",
    subject="Letter 12 from Ellerquay Dental Laboratory",
    text="Marlowe House\n\nPlease find our letter attached. “Łódź”\n",
    attachments=(("letter-12.pdf", PDF),),
)


def strictly(content):
    """A message read by Python's email package, which may find nothing wrong with it."""
    return message_from_bytes(content, policy=policy.strict.clone(utf8=False))


def attachment(message):
    (pdf,) = list(message.iter_attachments())
    return pdf


@pytest.mark.parametrize("security", ["starttls", "tls"])
def test_a_letter_arrives_with_the_same_pdf_byte_for_byte(security):
    with mail_server(security) as server:
        took = Smtp("localhost", server.port, security, context=server.trusted).send(MAIL)
    assert took == "localhost"
    message = strictly(server.kept.messages[0])
    assert server.kept.recipients == [MAIL.to]
    assert (message["To"], message["From"], message["Subject"]) == (MAIL.to, MAIL.sender, MAIL.subject)
    assert attachment(message).get_content() == PDF
    assert attachment(message).get_filename() == "letter-12.pdf"
    assert message.get_body(("plain",)).get_content().splitlines() == MAIL.text.splitlines()
    assert message["Message-ID"].endswith("@lab.example.com>")


def test_the_account_signs_in_over_the_encrypted_line_only():
    with mail_server() as server:
        route = Smtp("localhost", server.port, user="reception", password=lambda: "sesame", context=server.trusted)
        route.send(MAIL)
        assert len(server.kept.messages) == 1
        wrong = Smtp("localhost", server.port, user="reception", password=lambda: "no", context=server.trusted)
        with pytest.raises(MailRefused, match="refused the sign-in"):
            wrong.send(MAIL)


def test_a_server_that_does_not_prove_who_it_is_gets_nothing():
    with mail_server() as server, pytest.raises(MailRefused, match="did not prove that it is localhost"):
        Smtp("localhost", server.port).send(MAIL)
    with mail_server(name="other.example.com") as server, pytest.raises(MailRefused, match="did not prove"):
        Smtp("localhost", server.port, context=server.trusted).send(MAIL)
    assert server.kept.messages == []


def test_a_line_without_encryption_carries_nothing():
    """RFC 8314 3.3: a client that was told to use STARTTLS must not go on without it."""
    with mail_server(offer_tls=False) as server:
        with pytest.raises(MailRefused, match="does not offer an encrypted line"):
            Smtp("localhost", server.port, context=server.trusted).send(MAIL)
        assert server.kept.messages == []


@pytest.mark.parametrize(
    ("answer", "raised"), [("550 no such user", MailRefused), ("451 come back later", MailTrouble)]
)
def test_a_refused_recipient_is_told_and_a_passing_refusal_is_tried_again(answer, raised):
    """RFC 5321 4.2.1: 5xx is permanent, 4xx passes."""
    with mail_server() as server:
        server.kept.refuse = answer
        with pytest.raises(raised, match=answer):
            Smtp("localhost", server.port, context=server.trusted).send(MAIL)


def test_a_server_that_is_not_there_is_tried_again():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port = taken.getsockname()[1]
    with pytest.raises(MailTrouble, match="It is tried again"):
        Smtp("localhost", port).send(MAIL)


def test_a_line_that_breaks_off_is_tried_again():
    with socket.create_server(("127.0.0.1", 0)) as listening:

        def hang_up():
            connection, _ = listening.accept()
            connection.close()

        answering = threading.Thread(target=hang_up)
        answering.start()
        with pytest.raises(MailTrouble):
            Smtp("localhost", listening.getsockname()[1], context=ssl.create_default_context()).send(MAIL)
        answering.join()


def by(server, **more):
    return Smtp("localhost", server.port, "tls", context=server.trusted, **more)


@pytest.mark.parametrize("verb", ["EHLO", "MAIL", "RCPT", "DATA", "."])
def test_a_line_that_breaks_off_at_any_step_is_tried_again(verb):
    with scripted_server({verb: None}) as server, pytest.raises(MailTrouble, match="It is tried again"):
        by(server).send(MAIL)


@pytest.mark.parametrize("goodbye", [None, "421 closing", "500 what"])
def test_a_mail_that_is_taken_is_sent_whatever_the_server_says_for_goodbye(goodbye):
    """RFC 5321, 4.1.1.4: with its answer to the end of the data, the server has taken the mail over."""
    with scripted_server({"QUIT": goodbye}) as server:
        assert by(server).send(MAIL) == "localhost"
    assert len(server.kept.messages) == 1


@pytest.mark.parametrize(("answer", "raised"), [("552 too large", MailRefused), ("452 no room", MailTrouble)])
@pytest.mark.parametrize("verb", ["MAIL", "DATA", "."])
def test_what_the_server_says_is_told_and_a_permanent_refusal_is_no_other(verb, answer, raised):
    with scripted_server({verb: answer}) as server, pytest.raises(raised, match=answer):
        by(server).send(MAIL)


def test_a_sign_in_that_cannot_be_looked_at_now_is_tried_again():
    """RFC 4954, 6: 454 is a temporary failure, 535 a wrong name or password."""
    for answer, raised in (("454 later", MailTrouble), ("535 no", MailRefused)):
        with scripted_server({"AUTH": answer}) as server, pytest.raises(raised):
            by(server, user="reception", password=lambda: "sesame").send(MAIL)


def test_a_server_without_a_sign_in_gets_no_mail():
    with scripted_server({"EHLO": "250 hello"}) as server, pytest.raises(MailRefused, match="no sign-in"):
        by(server, user="reception", password=lambda: "sesame").send(MAIL)
    assert server.kept.messages == []


def test_a_password_that_the_sign_in_cannot_carry_is_told():
    with scripted_server({}) as server, pytest.raises(MailRefused, match="a letter that mail cannot carry"):
        by(server, user="reception", password=lambda: "Schlüssel").send(MAIL)


@pytest.mark.parametrize("name", ["mail..example.com", "x" * 70 + ".example.com"])
def test_a_servers_name_that_is_none_is_told(name):
    with pytest.raises(MailRefused, match="a letter that mail cannot carry"):
        Smtp(name, 587).send(MAIL)


def test_a_plain_server_behind_an_encrypted_ports_number_is_told():
    with mail_server(offer_tls=False) as server, pytest.raises(MailRefused, match="does not begin an encrypted line"):
        Smtp("localhost", server.port, "tls", context=server.trusted).send(MAIL)


def test_what_is_said_before_the_encryption_counts_for_nothing():
    """Somebody between who answers for the server, ahead of time (RFC 3207, 6): the line goes no further."""
    injected = "220 go\r\n250-localhost\r\n250 AUTH PLAIN\r\n235 you are signed in"
    with scripted_server({"EHLO": "250-localhost\r\n250 STARTTLS", "STARTTLS": injected}, "starttls") as server:
        route = Smtp("localhost", server.port, user="reception", password=lambda: "sesame", context=server.trusted)
        with pytest.raises(MailRefused, match="does not begin an encrypted line"):
            route.send(MAIL)
    assert server.kept.messages == []


NO_ADDRESS = (
    *("", "nobody", "a@b, c@d", "a@b\nBcc: all@example.com", "a@@b", "@a@b", "a@", "a b@c", "a@b c", "a@b>", "a@b;"),
    *("Bob <a@b> <c@d>", "Bob a@b", "a@b (c@d)", "everybody: a@b;", "ä@example.com", "a@..", "a@b\x00", "\ud800@b"),
    *("<>", "a@-b", "a@" + "b" * 64, "a@b\r\nBcc: c@d <e@f>", '"x\r\nBcc: y" <a@b>'),
)


@pytest.mark.parametrize("to", NO_ADDRESS, ids=ascii)
def test_what_is_no_single_address_is_refused(to):
    with pytest.raises(MailRefused, match=r"is no e-mail address. Correct the practice’s address first"):
        message_of(replace(MAIL, to=to))
    with pytest.raises(MailRefused, match="own address in the setup"):
        message_of(replace(MAIL, sender=to))


@pytest.mark.parametrize(
    ("to", "address", "shown"),
    [
        ("desk@marlowe-house.example.com", "desk@marlowe-house.example.com", ""),
        (" desk@lab.example.com ", "desk@lab.example.com", ""),
        ("o'neill+post@lab.example.com", "o'neill+post@lab.example.com", ""),
        ("Reception <desk@lab.example.com>", "desk@lab.example.com", "Reception"),
        ('"Ellerquay, Dental" <desk@lab.example.com>', "desk@lab.example.com", "Ellerquay, Dental"),
        ("Łódź <desk@lab.example.com>", "desk@lab.example.com", "Łódź"),
        ("<desk@lab.example.com>", "desk@lab.example.com", ""),
        ("desk@bücher.example.com", "desk@xn--bcher-kva.example.com", ""),
    ],
    ids=ascii,
)
def test_an_address_is_taken_alone_or_behind_a_name(to, address, shown):
    """`xn--bcher-kva` for `bücher`, by Punycode (RFC 3492), is from memory."""
    (read,) = strictly(bytes(message_of(replace(MAIL, to=to))))["To"].addresses
    assert (read.addr_spec, read.display_name) == (address, shown)


def test_a_mail_that_is_tried_again_can_be_told_for_the_same():
    mail = replace(MAIL, message_id="letter-12@lab.example.com")
    assert message_of(mail)["Message-ID"] == message_of(mail)["Message-ID"] == "<letter-12@lab.example.com>"
    assert message_of(MAIL)["Message-ID"] != message_of(MAIL)["Message-ID"]


ANY = st.text(st.characters(exclude_categories=()), max_size=120)


@given(subject=ANY, name=ANY, text=ANY)
def test_no_text_becomes_another_header_or_breaks_the_message(subject, name, text):
    content = bytes(message_of(replace(MAIL, subject=subject, text=text, attachments=((name, PDF),))))
    message = message_from_bytes(content, policy=policy.default)
    assert sorted(message.keys()) == [
        "Content-Type", "Date", "From", "MIME-Version", "Message-ID", "Subject", "To",
    ]  # fmt: skip
    assert message["To"] == MAIL.to
    assert attachment(message).get_content() == PDF
    assert not re.search(rb"(?<!\r)\n|\r(?!\n)", content)


def test_a_draft_is_a_file_that_a_mail_program_takes_for_unsent(tmp_path):
    folder = DraftFolder(tmp_path / "drafts")
    assert folder.send(MAIL) == "letter-12.eml"
    assert folder.send(MAIL) == "letter-12 (2).eml"
    message = strictly((tmp_path / "drafts" / "letter-12.eml").read_bytes())
    assert message["X-Unsent"] == "1"
    assert attachment(message).get_content() == PDF


def test_a_mail_without_a_file_is_a_draft_too(tmp_path):
    assert DraftFolder(tmp_path).send(replace(MAIL, attachments=())) == "message.eml"


def test_a_draft_that_cannot_be_written_is_tried_again(tmp_path):
    (tmp_path / "drafts").write_text("a file in its place")
    with pytest.raises(MailTrouble, match="cannot be written"):
        DraftFolder(tmp_path / "drafts").send(MAIL)


class Drawer(keyring.backend.KeyringBackend):
    """A keyring in memory; the system's own is never touched by a test."""

    priority = 1

    def __init__(self, locked=False):
        super().__init__()
        self.kept, self.locked = {}, locked

    def get_password(self, service, username):
        if self.locked:
            raise keyring.errors.KeyringLocked("it is locked")
        return self.kept.get((service, username))

    def set_password(self, service, username, password):
        if self.locked:
            raise keyring.errors.KeyringLocked("it is locked")
        self.kept[service, username] = password


@pytest.fixture
def drawer():
    before, mine = keyring.get_keyring(), Drawer()
    keyring.set_keyring(mine)
    yield mine
    keyring.set_keyring(before)


def test_the_password_lies_in_the_systems_keyring(drawer):
    with pytest.raises(MailRefused, match="No password is kept"):
        password_of("reception")
    keep_password("reception", "sesame")
    assert password_of("reception") == "sesame"


def test_a_keyring_that_breaks_in_a_way_of_its_own_is_told(drawer, monkeypatch):
    def broken(*_):
        raise ConnectionError

    monkeypatch.setattr(drawer, "get_password", broken)
    monkeypatch.setattr(drawer, "set_password", broken)
    for act in (lambda: password_of("reception"), lambda: keep_password("reception", "sesame")):
        with pytest.raises(MailRefused, match="ConnectionError"):
            act()


def test_a_keyring_that_is_locked_or_missing_is_told(drawer):
    drawer.locked = True
    for act in (lambda: password_of("reception"), lambda: keep_password("reception", "sesame")):
        with pytest.raises(MailRefused, match="no keyring to keep the mail password"):
            act()
