"""A mailbox by IMAP, against a real server: each message is handed over once, whatever becomes of the line.

What a server may do: RFC 3501 (IMAP4rev1) and RFC 9051 (IMAP4rev2); moving: RFC 6851 and 4315; refusals: RFC 5530.
"""

import random
import ssl
import threading
import time
import tracemalloc
from contextlib import suppress
from email.message import EmailMessage
from email.policy import SMTP
from itertools import pairwise

import pytest

from intake.inbox.imap_line import folder_name
from intake.inbox.mailbox import Mailbox, MailboxRefused, MailboxUnreachable, Mark, fetch
from intake.inbox.message import read_mail
from tests.inbox.imap_server import PASSWORD, USUAL, imap_server, relayed, scripted_imap_server, speak

__all__ = ["imap_server"]  # the fixture


def go_on():
    return False


def mixed(count, seed=1):
    """Mails as a lab gets them, and some that look like the protocol itself."""
    chance, made = random.Random(seed), []
    for number in range(count):
        message = EmailMessage(policy=SMTP)
        message["From"], message["Subject"] = "desk@marlowe-house.example.com", f"Scan {number}, Łódź"
        match number % 5:
            case 0:
                message.set_content("Patient: J.T.\n")
            case 1:
                message.set_content("A1 OK done\r\n* BYE\r\n)\r\n* 1 FETCH (UID 1 BODY[] {5}\r\n")
            case 2:
                message.set_content("Here.")
                content = chance.randbytes(chance.randrange(60_000))
                message.add_attachment(content, maintype="model", subtype="stl", filename="upper.stl")
            case 3:
                message.set_content("<p>Here</p>", subtype="html", cte="base64")
            case 4:
                message.set_content("x" * 900, cte="8bit")
        made.append(bytes(message))
    return made


def taken(mailbox, since=None, password=PASSWORD, **more):
    """One pass: the new mark, and what was taken."""
    got = []
    return fetch(mailbox, password, since, got.append, go_on, **more), got


@pytest.mark.parametrize("security", ["tls", "starttls"])
def test_every_message_is_handed_over_once_as_it_was_sent(imap_server, security):
    messages = mixed(10)
    imap_server.deliver(f"plain-{security}", messages)
    mailbox = imap_server.mailbox(f"plain-{security}", security=security)
    mark, got = taken(mailbox)
    assert [each.content for each in got] == messages
    assert [each.size for each in got] == [len(each) for each in messages]
    assert [each.mark for each in got][-1] == mark
    assert taken(mailbox, mark) == (mark, [])
    imap_server.deliver(f"plain-{security}", messages[:1])
    later, got = taken(mailbox, mark)
    assert ([each.content for each in got], later.uidvalidity) == (messages[:1], mark.uidvalidity)


def test_the_mailbox_is_left_as_it_was(imap_server):
    imap_server.deliver("untouched", mixed(3))
    before = imap_server.flags("untouched")
    taken(imap_server.mailbox("untouched"))
    assert imap_server.flags("untouched") == before
    assert not any("Seen" in str(each) for each in before)


def test_an_empty_folder_has_a_mark_too(imap_server):
    imap_server.deliver("empty", [])
    mark, got = taken(imap_server.mailbox("empty"))
    assert (got, mark.last_uid) == ([], 0)
    assert mark.uidvalidity


@pytest.mark.thorough  # the desk's own test does the same from end to end
def test_two_hundred_messages_delivered_twice_over_a_line_that_is_cut_all_the_time_come_once_each(imap_server):
    messages, chance, mark, got, cuts = mixed(200), random.Random(4), None, [], 0

    def take(fetched):
        nonlocal mark
        got.append(fetched)
        mark = fetched.mark  # what a caller keeps in one go with the message

    def most():
        return chance.choice((2_000, 6_000, 60_000, 200_000, 400_000))

    with relayed(imap_server.tls_port, most=most) as port:
        mailbox = imap_server.mailbox("cut", port=port)
        for times in (1, 2):
            imap_server.deliver("cut", messages)
            while len(got) < times * 200:
                try:
                    fetch(mailbox, PASSWORD, mark, take, go_on)
                except MailboxUnreachable:
                    cuts += 1
    assert cuts > 20
    assert [each.content for each in got] == messages * 2
    assert all(one.mark.last_uid < other.mark.last_uid for one, other in pairwise(got))
    assert [each.mark.last_uid for each in got] == imap_server.uids("cut")


