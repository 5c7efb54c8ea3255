"""The words of a mail: what a person would read of it, whatever program wrote it, and nothing that it points to opened.

The outside reference is Python's own email package under its default and strict policies. RFC 5322: the mail; 2045 to
2047: its parts, their letters, the words of its headers; 3676: lines that flow; 2392 and 2183: pictures between words.
"""

import random
import socket
import time
from base64 import b64encode
from contextlib import suppress
from datetime import UTC, datetime, timedelta, timezone
from email import message_from_bytes, policy
from email.message import EmailMessage
from email.policy import SMTP

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.inbox.mail_lines import labelled
from intake.inbox.message import LARGEST_IN_A_SIGNATURE, MailUnreadable, read_mail
from intake.inbox.page_words import MOST_IN_A_PAGE, page_words

SENDER = "Front desk <desk@marlowe-house.example.com>"
PNG = b"\x89PNG\r\n\x1a\n" + bytes(200)


def mail(text=None, page=None, sender=SENDER, **headers):
    message = EmailMessage(policy=SMTP)
    message["From"], message["To"], message["Subject"] = sender, "reception@lab.example.com", "Scans"
    for name, value in headers.items():
        message[name.replace("_", "-")] = value
    if text is not None:
        message.set_content(text)
    if page is not None and text is not None:
        message.add_alternative(page, subtype="html")
    elif page is not None:
        message.set_content(page, subtype="html")
    return message


def raw(body, *headers):
    """A mail as it stands on the line, for what Python would not write."""
    head = (b"From: desk@example.com", b"MIME-Version: 1.0", *headers)
    return b"\r\n".join(head) + b"\r\n\r\n" + body


def text_of(message):
    return read_mail(bytes(message)).text


def test_the_plain_words_are_taken_before_the_page():
    assert text_of(mail("Patient: J.T.\n", "<p>Patient: <b>J.T.</b></p><p>Sent from a page</p>")) == "Patient: J.T."


def test_a_page_is_read_where_there_are_no_plain_words():
    assert text_of(mail(page="<p>Patient: <b>J.T.</b></p>")) == "Patient: J.T."
    assert text_of(mail(" \n", "<p>Patient: J.T.</p>")) == "Patient: J.T."


@pytest.mark.parametrize(
    ("page", "words"),
    [
        ("<p>one</p><p>two</p>", "one\ntwo"),
        ("<div>one<div>two</div>three</div>", "one\ntwo\nthree"),
        ("one<br>two<br/>\n<br>three", "one\ntwo\n\nthree"),
        ("one\n  two\t three", "one two three"),
        ("<pre>one\n  two</pre>", "one\ntwo"),
        ("<ul><li>upper<li>lower</ul>", "- upper\n- lower"),
        ("<table><tr><td>Ref:<td>12</tr><tr><th>Due:</th><td></td><td>Thu</td></tr></table>", "Ref:\t12\nDue:\tThu"),
        ("<blockquote>one<blockquote>two</blockquote></blockquote>three", "> one\n>> two\nthree"),
        ("a<script>var p = '<p>b</p>'</script>c", "ac"),
        ("a<style>p { color: red } </style>b<STYLE>x</STYLE >c", "abc"),
        ("<title>Scans</title><template><p>x</template>a", "a"),
        ("a<!-- <p>b</p> -->c", "ac"),
        ("a<!--[if mso]><p>b</p><![endif]--><![if !mso]>c<![endif]>", "ac"),
        ("<?xml version='1'?><!DOCTYPE html><p>a", "a"),
        ("J&ouml;rg &amp; &#321;ucja &lt;3 &unknown;", "Jörg & Łucja <3 &unknown;"),
        ("3 &lt; 4 and 5 < 6", "3 < 4 and 5 < 6"),
        ("<p>one<p>two</div></td></blockquote></pre></a>", "one\ntwo"),
        ("<img src='https://example.com/a.png' alt='a'>a<img src='data:image/png;base64,AAAA'>b", "ab"),
        ("a\u200bb\u202ec\u00add", "abcd"),
        ("", ""),
    ],
)  # fmt: skip
def test_a_page_is_read_as_it_is_seen(page, words):
    assert text_of(mail(page=page)) == words


