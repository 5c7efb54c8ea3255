"""Mails as they come: what is attached is taken out, and whatever is damaged is told in one sentence."""

import random
from email.message import EmailMessage
from email.policy import SMTP

import pytest

from intake.inbox.message import Attached, MailUnreadable, is_mail, read_mail

PDF = b"%PDF-1.7\nform"


def mail(**attached):
    message = EmailMessage(policy=SMTP)
    message["From"] = "Front desk <desk@marlowe-house.example.com>"
    message["To"] = "reception@lab.example.com"
    message["Subject"] = "Re: Letter 12"
    message.set_content("Here it is.\n")
    for name, content in attached.items():
        message.add_attachment(content, maintype="application", subtype="pdf", filename=f"{name}.pdf")
    return message


def test_what_is_attached_is_taken_out_with_its_name_and_sender():
    read = read_mail(bytes(mail(reply=PDF)))
    assert (read.sender, read.subject) == ("desk@marlowe-house.example.com", "Re: Letter 12")
    assert read.attached == (Attached("reply.pdf", PDF),)


def test_what_is_attached_to_a_forwarded_mail_is_found():
    outer = mail()
    outer.add_attachment(mail(reply=PDF))
    assert [each.name for each in read_mail(bytes(outer)).attached] == ["reply.pdf"]


def test_a_path_in_a_files_name_leads_nowhere():
    message = mail()
    message.add_attachment(PDF, maintype="application", subtype="pdf", filename="../../etc/reply.pdf")
    message.add_attachment(PDF, maintype="application", subtype="pdf", filename="C:\\desk\\reply.pdf")
    assert {each.name for each in read_mail(bytes(message)).attached} == {"reply.pdf"}


def test_a_mail_without_a_file_has_none():
    assert read_mail(bytes(mail())).attached == ()


@pytest.mark.parametrize("content", [b"", b"hello", b"{}", b"%PDF-1.7", b"\x00\x01"])
def test_what_is_no_mail_does_not_look_like_one(content):
    assert not is_mail(content)
    assert is_mail(bytes(mail()))


def test_a_mail_that_is_folded_into_itself_is_refused():
    message = mail(reply=PDF)
    for _ in range(20):
        outer = mail()
        outer.add_attachment(message)
        message = outer
    with pytest.raises(MailUnreadable, match="folded into itself"):
        read_mail(bytes(message))


def test_a_mail_of_ten_thousand_parts_is_refused():
    part = b"--x\r\nContent-Type: application/pdf\r\nContent-Disposition: attachment; filename=a.pdf\r\n\r\nhello\r\n"
    head = b"From: a@example.com\r\nMIME-Version: 1.0\r\nContent-Type: multipart/mixed; boundary=x\r\n\r\n"
    with pytest.raises(MailUnreadable, match="more than 200 parts"):
        read_mail(head + part * 10_000 + b"--x--\r\n")


HEADS = (
    b"Content-Type: multipart/mixed; boundary=\xff\xfe",
    b"Content-Transfer-Encoding: base64\r\n\r\n====",
    b"Content-Type: text/plain; charset=no-such-charset",
    b"Content-Disposition: attachment; filename*=utf-8''%ff%fe",
    b"From: =?utf-8?q?=?= <",
    b"Subject: =?unknown?b?////?=",
    b"Content-Type: message/rfc822",
)


def test_three_thousand_damaged_mails_are_each_read_or_told_of():
    chance, whole = random.Random(26), bytes(mail(reply=PDF, second=PDF * 50))
    told: list[str] = []
    for _ in range(3_000):
        damaged = bytearray(whole)
        for _ in range(chance.randint(1, 12)):
            at = chance.randrange(len(damaged))
            match chance.randrange(4):
                case 0:
                    damaged[at] = chance.randrange(256)
                case 1:
                    del damaged[at : at + chance.randint(1, 60)]
                case 2:
                    damaged[at:at] = b"\r\n" + chance.choice(HEADS) + b"\r\n"
                case 3:
                    damaged[at:at] = damaged[at : at + 80]
        try:
            read_mail(bytes(damaged))
        except MailUnreadable as unreadable:
            told.append(str(unreadable))
    assert len(told) < 3_000
    assert all(each.endswith(".") for each in told)