def test_a_folder_that_was_made_anew_is_gone_through_from_its_beginning(imap_server):
    """RFC 3501, 2.3.1.1: other messages may bear the old numbers."""
    messages = mixed(3)
    imap_server.deliver("anew", messages)
    mark, _ = taken(imap_server.mailbox("anew"))
    imap_server.remove("anew")
    imap_server.deliver("anew", messages)
    again, got = taken(imap_server.mailbox("anew"), mark)
    assert [each.content for each in got] == messages
    assert again.uidvalidity != mark.uidvalidity


def test_a_message_that_is_too_large_is_told_of_and_the_next_one_comes(imap_server):
    small, large, last = mixed(5)[0], mixed(3)[2] + b"x" * 5_000, mixed(1, seed=2)[0]
    imap_server.deliver("large", [small, large, last])
    _, got = taken(imap_server.mailbox("large"), most=4_000)
    assert [each.content for each in got] == [small, b"", last]
    assert "larger than 0.004 MB" in got[1].problem
    assert read_mail(got[1].head).sender == "desk@marlowe-house.example.com"


def test_what_take_raises_ends_the_pass_and_the_message_comes_again(imap_server):
    messages, kept = mixed(4), []
    imap_server.deliver("raising", messages)

    def take(fetched):
        if len(kept) == 2:
            raise OSError("the disk is full")
        kept.append(fetched)

    with pytest.raises(OSError, match="the disk is full"):
        fetch(imap_server.mailbox("raising"), PASSWORD, None, take, go_on)
    _, got = taken(imap_server.mailbox("raising"), kept[-1].mark)
    assert [each.content for each in (*kept, *got)] == messages


def test_a_pass_that_is_stopped_goes_on_where_it_stood(imap_server):
    messages, got = mixed(6), []
    imap_server.deliver("stopped", messages)
    mark = fetch(imap_server.mailbox("stopped"), PASSWORD, None, got.append, lambda: len(got) == 2)
    assert (len(got), mark) == (2, got[-1].mark)
    assert [each.content for each in taken(imap_server.mailbox("stopped"), mark)[1]] == messages[2:]


def test_messages_that_are_taken_are_moved_and_others_stay(imap_server):
    messages = [*mixed(2), b"Subject: large\r\n\r\n" + b"x" * 80_000 + b"\r\n"]
    imap_server.deliver("moved", messages)
    imap_server.deliver("Done", [])
    mailbox = imap_server.mailbox("moved", file_to="Done")
    mark, got = taken(mailbox, most=70_000)
    assert [each.content for each in got] == [*messages[:2], b""]
    assert len(imap_server.uids("moved")) == 1
    assert [each.content for each in taken(imap_server.mailbox("Done"))[1]] == messages[:2]
    assert taken(mailbox, mark, most=70_000) == (mark, [])
    assert len(imap_server.uids("moved")) == 1


def test_a_message_that_was_taken_but_not_moved_is_moved_the_next_time_and_not_taken_again(imap_server):
    messages, kept = mixed(4), []
    imap_server.deliver("half", messages)
    imap_server.deliver("Half done", [])
    mailbox = imap_server.mailbox("half", file_to="Half done")

    def take(fetched):
        kept.append(fetched)
        if len(kept) == 2:
            imap_server.remove("Half done")

    with pytest.raises(MailboxRefused, match="refused what was asked"):
        fetch(mailbox, PASSWORD, None, take, go_on)
    imap_server.deliver("Half done", [])
    _, got = taken(mailbox, kept[-1].mark)
    assert [each.content for each in (*kept, *got)] == messages
    assert imap_server.uids("half") == []
    assert [each.content for each in taken(imap_server.mailbox("Half done"))[1]] == messages[1:]


@pytest.mark.parametrize("can", ["", "UIDPLUS"])
def test_a_server_that_cannot_move_is_asked_to_copy_and_only_that_message_is_ever_expunged(imap_server, can):
    answers = {
        "CAPABILITY": f"* CAPABILITY IMAP4rev1 AUTH=PLAIN {can}\r\nTAG OK",
        "UID COPY": "TAG OK",
        "UID STORE": "TAG OK",
        "UID EXPUNGE": "* 1 EXPUNGE\r\nTAG OK",
    }
    with scripted_imap_server(answers, imap_server.presented) as (port, heard):
        taken(imap_server.mailbox("INBOX", port=port, file_to="Done"))
    said = [each.partition(" ")[2] for each in heard]
    expunged = ["UID EXPUNGE 5"] if can else []
    assert [each for each in said if each.startswith(("UID COPY", "UID STORE", "UID EXPUNGE", "EXPUNGE", "CLOSE"))] == [
        'UID COPY 5 "Done"',
        r"UID STORE 5 +FLAGS.SILENT (\Deleted)",
        *expunged,
    ]