@pytest.mark.parametrize(
    ("page", "words", "links"),
    [
        ('<a href="https://example.com/1">the scans</a>', "the scans <https://example.com/1>", ["https://example.com/1"]),
        ('<a href="https://example.com/1">https://example.com/1</a>', "https://example.com/1", ["https://example.com/1"]),
        ('<a href="https://example.com/1"><img src="cid:a"></a>', "<https://example.com/1>", ["https://example.com/1"]),
        ("<a href='HTTP://example.com/?a=1&amp;b=2'>a</a>", "a <HTTP://example.com/?a=1&b=2>", ["HTTP://example.com/?a=1&b=2"]),
        ('<a href=" https://exam\nple.com/1 ">a</a>', "a <https://example.com/1>", ["https://example.com/1"]),
        ('<a href="javascript:alert(1)">a</a>', "a", []),
        ('<a href="file:///etc/passwd">a</a><a href="data:text/html,x">b</a><a name="c">c</a>', "abc", []),
        ('<a href="mailto:desk@example.com">desk@example.com</a>', "desk@example.com", []),
        ('<a href="https://example.com/' + "x" * 3_000 + '">a</a>', "a", []),
        ('<a href="https://example.com/1">a <a href="https://example.com/2">b</a>', "a <https://example.com/1>b <https://example.com/2>",
         ["https://example.com/1", "https://example.com/2"]),
    ],
)  # fmt: skip
def test_a_link_is_its_words_and_its_address(page, words, links):
    read = read_mail(bytes(mail(page=page)))
    assert (read.text, list(read.links)) == (words, links)


def test_links_in_plain_words_are_found_without_the_sentence_that_they_stand_in():
    text = (
        "See https://example.com/1, (https://example.com/2) or <https://example.com/3>.\n"
        "Again https://example.com/1! And http://example.com/a_(b) and ftp://example.com and https://\n"
    )
    links = ("https://example.com/1", "https://example.com/2", "https://example.com/3", "http://example.com/a_(b)")
    assert read_mail(bytes(mail(text))).links == links


def test_links_of_the_page_count_although_the_plain_words_are_shown():
    read = read_mail(bytes(mail("See the page.", '<a href="https://example.com/1">the scans</a>')))
    assert (read.text, read.links) == ("See the page.", ("https://example.com/1",))


def test_nothing_that_a_mail_points_to_is_opened():
    with socket.create_server(("127.0.0.1", 0)) as listening:
        listening.setblocking(False)
        at = f"http://127.0.0.1:{listening.getsockname()[1]}/"
        page = (
            f'<link rel=stylesheet href="{at}"><base href="{at}"><img src="{at}"><iframe src="{at}"></iframe>'
            f'<script src="{at}"></script><a href="{at}">a</a><meta http-equiv=refresh content="0;url={at}">'
        )
        external = b'Content-Type: message/external-body; access-type=URL; URL="' + at.encode() + b'"'
        assert read_mail(bytes(mail(at, page))).links == (at,)
        read_mail(raw(b"Content-Type: image/png\r\n\r\n", external))
        with pytest.raises(BlockingIOError):
            listening.accept()


SETS = ("utf-8", "iso-8859-2", "windows-1250")


@pytest.mark.parametrize("cte", ["base64", "quoted-printable", "8bit"])
@pytest.mark.parametrize("charset", SETS)
def test_letters_are_read_in_the_character_set_that_is_named(charset, cte):
    words, message = "Łódź, größer als 3 mm", mail()
    message.set_content(words, charset=charset, cte=cte)
    content = bytes(message)
    assert words in message_from_bytes(content, policy=policy.default).get_content()
    assert read_mail(content).text == words


def test_a_part_in_utf_16_is_read():
    """Python writes none; other programs do."""
    body, how = b64encode("Łódź".encode("utf-16")), b"Content-Transfer-Encoding: base64"
    assert read_mail(raw(body, b"Content-Type: text/plain; charset=utf-16", how)).text == "Łódź"


@pytest.mark.parametrize(
    ("said", "body", "words"),
    [
        (b"", "Łódź".encode(), "Łódź"),
        (b"; charset=us-ascii", "Łódź".encode(), "Łódź"),
        (b"; charset=no-such-set", "Łódź".encode(), "Łódź"),
        (b"; charset=utf-8", "größer".encode("latin-1"), "größer"),
        (b"; charset=us-ascii", "größer".encode("latin-1"), "größer"),
        (b"; charset=iso-8859-1", b"\x93good\x94 \x96 3 mm", "“good” – 3 mm"),
        (b"; charset=ISO-8859-1", "größer".encode("latin-1"), "größer"),
        (b"; charset=rot13", b"abc", "abc"),
        (b"; charset=hex", b"6162", "6162"),
        (b"; charset=utf-7", b"+AGEAYg-", "+AGEAYg-"),
        (b"; charset=unicode_escape", b"\\u0041", "\\u0041"),
        (b"; charset*=utf-8''%ff%fe", b"abc", "abc"),
        (b'; charset="\xff"', b"abc", "abc"),
        (b"; charset*0*=a; charset*=b; format*1*=x; format*=y", b"abc", "abc"),
    ],
)
def test_a_character_set_that_is_wrong_or_none_loses_no_word(said, body, words):
    """The WHATWG Encoding Standard, 4.2: what calls itself Latin 1 is windows-1252."""
    assert read_mail(raw(body, b"Content-Type: text/plain" + said)).text == words


