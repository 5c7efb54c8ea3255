"""Mails as they come: what is attached is taken out, and whatever is damaged is told in one sentence."""

import random
import time
from contextlib import suppress
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


def test_an_address_that_cannot_be_read_loses_no_form():
    content = bytes(mail(reply=PDF)).replace(b"Front desk <desk@marlowe-house.example.com>", b"(" * 5_000)
    read = read_mail(content)
    assert read.sender == ""
    assert [each.content for each in read.attached] == [PDF]


@pytest.mark.parametrize(
    ("header", "name"),
    [
        (b'attachment; filename="=?utf-8?B?xYHDs2TFui5wZGY=?="', "Łódź.pdf"),
        (b"attachment; filename*=utf-8''%C5%81%C3%B3d%C5%BA.pdf", "Łódź.pdf"),
        (b'attachment; filename*0="a "; filename*1="b.pdf"', "a b.pdf"),
        (b'attachment; filename="a\r\n\tb.pdf"', "a b.pdf"),
        (b"attachment", "attachment"),
        (b"attachment; filename*=no-such-charset''%ff.pdf", "ÿ.pdf"),
    ],
    ids=["RFC 2047, as many write it", "RFC 2231", "RFC 2231 in parts", "folded", "none", "unknown character set"],
)
def test_the_name_of_a_file_is_read_however_it_is_written(header, name):
    plain = bytes(mail(reply=PDF))
    content = plain.replace(b'attachment; filename="reply.pdf"', header)
    assert content != plain
    (attached,) = read_mail(content).attached
    assert attached.content == PDF
    assert attached.name == name


HUGE = 2_000_000


@pytest.mark.parametrize(
    "head",
    [
        b"From: " + b"a@b.c, " * (HUGE // 7),
        b"From: " + b"(" * HUGE,
        b"Content-Type: application/pdf" + b";" * HUGE,
        b"Content-Type: application/pdf; " + b'a="' * (HUGE // 3),
        b"Subject: " + b"=?utf-8?q?a?= " * (HUGE // 14),
        b"\r\n".join(b"Content-Type: multipart/mixed; boundary=b%d\r\n\r\n--b%d" % (i, i) for i in range(190))
        + b"\r\n\r\n" + b"hello\r\n" * 50_000,
    ],
    ids=["addresses", "brackets", "semicolons", "quotation marks", "encoded words", "parts in parts"],
)  # fmt: skip
def test_a_header_of_two_million_characters_is_dealt_with_at_once(head):
    """Python's own parser takes the square of a header's length: minutes, were it read whole."""
    begun = time.process_time()
    with suppress(MailUnreadable):
        read_mail(head + b"\r\n\r\n%PDF-1.7")
    assert time.process_time() - begun < 10


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"a" * 60_000_001, "larger than 60 MB"),
        (b"\n" * 1_200_001, "1,200,000 lines"),
        (b"boundary " * 201, "200 parts"),
    ],
    ids=["bytes", "lines", "parts"],
)
def test_what_no_mail_is_gets_not_even_opened(content, told):
    with pytest.raises(MailUnreadable, match=told):
        read_mail(content)


HEADS = (
    b"Content-Type: multipart/mixed; boundary=\xff\xfe",
    b"Content-Transfer-Encoding: base64\r\n\r\n====",
    b"Content-Type: text/plain; charset=no-such-charset",
    b"Content-Disposition: attachment; filename*=utf-8''%ff%fe",
    b"From: =?utf-8?q?=?= <",
    b"Subject: =?unknown?b?////?=",
    b"Content-Type: message/rfc822",
)


def test_damaged_mails_are_each_read_or_told_of(often):
    chance, whole = random.Random(26), bytes(mail(reply=PDF, second=PDF * 50))
    told: list[str] = []
    for _ in range(often(600)):
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