def test_a_folder_of_any_name_is_found(imap_server):
    name = "Aufträge & “Łódź” 台北"
    with imap_server.signed_in() as line:
        assert line.create(folder_name(name))[0] == "OK"
        assert line.append(folder_name(name), None, None, mixed(1)[0])[0] == "OK"
    assert len(taken(imap_server.mailbox(name))[1]) == 1


@pytest.mark.parametrize(
    ("name", "written"),
    [
        ("~peter/mail/台北/日本語", "~peter/mail/&U,BTFw-/&ZeVnLIqe-"),  # the example of RFC 3501, 5.1.3
        ("R&D", "R&-D"),
        ('a"b\\c', r"a\"b\\c"),
        ("a\r\nb", "a&AA0ACg-b"),
    ],
)
def test_the_name_of_a_folder_is_written_as_the_protocol_has_it(name, written):
    assert folder_name(name) == f'"{written}"'


def refusals():
    """What has to be put right, and how it is told."""
    yield "password", {}, {"password": "wrong"}, "refused the sign-in of reception .* Enter the password again"
    yield "account", {"user": "nobody"}, {}, "refused the sign-in of nobody"
    yield "control character", {}, {"password": "a\r\nb LOGOUT"}, "a letter that mail cannot carry"
    yield "name", {"server": "127.0.0.1"}, {}, "did not prove that it is 127.0.0.1"
    yield "authority", {"context": ssl.create_default_context()}, {}, "did not prove that it is localhost"
    yield "folder", {"folder": "Nowhere"}, {}, "does not open the folder “Nowhere” of reception"
    yield "folder to move to", {"file_to": "Nowhere"}, {}, "no folder “Nowhere” on localhost to move"
    yield "the same folder", {"file_to": "inbox"}, {}, "cannot be moved to that same folder"


@pytest.mark.parametrize(
    ("settings", "more", "told"), [each[1:] for each in refusals()], ids=[each[0] for each in refusals()]
)
@pytest.mark.parametrize("security", ["tls", "starttls"])
def test_what_has_to_be_put_right_is_a_sentence(imap_server, security, settings, more, told):
    mailbox = imap_server.mailbox(**{"folder": "INBOX"} | settings, security=security)
    with pytest.raises(MailboxRefused, match=told) as refused:
        taken(mailbox, **more)
    assert str(refused.value).endswith(".")
    assert PASSWORD not in str(refused.value)


def test_a_server_that_speaks_no_tls_is_refused(imap_server):
    with pytest.raises(MailboxRefused, match="does not begin an encrypted line"):
        taken(imap_server.mailbox("INBOX", port=imap_server.port))


@pytest.mark.parametrize(
    "answers",
    [{"STARTTLS": "TAG BAD what?"}, {"STARTTLS": "TAG NO not here"}, {"": "* PREAUTH you are in"}],
    ids=["unknown", "refused", "signed in before (RFC 9051, 11.1)"],
)
def test_without_starttls_nothing_more_is_said(imap_server, answers):
    with (
        scripted_imap_server(answers, None, security="starttls") as (port, heard),
        pytest.raises(MailboxRefused, match="does not offer an encrypted line"),
    ):
        taken(imap_server.mailbox("INBOX", port=port, security="starttls"))
    assert heard in ([], ["s STARTTLS"])


def test_what_somebody_between_says_before_the_line_is_encrypted_is_forgotten(imap_server):
    """RFC 9051, 6.2.1: whatever is known from before STARTTLS has to be discarded."""
    heard = []

    def begin_tls(line):
        line.sendall(b"s OK go\r\n* OK [CAPABILITY IMAP4rev1 LOGINDISABLED]\r\nx NO [ALERT] read nothing\r\n")
        with imap_server.presented.wrap_socket(line, server_side=True) as spoken:
            speak(spoken, USUAL | {"": ""}, heard)

    answers = {"STARTTLS": begin_tls}
    with scripted_imap_server(answers, None, security="starttls") as (port, _):
        _, got = taken(imap_server.mailbox("INBOX", port=port, security="starttls"))
    assert [each.content for each in got] == [b"hello"]
    assert heard[0].endswith("CAPABILITY")


def scripted(imap_server, answers, since=None, **more):
    with scripted_imap_server(answers, imap_server.presented) as (port, _):
        return taken(imap_server.mailbox("INBOX", port=port, **more), since)


def flood(line):
    """Says more than anybody can want to hear."""
    with suppress(OSError):
        while True:
            line.sendall(b"* OK " + b"x" * 60_000 + b"\r\n")


