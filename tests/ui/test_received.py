"""What became of files, in sentences short enough for the news."""

from dataclasses import replace

import pytest

from intake.desk.receive import Received
from intake.ui.received import received_words


def arrival(name="a.json", **more):
    return Received(name, "prescription", f"{name}: It waits in Arrivals.", taken=True, **more)


def reply(number):
    return Received("r.pdf", "reply", f"The reply to letter {number}: filled in", taken=True)


def scans(count, name="J.T"):
    return Received(name, "scan", f"{name}: {count} scans, to be checked.", taken=True, arrival_id=1, scans=count)


def message():
    return Received("Scans", "mail", "Scans: It waits in Arrivals.", taken=True, arrival_id=1)


def refused(name):
    return Received(name, "unknown", f"{name} is no form, mail or prescription.", taken=False)


@pytest.mark.parametrize(
    ("received", "said"),
    [
        ([arrival()], "1 file taken in."),
        ([arrival(), arrival(already=True)], "1 file taken in; 1 was here already."),
        ([arrival(), arrival("b.json", unread=True)], "2 files taken in; not readable: b.json."),
        ([scans(1)], "1 scan taken in."),
        ([scans(2), scans(3)], "5 scans taken in."),
        ([scans(2), arrival(), message()], "1 file, 2 scans and 1 message taken in."),
        ([message(), message()], "2 messages taken in."),
        ([replace(scans(0), already=True)], "0 files taken in; 1 was here already."),
        ([reply(3)], "The reply to letter 3: filled in. It stands in Waiting, F11."),
        ([reply(n) for n in range(4)], "4 returned forms came in. They stand in Waiting, F11."),
        ([refused("x.txt")], "x.txt is no form, mail or prescription."),
        (
            [arrival(), reply(3), refused("x.txt")],
            "1 file taken in. The reply to letter 3: filled in. It stands in Waiting, F11. "
            "x.txt is no form, mail or prescription.",
        ),
        ([], "There was no file to take in."),
    ],
    ids=[
        "one",
        "again",
        "unreadable",
        "scan",
        "scans",
        "mixed",
        "messages",
        "scans-again",
        "reply",
        "many-replies",
        "refused",
        "all-kinds",
        "none",
    ],
)
def test_each_kind_of_file_is_told_with_where_it_stands(received, said):
    assert received_words(received, "F11") == said


def test_many_that_are_refused_are_counted():
    said = received_words([refused(f"{n}.txt") for n in range(5)], "F11")
    assert said.endswith("2 more were not taken in.")
    assert said.count("is no form") == 3


def test_where_waiting_has_no_key_none_is_named():
    assert received_words([reply(3)], "").endswith("It stands in Waiting.")
