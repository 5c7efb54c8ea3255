"""The mailbox that scans come to: every message one arrival, whatever the line does, and none twice."""

import random
from email.message import EmailMessage

import pytest

from intake.desk.scan_mailbox import NoMailbox, mailbox_of, read_mailbox
from intake.inbox.mailbox import MailboxUnreachable
from tests.desk.scan_mails import surfaces
from tests.inbox.imap_server import PASSWORD, imap_server, relayed

__all__ = ["imap_server"]  # the fixture

ZIP = b"PK\x05\x06" + bytes(18)
"""An archive with nothing in it."""


def mixed(count):
    """Messages of every kind: with scans, in a zip that is empty, with words alone, with a link, damaged."""
    return [_message(number) for number in range(count)]


def _message(number):
    mail = EmailMessage()
    mail["From"] = f"Practice {number} <practice{number}@example.com>"
    mail["Subject"], mail["Message-ID"] = f"Scans {number}", f"<{number}@example.com>"
    mail.set_content(f"Patient: P.{number}\nReference: {7000 + number}\n")
    match number % 5:
        case 0:
            mail.add_attachment(surfaces()["upper"], maintype="model", subtype="stl", filename=f"upper {number}.stl")
        case 1:
            mail.set_content(f"Please fetch it from https://example.com/{number}\n", subtype="plain")
        case 2:
            mail.add_attachment(ZIP, maintype="application", subtype="zip", filename="scans.zip")
        case 3:
            mail.add_attachment(surfaces()["half"][:3_000], maintype="model", subtype="stl", filename="lower.stl")
    return bytes(mail)


def everything(desk):
    return desk.store.read.arrivals("waiting")


def read(desk, mailbox, **more):
    return read_mailbox(desk, mailbox=mailbox, password=lambda _: PASSWORD, **more)


@pytest.mark.timeout(300)
def test_200_messages_delivered_twice_over_a_line_that_is_cut_are_200_arrivals(desk, imap_server):
    messages, chance, cuts = mixed(200), random.Random(4), 0
    with relayed(imap_server.tls_port, most=lambda: chance.choice((20_000, 200_000, 2_000_000))) as port:
        mailbox = imap_server.mailbox("desk", port=port)
        for _ in range(2):
            imap_server.deliver("desk", messages)
            last = imap_server.uids("desk")[-1]
            while (desk.store.read.mailbox(_name(mailbox)) or (0, 0))[1] < last:
                try:
                    read(desk, mailbox)
                except MailboxUnreachable:
                    cuts += 1
    assert cuts > 5
    arrivals = everything(desk)
    assert len(arrivals) == 200
    assert {row.patient_reference for row in arrivals if row.patient_reference} >= {"7000", "7004"}


def _name(mailbox):
    return f"{mailbox.user}@{mailbox.server}:{mailbox.port}/{mailbox.folder}"


def test_a_message_that_is_handed_over_again_makes_no_second_arrival(desk, imap_server):
    imap_server.deliver("again", mixed(3))
    assert read(desk, imap_server.mailbox("again")).messages == 3
    imap_server.deliver("again", mixed(3))
    told = read(desk, imap_server.mailbox("again"))
    assert (told.messages, [each.already for each in told.received]) == (3, [True] * 3)
    assert len(everything(desk)) == 3


def test_a_lab_that_names_no_mailbox_is_told_where_to_name_one(desk):
    with pytest.raises(NoMailbox, match=r"Fill in \[mailbox\]"):
        mailbox_of(desk)