def endless(line):
    with suppress(OSError):
        while True:
            line.sendall(b"x" * 60_000)


@pytest.mark.parametrize(
    "answers",
    [
        {"UID FETCH 5 (BODY": "* 1 FETCH (UID 5 BODY[]<0> {99999999999}"},
        {"UID SEARCH": endless},
        {"": endless},
        {"UID SEARCH": flood},
    ],
    ids=["a message of 100 GB", "a line without an end", "from the beginning", "answers without an end"],
)
def test_a_server_that_sends_without_end_is_hung_up_on(imap_server, answers):
    tracemalloc.start()
    with pytest.raises(MailboxRefused, match="sends more than any answer can be"):
        scripted_small(imap_server, answers)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 100_000_000


def test_a_line_without_an_end_is_hung_up_on_long_before_a_message_would_be(imap_server):
    tracemalloc.start()
    with pytest.raises(MailboxRefused, match="sends more than any answer can be"):
        scripted(imap_server, {"UID SEARCH": endless})
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 30_000_000


def scripted_small(imap_server, answers):
    with scripted_imap_server(answers, imap_server.presented) as (port, _):
        return taken(imap_server.mailbox("INBOX", port=port), most=10_000)


def test_a_message_that_is_larger_than_the_server_said_is_told_of(imap_server):
    answers = {"UID FETCH 5 (BODY.PEEK[]": "* 1 FETCH (UID 5 BODY[]<0> {10001}\r\n" + "x" * 10_001 + ")\r\nTAG OK"}
    (_, (fetched,)) = scripted_small(imap_server, answers)
    assert "larger than 0.01 MB" in fetched.problem
    assert (fetched.content, fetched.size) == (b"", 10_001)


@pytest.mark.parametrize(
    ("answers", "told"),
    [
        ({"": None}, "cannot be reached or broke off"),
        ({"": "* BYE too many lines"}, "too many lines"),
        ({"": "what is this"}, "cannot be reached or broke off"),
        ({"AUTHENTICATE": None}, "cannot be reached or broke off"),
        ({"UID SEARCH": "* BYE going home"}, "going home"),
        ({"UID FETCH 5 (BODY": None}, "cannot be reached or broke off"),
        ({"PASSWORD": "TAG NO [UNAVAILABLE] later"}, "is not ready"),
        ({"UID FETCH 5 (RFC822.SIZE": "TAG NO [INUSE] later"}, "is not ready"),
        ({"EXAMINE": "TAG NO [LIMIT] later"}, "is not ready"),
        ({"UID SEARCH": "what is this"}, "cannot be reached or broke off"),
    ],
)
def test_what_passes_is_tried_again(imap_server, answers, told):
    with pytest.raises(MailboxUnreachable, match=told) as unreachable:
        scripted(imap_server, answers)
    assert str(unreachable.value).endswith("It is tried again.")


@pytest.mark.parametrize(
    ("answers", "told"),
    [
        ({"CAPABILITY": "* CAPABILITY IMAP4rev1 LOGINDISABLED AUTH=X\r\nTAG OK"}, "takes no sign-in by password"),
        ({"EXAMINE": "* 1 EXISTS\r\nTAG OK"}, "no numbers that last"),
        ({"UID SEARCH": "TAG BAD what?"}, "does not speak IMAP as it should"),
        ({"UID SEARCH": "TAG NO never"}, "refused what was asked"),
        ({"": "* NO never"}, "does not speak IMAP as it should"),
    ],
)
def test_a_server_that_will_not_is_told_of(imap_server, answers, told):
    with pytest.raises(MailboxRefused, match=told):
        scripted(imap_server, answers)


def test_a_folder_that_may_only_be_read_moves_nothing(imap_server):
    answers = {"SELECT": "* OK [UIDVALIDITY 7] v\r\nTAG OK [READ-ONLY] open"}
    with pytest.raises(MailboxRefused, match="may only be read"):
        scripted(imap_server, answers, file_to="Done")


def test_a_server_without_authenticate_is_signed_in_to_by_login(imap_server):
    answers = {"CAPABILITY": "* CAPABILITY IMAP4rev1\r\nTAG OK", "LOGIN": "TAG OK"}
    with scripted_imap_server(answers, imap_server.presented) as (port, heard):
        mailbox = imap_server.mailbox("INBOX", port=port, user='front "desk"')
        _, got = taken(mailbox, password="open sesame")
    assert len(got) == 1
    assert any(each.endswith(r'LOGIN "front \"desk\"" "open sesame"') for each in heard)


BODY = "UID FETCH 5 (BODY"


