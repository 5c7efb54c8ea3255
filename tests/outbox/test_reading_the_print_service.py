"""What CUPS's commands say, read: outputs of CUPS 2.4.2, taken down from a server of our own."""

import struct

import pytest

from intake.outbox import ipp
from intake.outbox.cups import media, plain_title, read_queues, read_request
from intake.outbox.print_queue import PrinterTrouble, QueueInfo, QueueJob

LISTED = """Labels not accepting requests since Wed Nov 25 08:21:08 2026 -
\tno labels
Letters accepting requests since Wed Nov 25 08:21:11 2026
Tickets accepting requests since Wed Nov 25 08:21:11 2026
printer Labels is idle.  enabled since Wed Nov 25 08:21:08 2026
\tno labels
printer Letters now printing Letters-12.  enabled since Wed Nov 25 08:21:08 2026
printer Tickets disabled since Wed Nov 25 08:21:11 2026 -
\tpaper jam
"""


def test_each_queue_is_read_with_its_state():
    assert read_queues(LISTED) == (
        QueueInfo("Labels", False, "refusing jobs (no labels)"),
        QueueInfo("Letters", True, "ready"),
        QueueInfo("Tickets", False, "stopped (paper jam)"),
    )


def test_a_computer_without_queues_has_none():
    assert read_queues("") == ()


def test_the_job_number_is_read_even_where_the_name_ends_in_a_number():
    assert read_request("request id is Bench-2-17 (1 file(s))\n", "Bench-2") == QueueJob("Bench-2", 17)


@pytest.mark.parametrize("said", ["", "request id is Other-3 (1 file(s))\n", "done\n"])
def test_anything_but_a_number_in_the_queue_that_was_named_is_trouble(said):
    with pytest.raises(PrinterTrouble, match="“Tickets” gave no job number"):
        read_request(said, "Tickets")


@pytest.mark.parametrize(
    ("size", "name"),
    [
        # PWG 5101.1, Media Standardized Names: the self-describing names of ISO 216 sheets.
        ((105.0, 148.0), "iso_a6_105x148mm"),
        ((148.0, 210.0), "iso_a5_148x210mm"),
        ((210.0, 297.0), "iso_a4_210x297mm"),
        # lp(1) of CUPS: “Custom.WIDTHxLENGTHmm”.
        ((100.0, 150.0), "Custom.100x150mm"),
        ((62.5, 100.0), "Custom.62.5x100mm"),
    ],
)
def test_sizes_have_their_standard_names(size, name):
    assert media(size) == name


def test_a_title_is_kept_to_one_short_line():
    assert plain_title(" 26 004123 76\r\n\x1b[31mcopy 2 ") == "26 004123 76 [31mcopy 2"
    assert len(plain_title("x" * 500)) == 120


def counted(*parts: bytes) -> bytes:
    return b"".join(struct.pack(">H", len(part)) + part for part in parts)


def test_an_answer_is_read_as_the_standard_lays_it_out():
    # RFC 2565, 9.2, “Print-Job Response (successful)”, octet by octet; the encoding of RFC 8010 is the same.
    answer = (
        bytes.fromhex("0100 0000 00000001 01 47")
        + counted(b"attributes-charset", b"us-ascii")
        + bytes.fromhex("48 001b")
        + b"attributes-natural-language"
        + counted(b"en-us")
        + b"\x41"
        + counted(b"status-message", b"successful-ok")
        + bytes.fromhex("02 21")
        + counted(b"job-id", (147).to_bytes(4, "big"))
        + b"\x45"
        + counted(b"job-uri", b"http://forest:631/pinetree/123")
        + b"\x42"
        + counted(b"job-state", bytes.fromhex("00000003"))
        + b"\x03"
    )
    found = ipp.attributes(answer)
    assert found["attributes-natural-language"] == b"en-us"
    assert found["job-uri"] == b"http://forest:631/pinetree/123"
    assert {name: int.from_bytes(found[name], "big") for name in ("job-id", "job-state")} == {
        "job-id": 147,
        "job-state": 3,
    }


def test_a_further_value_has_an_empty_name_in_a_request():
    # RFC 2565, 9.7, “Get-Jobs Request”: requested-attributes, then 0x44 with name-length 0x0000.
    assert ipp.request(7).endswith(
        b"\x44" + counted(b"requested-attributes", b"job-state") + b"\x44" + counted(b"", b"job-printer-uri") + b"\x03"
    )