def test_lines_that_were_broken_only_to_travel_are_joined():
    """RFC 3676, 4: a line that ends in a space goes on; a space that was put before is taken away; signatures stand."""
    body = (
        b"Patient: J.T., to be \r\nseen on Thursday\r\n  From here\r\n"
        b"> quoted \r\n> on\r\n>> deeper \r\nnot on\r\n-- \r\nDesk\r\n"
    )
    flowed = raw(body, b"Content-Type: text/plain; format=flowed")
    lines = ["Patient: J.T., to be seen on Thursday", " From here", "> quoted on", ">> deeper", "not on", "--", "Desk"]
    assert read_mail(flowed).text == "\n".join(lines)
    joined = raw(b"Ober \r\nkiefer\r\n", b"Content-Type: text/plain; format=flowed; delsp=yes")
    assert read_mail(joined).text == "Oberkiefer"
    assert read_mail(raw(b"not \r\nflowed\r\n", b"Content-Type: text/plain")).text == "not\nflowed"


def test_words_are_found_however_deep_the_parts_are_nested():
    message = mail("Two scans.", "<p>Two <img src='cid:logo@example.com'> scans.</p>")
    message.get_payload()[1].add_related(PNG, maintype="image", subtype="png", cid="<logo@example.com>")
    message.add_attachment(b"solid", maintype="model", subtype="stl", filename="upper.stl")
    message.add_attachment("Patient: K.M.", filename="notes.txt")
    read = read_mail(bytes(message))
    assert read.text == "Two scans."
    assert [(each.name, each.inline) for each in read.attached] == [
        ("attachment", True), ("upper.stl", False), ("notes.txt", False)
    ]  # fmt: skip


def test_words_before_and_behind_a_file_belong_together():
    content = (
        b"--x\r\nContent-Type: text/plain\r\n\r\nBefore.\r\n--x\r\nContent-Type: image/png; name=a.png\r\n\r\nx\r\n"
        b"--x\r\nContent-Type: text/html\r\n\r\n<p>Behind.</p>\r\n--x--\r\n"
    )
    read = read_mail(raw(content, b"Content-Type: multipart/mixed; boundary=x"))
    assert read.text == "Before.\n\nBehind."


def test_a_forwarded_mail_stands_below_headed_by_its_sender():
    inner = mail("Patient: J.T.\n", sender="Dr R. Ashdown <ashdown@example.com>")
    inner.add_attachment(b"solid", maintype="model", subtype="stl", filename="upper.stl")
    outer = mail("Please see below.")
    outer.add_attachment(inner)
    read = read_mail(bytes(outer))
    assert read.text == ("Please see below.\n\nForwarded, from Dr R. Ashdown <ashdown@example.com>:\n\nPatient: J.T.")
    assert read.sender == "desk@marlowe-house.example.com"
    assert [each.name for each in read.attached] == ["upper.stl"]


@pytest.mark.parametrize(
    ("how", "inline"),
    [
        ({"disposition": "inline", "cid": "<logo@example.com>", "filename": "logo.png"}, True),
        ({"disposition": "attachment", "cid": "<logo@example.com>", "filename": "logo.png"}, True),
        ({"disposition": "inline", "filename": "shade.png"}, False),
        ({"disposition": "inline", "cid": "<other@example.com>", "filename": "shade.png"}, False),
    ],
    ids=["a logo", "a logo as some programs send it", "a photo as some programs send it", "not referred to"],
)
def test_a_picture_of_a_signature_is_told_from_a_photo(how, inline):
    message = mail(page='<p>Regards</p><img src="cid:logo%40example.com">')
    message.add_related(PNG, maintype="image", subtype="png", **how)
    (attached,) = read_mail(bytes(message)).attached
    assert attached.inline is inline