@pytest.mark.parametrize(
    ("said", "content"),
    [
        ("* 1 FETCH (BODY[]<0> {5}\r\nhello UID 5)", b"hello"),
        ("* 1 FETCH (FLAGS (\\Seen) UID 5 BODY[]<0> {5}\r\nhello)", b"hello"),
        ("* 2 FETCH (FLAGS (\\Seen) UID 6)\r\n* 1 FETCH (UID 5 BODY[]<0> {5}\r\nhello)", b"hello"),
        ("* 1 FETCH (UID 5 BODY[]<0> {5}\r\nhello)\r\n* 2 FETCH (UID 6 FLAGS ())\r\n* 3 EXISTS", b"hello"),
        ("* 2 FETCH (UID 6 BODY[]<0> {5}\r\nother)\r\n* 1 FETCH (UID 5 BODY[]<0> {5}\r\nhello)", b"hello"),
        ('* 1 FETCH (UID 5 BODY[]<0> "UID 6 \\"hello\\"")', b'UID 6 "hello"'),
        ("* 1 FETCH (UID 5 BODY[]<0> {12}\r\n) UID 6 {3}\r)", b") UID 6 {3}\r"),
    ],
    ids=[
        "number behind",
        "flags before",
        "another before",
        "another behind",
        "another whole",
        "a string",
        "odd content",
    ],
)
def test_an_answer_is_read_however_the_server_orders_it(imap_server, said, content):
    """RFC 3501, 7.4.2: data items in any order, and unasked ones between; a string may be quoted (section 9)."""
    _, got = scripted(imap_server, {BODY: f"{said}\r\nTAG OK"})
    assert [(each.content, each.problem) for each in got] == [(content, "")]


def test_a_message_that_somebody_took_away_meanwhile_is_passed_over(imap_server):
    for gone in ({"UID FETCH 5 (RFC822.SIZE": "TAG OK"}, {BODY: "* 1 EXPUNGE\r\nTAG OK"}):
        assert scripted(imap_server, gone) == (Mark(7, 5), [])


def test_a_message_that_is_not_given_out_is_told_of_and_does_not_stop_the_others(imap_server):
    answers = {
        "UID SEARCH": "* SEARCH 4 5\r\nTAG OK",
        "UID FETCH 4 (RFC822.SIZE": "* 1 FETCH (UID 4 RFC822.SIZE 5)\r\nTAG OK",
        "UID FETCH 4": "TAG NO damaged",
    }
    mark, (refused, second) = scripted(imap_server, answers)
    assert "does not give this message out (damaged)" in refused.problem
    assert (second.content, mark) == (b"hello", Mark(7, 5))


def test_a_message_of_nothing_is_told_of(imap_server):
    _, (fetched,) = scripted(imap_server, {BODY: "* 1 FETCH (UID 5 BODY[]<0> NIL)\r\nTAG OK"})
    assert fetched.problem == "The message is empty."


def test_a_last_message_with_a_number_below_the_first_asked_for_is_not_new(imap_server):
    """RFC 3501, 6.4.8: `9:*` always has the last message in it, even when its number is 5."""
    assert scripted(imap_server, {}, since=Mark(7, 9)) == (Mark(7, 9), [])


def test_nothing_that_listens_is_tried_again():
    with relayed(0) as port:
        pass
    with pytest.raises(MailboxUnreachable, match="cannot be reached or broke off"):
        taken(Mailbox("localhost", "reception", port))


@pytest.mark.parametrize("silent_at", ["", "CAPABILITY", "UID SEARCH", BODY])
def test_a_server_that_falls_silent_is_not_waited_for_for_ever(imap_server, silent_at):
    over = threading.Event()
    with scripted_imap_server({silent_at: lambda _: over.wait(20)}, imap_server.presented) as (port, _):
        with pytest.raises(MailboxUnreachable, match="does not answer"):
            taken(imap_server.mailbox("INBOX", port=port, patience=0.1))
        over.set()


def test_stop_is_heard_while_a_server_is_silent(imap_server):
    silent, over, got = threading.Event(), threading.Event(), []

    def fall_silent(_):
        silent.set()
        over.wait(20)

    begun = time.monotonic()
    with scripted_imap_server({BODY: fall_silent}, imap_server.presented) as (port, _):
        mark = fetch(imap_server.mailbox("INBOX", port=port), PASSWORD, Mark(7, 4), got.append, silent.is_set)
        over.set()
    assert (mark, got) == (Mark(7, 4), [])
    assert time.monotonic() - begun < 10


def test_what_a_message_says_stands_in_no_log(imap_server):
    _, (fetched,) = scripted(imap_server, {})
    assert "hello" not in repr(fetched)