def test_no_form_and_no_large_photo_is_ever_taken_for_a_signature():
    message = mail(page='<img src="cid:a@example.com"><img src="cid:b@example.com">')
    message.add_related(b"%PDF-1.7", maintype="application", subtype="pdf", cid="<a@example.com>", disposition="inline")
    photo = PNG + bytes(LARGEST_IN_A_SIGNATURE)
    message.add_related(photo, maintype="image", subtype="png", cid="<b@example.com>")
    assert [each.inline for each in read_mail(bytes(message)).attached] == [False, False]


@pytest.mark.parametrize(
    ("header", "name", "address"),
    [
        (b"Front desk <desk@example.com>", "Front desk", "desk@example.com"),
        (b'"Ashdown, R." <desk@example.com>', "Ashdown, R.", "desk@example.com"),
        (b"=?utf-8?q?=C5=81ucja?= <desk@example.com>", "Łucja", "desk@example.com"),
        (b"desk@example.com (Front desk)", "Front desk", "desk@example.com"),
        (b"desk@example.com", "", "desk@example.com"),
        (b"=?utf-8?q?other=40example.org=2C?= <desk@example.com>", "other@example.org,", "desk@example.com"),
        (b"=?utf-8?q?other=40example.org_=3Cx=40example.org=3E?= <desk@example.com>",
         "other@example.org <x@example.org>", "desk@example.com"),
        (b"=?utf-8?q?Front_desk_=3Cdesk=40example.com=3E?=", "Front desk", "desk@example.com"),
        (b"=?utf-8?q?a=0D=0ABcc=3A_b=E2=80=AEc?= <desk@example.com>", "a Bcc: bc", "desk@example.com"),
        (b"\xc5\x81ucja <desk@example.com>", None, "desk@example.com"),
        (b"", "", ""),
    ],
)  # fmt: skip
def test_the_sender_is_read_as_it_is_and_not_as_it_is_made_to_look(header, name, address):
    """RFC 2047, 5 (3): an encoded word in a name is no part of the address."""
    read = read_mail(b"From: " + header + b"\r\nSubject: x\r\n\r\nx\r\n")
    assert read.sender == address
    assert name is None or read.sender_name == name


@pytest.mark.parametrize(
    ("header", "written"),
    [
        (b"Thu, 26 Nov 2026 08:40:00 +0100", datetime(2026, 11, 26, 8, 40, tzinfo=timezone(timedelta(hours=1)))),
        (b"26 Nov 2026 08:40 GMT", datetime(2026, 11, 26, 8, 40, tzinfo=UTC)),
        (b"Thu, 26 Nov 2026 08:40:00 -0000", datetime(2026, 11, 26, 8, 40, tzinfo=UTC)),
        (b"Thu, 32 Nov 2026 08:40:00 +0100", None),
        (b"Thu, 26 Nov 2026 08:40:00 +9999", None),
        (b"Fri, 31 Dec 9999 23:59:59 -1400", None),
        (b"yesterday", None),
        (b"", None),
    ],
)
def test_the_day_of_a_mail_is_read_with_its_offset(header, written):
    read = read_mail(raw(b"x", b"Date: " + header)).date
    assert read == written
    assert read is None or read.utcoffset() == written.utcoffset()


@pytest.mark.parametrize(
    ("header", "mark"),
    [
        (b"<a.1@example.com>", "a.1@example.com"),
        (b" \r\n <a.1@example.com> (x)", "a.1@example.com"),
        (b"a.1@example.com", ""),
        (b"<a b>", ""),
        (b"<" + b"x" * 501 + b">", ""),
    ],
)
def test_the_mark_of_a_mail_is_read(header, mark):
    assert read_mail(raw(b"x", b"Message-ID: " + header)).message_id == mark


def test_names_of_files_and_subjects_are_clean():
    message = mail("x")
    message.replace_header("Subject", "Scans \u202eof J.T.")
    message.add_attachment(b"x", maintype="model", subtype="stl", filename="scan\u202elts.exe")
    read = read_mail(bytes(message))
    assert (read.subject, read.attached[0].name) == ("Scans of J.T.", "scanlts.exe")


def test_a_form_that_was_sent_as_a_page_is_read_line_by_line():
    page = (
        "<table><tr><td><b>Patient</b>:</td><td>J.T.</td></tr><tr><td>Due</td><td>Thu 10 Dec 2026</td></tr></table>"
        "<p>Notes:</p><p>call us</p><blockquote>Patient: K.M.<br>Reference: 12</blockquote>"
    )
    labels = {"patient": ("Patient",), "appointment": ("Due",), "notes": ("Notes",), "reference": ("Reference",)}
    assert labelled(text_of(mail(page=page)), labels) == {
        "patient": "J.T.", "appointment": "Thu 10 Dec 2026", "notes": "call us", "reference": "12"
    }  # fmt: skip


def test_a_mail_of_a_whole_book_is_cut_and_says_so():
    text = text_of(mail("Patient: J.T.\n" + "word " * 100_000))
    assert text.startswith("Patient: J.T.\n")
    assert len(text) < 100_200
    assert "characters are left out." in text


HOSTILE = (b"<p>word</p>", b"<a <b", b'<a b="x"</x="<x>', b"<!--", b"<![", b"<!-- <", b"&amp", b"<td>\t", b'"data:')


@pytest.mark.parametrize("part", HOSTILE)
@pytest.mark.sampled(3)
def test_twenty_pages_made_to_be_read_for_minutes_are_dealt_with_at_once(part):
    """Python's parser of pages takes the square of some lengths (its issue 135462 is one of them)."""
    page = b"\r\nContent-Type: text/html\r\n\r\n" + part * (300_000 // len(part)) + b"\r\n--x"
    begun = time.process_time()
    read = read_mail(raw(b"--x" + page * 20 + b"--\r\n", b"Content-Type: multipart/mixed; boundary=x"))
    assert time.process_time() - begun < 20
    assert len(read.text) < 100_200


SEEN = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), max_size=200)


@given(SEEN, st.sampled_from(["base64", "quoted-printable", "8bit"]))
def test_python_and_this_read_the_same_words_in_every_mail(words, cte):
    message = mail(Date="Thu, 26 Nov 2026 08:40:00 +0100", Message_ID="<1@example.com>")
    message.set_content(words, cte=cte)
    message.add_alternative("<p>x</p>", subtype="html")
    message.add_attachment(b"x", maintype="model", subtype="stl", filename="upper.stl")
    content = bytes(message)
    read, strict = read_mail(content), message_from_bytes(content, policy=policy.strict)
    body = strict.get_body(("plain", "html")).get_content()
    if body.strip():
        assert "".join(read.text.split()) == "".join(_composed(body).split())
    assert read.date == strict["Date"].datetime
    assert f"<{read.message_id}>" == strict["Message-ID"]
    assert (read.sender_name, read.sender) == (
        strict["From"].addresses[0].display_name, strict["From"].addresses[0].addr_spec
    )  # fmt: skip


def _composed(text):
    from unicodedata import normalize

    return normalize("NFC", text)


TAGS = st.sampled_from((
    "<p>", "</p>", "<td>", "<a href='https://example.com'>", "</a>", "<blockquote>", "<pre>", "<br>", "<script>",
    "</script>", "<!--", "-->", "<![", "<!", "<?", "<", ">", "&", "&#0;", "&#x110000;", "'", '"', '<a b="', "</",
    "<style", "data:,",
))  # fmt: skip


@given(st.lists(TAGS | st.text(max_size=5), max_size=40).map("".join))
def test_no_page_whatever_is_more_than_can_be_read(page):
    text, links = page_words(page)
    assert isinstance(text, str)
    assert set(links) <= {"https://example.com"} or "http" in page


def test_a_page_larger_than_any_is_read_in_its_beginning():
    text, _ = page_words("<p>first</p>" + "<b>x</b>" * MOST_IN_A_PAGE)
    assert text.startswith("first\nxxx")
    assert len(text) < MOST_IN_A_PAGE


def test_damaged_mails_with_pages_are_each_read_or_told_of(often):
    inner = mail("Patient: J.T.", "<table><tr><td>Patient:<td><b>J.T.</b></table><a href='https://example.com'>a</a>")
    inner.get_payload()[1].add_related(PNG, maintype="image", subtype="png", cid="<logo@example.com>")
    outer = mail("See below.")
    outer.add_attachment(inner)
    chance, whole, read = random.Random(7), bytes(outer), 0
    for _ in range(often(400)):
        damaged = bytearray(whole)
        for _ in range(chance.randint(1, 10)):
            at = chance.randrange(len(damaged))
            damaged[at : at + chance.choice((0, 1, 40))] = chance.randbytes(chance.choice((1, 2, 30)))
        with suppress(MailUnreadable):
            read_mail(bytes(damaged))
            read += 1
    assert read > often(300)
