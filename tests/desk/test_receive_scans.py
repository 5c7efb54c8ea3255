"""Scans in mails, archives and folders as practices send them; what is refused is told, and nothing is lost."""

import errno
import os
import shutil
from dataclasses import replace
from email.message import EmailMessage
from email.policy import SMTP
from pathlib import Path

import pytest

from intake.desk.arrivals import waiting
from intake.desk.incoming import watch
from intake.desk.letters import write_to
from intake.desk.open_form import arrival_form
from intake.desk.receive import receive, receive_message
from intake.domain.reply_fields import DATE, NAME
from intake.domain.scan_rules import Sender
from intake.inbox.scan_files import REFUSED, NoRoom
from intake.inbox.watched import NOT_TAKEN, TAKEN
from intake.store.complaints import StoreBusy
from intake.store.scans import Scans
from tests.desk.bags import (
    PRESCRIPTION,
    lower,
    mail,
    names,
    photo,
    problems,
    put,
    upper,
    waiting_names,
    written,
    zipped,
)
from tests.desk.desks import demo_lab, demo_practices, open_desk
from tests.desk.waiting import booked
from tests.documents.filling import filled_by_pypdf

LINES = """Dear all,

Patient: J.T.
Ref: 20418
Please make: hard splint upper
Due: 10 Dec

Kind regards
"""
BOTH = ["scan lower.stl", "scan upper.stl"]
LOCKED = b"PK\x03\x04"


def received_of(desk, message):
    """What becomes of a mail that the mailbox brings."""
    return receive_message(desk, bytes(message), "message.eml")


def refused_files(tmp_path):
    folder = tmp_path / "scans" / REFUSED
    return [path.read_bytes() for path in folder.iterdir()] if folder.exists() else []


# Mails


def test_a_mail_with_meshes_is_one_case_with_its_words(desk):
    (received,) = received_of(desk, mail(LINES, {"upper.stl": upper(), "lower.stl": lower()}))
    assert names(desk, received.arrival_id) == ["message message.eml", *BOTH]
    (line,) = waiting(desk)
    assert (line.patient, line.appliances, line.source) == ("J.T.", "Upper hard occlusal splint", "Scans for J.T.")


def test_the_labelled_lines_of_a_mail_fill_the_form_in(desk):
    (received,) = received_of(desk, mail(LINES, {"upper.stl": upper()}))
    typed = arrival_form(desk, received.arrival_id).typed
    assert typed["patient.label"] == "J.T."
    assert typed["patient.reference"] == "20418"
    assert typed["appliances[0]"] == "hard splint upper"
    assert typed["appointment"] == "10 Dec"


def test_a_senders_own_labels_fill_the_form_in(store, tmp_path):
    sender = Sender(address="@marlowe-house.example.com", labels={"patient": ("Name of the patient",)})
    lab = demo_lab().model_copy(update={"scans": demo_lab().scans.model_copy(update={"senders": (sender,)})})
    desk = open_desk(store, tmp_path, lab=lab)
    (received,) = received_of(desk, mail("Name of the patient: M.S.\nRef: 7", {"upper.stl": upper()}))
    row = desk.store.read.arrival(received.arrival_id)
    assert (row.patient_label, row.patient_reference) == ("M.S.", "7")


def test_a_mail_with_a_zip_is_one_case(desk):
    packed = zipped({"scans/upper.stl": upper(), "scans/lower.stl": lower()})
    (received,) = received_of(desk, mail(attached={"scans.zip": packed}))
    assert names(desk, received.arrival_id) == ["message message.eml", *BOTH]


def test_a_mail_with_a_prescription_file_and_a_zip_is_one_case(desk):
    packed = zipped({"upper.stl": upper(), "lower.stl": lower()})
    (received,) = received_of(desk, mail(attached={"scans.zip": packed, "order.json": PRESCRIPTION}))
    assert names(desk, received.arrival_id) == ["message message.eml", "prescription order.json", *BOTH]
    assert desk.store.read.arrival(received.arrival_id).practice == "Marlowe House Dental Practice"


def test_a_mail_with_several_cases_gives_no_patient_to_any_of_them(desk):
    packed = zipped({"Jones/upper.stl": upper(), "Smythe/upper.stl": upper(2)})
    received = received_of(desk, mail(LINES, {"scans.zip": packed}))
    rows = desk.store.read.arrivals()
    assert [row.patient_label for row in rows] == ["", ""]
    assert [row.source_name for row in rows] == ["Scans for J.T. / Jones", "Scans for J.T. / Smythe"]
    assert {row.practice for row in rows} == {"Marlowe House Dental Practice"}
    assert all(names(desk, each.arrival_id) == ["message message.eml", "scan upper.stl"] for each in received)


@pytest.mark.parametrize(
    "text",
    ["Please find the scans at https://files.example.com/d/8f2c?who=jt", "We rang; the scans follow tomorrow."],
    ids=["a link", "words"],
)
def test_a_mail_with_words_and_links_alone_waits_to_be_read_and_no_link_is_followed(desk, text, monkeypatch):
    import socket

    def refuse(*_):
        raise AssertionError("a link was followed")

    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    (received,) = received_of(desk, mail(text))
    assert (received.what, received.taken, received.unread) == ("mail", True, False)
    assert names(desk, received.arrival_id) == ["message message.eml"]
    kept = desk.store.read.files_of([received.arrival_id])[received.arrival_id][0]
    assert text.encode() in desk.scan_files.path(kept.sha256).read_bytes()


def test_a_forwarded_mail_brings_its_scans(desk):
    inner = mail(LINES, {"upper.stl": upper(), "lower.stl": lower()})
    outer = mail("See below.", subject="Fwd: Scans for J.T.", sender="front@marlowe-house.example.com", mark="m-2")
    outer.add_attachment(inner)
    (received,) = received_of(desk, outer)
    assert names(desk, received.arrival_id) == ["message message.eml", *BOTH]


def test_the_same_mail_twice_is_one_case_whatever_way_it_came(desk, tmp_path):
    """Once by the mailbox, and once as a file that a mail program wrote, with the headers of its way."""
    message = mail(LINES, {"upper.stl": upper()})
    (first,) = received_of(desk, message)
    saved = b"Received: by relay.example.com; Wed, 25 Nov 2026 10:13:00 +0000\r\n" + bytes(message)
    (again,) = receive(desk, [written(tmp_path / "in" / "saved.eml", saved)])
    assert (again.already, again.arrival_id) == (True, first.arrival_id)
    assert len(waiting_names(desk)) == 1


@pytest.mark.parametrize("mark", ["m-1", ""])
def test_two_mails_that_bear_one_mark_are_two_cases(desk, mark):
    """Some programs give every message the same Message-ID, or none."""
    received_of(desk, mail("The upper.", {"upper.stl": upper()}, mark=mark))
    received_of(desk, mail("The upper.", {"upper.stl": upper(2)}, mark=mark))
    received_of(desk, mail("Both follow on paper.", mark=mark))
    received_of(desk, mail("They are in the post.", mark=mark))
    assert len(waiting_names(desk)) == 4


def test_a_mail_with_a_returned_form_and_scans_brings_both(desk, tmp_path):
    booked(desk, "02")
    (issued,) = write_to(desk, "QUILLB2")
    form = filled_by_pypdf(desk.store.read.pdf(issued.document.document_id), {NAME: "Jo", DATE: "26.11.2026"})
    received = received_of(desk, mail(attached={"reply.pdf": form, "upper.stl": upper(), "lower.stl": lower()}))
    assert [each.what for each in received] == ["reply", "scan"]
    assert received[0].key == "QUILLB2"
    assert names(desk, received[1].arrival_id) == ["message message.eml", *BOTH]
    assert all(each.already for each in received_of(desk, mail(attached={"reply.pdf": form})))


def test_a_letter_that_comes_with_a_returned_form_waits_too(desk):
    from intake.documents.letter import draw_letter
    from tests.documents.samples import LETTER

    booked(desk, "02")
    (issued,) = write_to(desk, "QUILLB2")
    form = filled_by_pypdf(desk.store.read.pdf(issued.document.document_id), {NAME: "Jo", DATE: "26.11.2026"})
    message = mail(attached={"reply.pdf": form, "another order.pdf": draw_letter(replace(LETTER, number=None))})
    received = received_of(desk, message)
    assert [each.what for each in received] == ["reply", "mail"]
    assert names(desk, received[1].arrival_id) == ["message message.eml", "pdf another order.pdf"]


def test_the_picture_of_a_signature_is_passed_over(desk):
    message = mail(attached={"upper.stl": upper()})
    message.get_payload()[0].add_alternative('<p>Scans.</p><img src="cid:logo@example.com">', subtype="html")
    page = message.get_payload()[0].get_payload()[1]
    page.add_related(photo(), maintype="image", subtype="png", cid="<logo@example.com>", filename="logo.png")
    (received,) = received_of(desk, message)
    assert names(desk, received.arrival_id) == ["message message.eml", "scan upper.stl"]


def test_a_photo_of_a_prescription_in_a_mail_waits_with_its_words(desk):
    (received,) = received_of(desk, mail("The slip.", {"slip.png": photo()}))
    assert names(desk, received.arrival_id) == ["message message.eml", "picture slip.png"]


def test_a_picture_that_is_all_of_a_mail_is_no_signature(desk):
    message = EmailMessage(policy=SMTP)
    message["From"], message["Subject"] = "desk@marlowe-house.example.com", "Slip"
    message.set_content('<img src="cid:slip@example.com">', subtype="html")
    message.add_related(photo(), maintype="image", subtype="png", cid="<slip@example.com>", filename="slip.png")
    (received,) = received_of(desk, message)
    assert names(desk, received.arrival_id) == ["message message.eml", "picture slip.png"]


def test_a_mail_without_anything_is_not_taken_from_a_file_and_waits_from_the_mailbox(desk, tmp_path):
    message = mail("")
    (received,) = receive(desk, [written(tmp_path / "in" / "empty.eml", bytes(message))])
    assert (received.taken, received.said) == (False, "empty.eml: the mail is empty. Read it in the mail program.")
    (received,) = received_of(desk, message)
    assert received.unread
    assert problems(desk, received.arrival_id) == ["message.eml: the mail is empty. Read it in the mail program."]


def test_a_mail_that_cannot_be_read_waits_as_what_it_is(desk, tmp_path):
    damaged = b"From: a@example.com\n" + b"boundary\n" * 300
    (received,) = receive_message(desk, damaged, "A message of the mailbox")
    assert received.unread
    assert refused_files(tmp_path) == [damaged]
    assert receive_message(desk, damaged, "A message of the mailbox")[0].already


# Archives


def test_a_zip_with_a_folder_for_each_case_is_as_many_cases(desk, tmp_path):
    packed = zipped(
        {
            "week/Jones/upper.stl": upper(),
            "week/Jones/lower.stl": lower(),
            "week/Jones/order.json": PRESCRIPTION,
            "week/Smythe/scans/upper.stl": upper(2),
            "week/Smythe/slip.png": photo(),
            "__MACOSX/week/._upper.stl": b"left by a computer",
        }
    )
    path = written(tmp_path / "in" / "week 48.zip", packed)
    received = receive(desk, [path])
    assert waiting_names(desk) == [
        ["prescription order.json", *BOTH],
        ["picture slip.png", "scan upper.stl"],
    ]
    assert [each.file for each in received] == ["week 48.zip / week/Jones", "week 48.zip / week/Smythe/scans"]
    assert all(each.already for each in receive(desk, [path]))
    assert refused_files(tmp_path) == []


def test_a_zip_of_returned_forms_is_that_many_forms(desk, tmp_path):
    booked(desk, "02")
    (issued,) = write_to(desk, "QUILLB2")
    form = filled_by_pypdf(desk.store.read.pdf(issued.document.document_id), {NAME: "Jo", DATE: "26.11.2026"})
    (received,) = receive(desk, [written(tmp_path / "in" / "forms.zip", zipped({"reply.pdf": form}))])
    assert (received.what, received.key) == ("reply", "QUILLB2")


def locked(packed):
    """The same zip, with its first member marked as encrypted (APPNOTE 6.3.10, 4.4.4: bit 0)."""
    marked = bytearray(packed)
    marked[6] |= 1
    marked[packed.index(b"PK\x01\x02") + 8] |= 1
    return bytes(marked)


def test_what_is_left_out_of_a_zip_is_told_where_its_case_waits_and_the_zip_is_kept(desk, tmp_path):
    packed = locked(zipped({"lower.stl": lower(), "upper.stl": upper()}))
    (received,) = receive(desk, [written(tmp_path / "in" / "jones.zip", packed)])
    assert names(desk, received.arrival_id) == ["refused jones.zip", "scan upper.stl"]
    (problem,) = problems(desk, received.arrival_id)
    assert problem.startswith("jones.zip: lower.stl was left out: it needs a password.")
    assert refused_files(tmp_path) == [packed]


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (zipped({"upper.stl": upper()})[:-30], "cut short or damaged"),
        (zipped({}), "There is no file in the archive."),
        (locked(zipped({"upper.stl": upper()})), "it needs a password"),
        (zipped({"inner.zip": zipped({"upper.stl": upper()})}), "an archive inside the archive"),
    ],
    ids=["cut short", "empty", "locked", "nested"],
)
def test_a_zip_that_gives_nothing_waits_with_the_reason_and_is_kept_apart(desk, tmp_path, content, why):
    path = written(tmp_path / "in" / "jones.zip", content)
    (received,) = receive(desk, [path])
    assert (received.taken, received.unread, received.what) == (True, True, "archive")
    assert why in problems(desk, received.arrival_id)[0]
    assert refused_files(tmp_path) == [content]
    assert receive(desk, [path])[0].already


def test_a_zip_in_a_folder_is_opened_where_it_lies(desk, tmp_path):
    folder = put(tmp_path / "Jones", order_json=PRESCRIPTION)[0].parent
    written(folder / "scans.zip", zipped({"upper.stl": upper(), "lower.stl": lower()}))
    (received,) = receive(desk, [folder])
    assert names(desk, received.arrival_id) == ["prescription order.json", *BOTH]


def test_nothing_that_was_unpacked_is_left_behind(desk, tmp_path):
    receive(desk, [written(tmp_path / "in" / "jones.zip", zipped({"upper.stl": upper()}))])
    assert list((tmp_path / "scans" / "coming").iterdir()) == []


# What goes wrong


def sparse(path, size):
    """A file of a size that holds nothing, and takes no room."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        file.truncate(size)
    return path


@pytest.mark.parametrize(
    ("name", "most"), [("upper.stl", "512 MB"), ("upper.obj", "512 MB"), ("slip.pdf", "60 MB"), ("slip.bin", "60 MB")]
)
def test_a_file_of_two_gigabytes_is_refused_by_its_size_and_not_read(desk, tmp_path, name, most):
    path = sparse(tmp_path / "in" / name, 2_000_000_001)
    begin = os.times().user + os.times().system
    (received,) = receive(desk, [path])
    assert os.times().user + os.times().system - begin < 0.5
    assert (received.taken, received.said) == (False, f"{name}: It is larger than {most}.")
    assert waiting_names(desk) == []


def test_a_file_that_is_too_large_in_a_folder_is_told_beside_the_others(desk, tmp_path):
    folder = put(tmp_path / "Jones", lower_stl=lower())[0].parent
    sparse(folder / "upper.stl", 2_000_000_001)
    (received,) = receive(desk, [folder])
    assert names(desk, received.arrival_id) == ["refused upper.stl", "scan lower.stl"]
    assert problems(desk, received.arrival_id) == ["upper.stl: It is larger than 512 MB."]
    assert sum(map(len, refused_files(tmp_path))) < 100


def test_a_folder_with_more_files_than_a_case_has_is_not_taken(desk, tmp_path):
    folder = tmp_path / "everything"
    folder.mkdir()
    for number in range(2_001):
        (folder / f"{number}.txt").touch()
    (received,) = receive(desk, [folder])
    assert (received.taken, received.said) == (
        False,
        "everything: It holds more than 2,000 files, as no case does. Take in its parts.",
    )


def taken_away(monkeypatch, name, times):
    """Another program takes a file away just when it is opened for the last of so many times."""
    opened, count = Path.open, iter(range(1, times + 1))

    def gone(self, *how, **more):
        if self.name == name and self.exists() and next(count) == times:
            self.unlink()
        return opened(self, *how, **more)

    monkeypatch.setattr(Path, "open", gone)


TO_KEEP = 3
"""A scan is opened twice to tell what it is, and then to be kept."""


@pytest.mark.parametrize("times", [1, 2, TO_KEEP])
def test_a_file_that_is_taken_away_while_it_is_read_is_told(desk, tmp_path, monkeypatch, times):
    path = put(tmp_path / "in", upper_stl=upper())[0]
    taken_away(monkeypatch, "upper.stl", times)
    (received,) = receive(desk, [path])
    assert not path.exists()
    assert not received.taken
    assert "no such file" in received.said.lower()
    assert waiting_names(desk) == []


@pytest.mark.parametrize("times", [1, 2, TO_KEEP])
def test_the_others_of_a_folder_are_taken_in_when_one_is_taken_away(desk, tmp_path, monkeypatch, times):
    folder = put(tmp_path / "Jones", upper_stl=upper(), lower_stl=lower())[0].parent
    taken_away(monkeypatch, "upper.stl", times)
    (received,) = receive(desk, [folder])
    assert not (folder / "upper.stl").exists()
    assert "scan lower.stl" in names(desk, received.arrival_id)
    told = ["upper.stl: It cannot be read: No such file or directory."] if times == TO_KEEP else []
    assert problems(desk, received.arrival_id) == told


@pytest.fixture
def full_disk(monkeypatch):
    """A disk without room for scans until somebody makes some."""
    full, replaces = [True], os.replace

    def refuse(source, target):
        if full[0]:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        replaces(source, target)

    monkeypatch.setattr(os, "replace", refuse)
    return full


@pytest.mark.parametrize("name", ["upper.stl", "jones.zip", "jones.eml"])
def test_a_full_disk_is_a_sentence_and_the_file_is_taken_in_when_there_is_room(desk, tmp_path, full_disk, name):
    kinds = {"stl": upper(), "zip": zipped({"upper.stl": upper()}), "eml": bytes(mail(attached={"upper.stl": upper()}))}
    incoming = watch(tmp_path / "incoming")
    path = written(tmp_path / "incoming" / name, kinds[name[-3:]])
    incoming.take_next(desk)
    for _ in range(2):
        with pytest.raises(NoRoom, match=r"No file can be kept in .*scans: No space left on device\."):
            incoming.take_next(desk)
    assert path.exists()
    assert waiting_names(desk) == []
    assert desk.store.verify_chain().count == len(demo_practices())
    full_disk[0] = False
    assert incoming.take_next(desk).received[0].taken
    assert "scan upper.stl" in waiting_names(desk)[0]
    assert not any((tmp_path / "scans" / "coming").iterdir())


def test_a_full_disk_stops_the_mailbox_and_not_the_message(desk, full_disk):
    message = bytes(mail(attached={"upper.stl": upper()}))
    with pytest.raises(NoRoom):
        receive_message(desk, message, "message.eml")
    full_disk[0] = False
    assert receive_message(desk, message, "message.eml")[0].taken


def test_a_zip_that_cannot_be_unpacked_for_want_of_room_is_not_refused(desk, tmp_path, monkeypatch):
    path = written(tmp_path / "in" / "jones.zip", zipped({"upper.stl": upper()}))
    opened = Path.open

    def full(self, mode="r", *how, **more):
        if mode == "xb" and self.name.startswith("member-"):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return opened(self, mode, *how, **more)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "open", full)
        with pytest.raises(NoRoom, match="No space left"):
            receive(desk, [path])
    assert waiting_names(desk) == []
    assert receive(desk, [path])[0].taken


def test_a_store_that_another_desk_holds_loses_nothing(desk, tmp_path, monkeypatch):
    path = put(tmp_path / "in", upper_stl=upper())[0]

    def busy(*_):
        raise StoreBusy("Another desk is writing just now; nothing was saved. Do it again in a moment.")

    with monkeypatch.context() as patched:
        patched.setattr(Scans, "add_files", busy)
        with pytest.raises(StoreBusy):
            receive(desk, [path])
    assert waiting_names(desk) == []
    assert receive(desk, [path])[0].taken
    assert waiting_names(desk) == [["scan upper.stl"]]


def test_what_is_no_file_at_all_is_told(desk, tmp_path):
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe.stl")
        assert "no file" in receive(desk, [tmp_path / "pipe.stl"])[0].said
    assert receive(desk, [tmp_path / "gone.stl"])[0].said == "gone.stl: There is no such file."


# The watched folder


def test_a_folder_that_is_put_into_the_watched_folder_is_one_case_and_is_moved_aside(desk, tmp_path):
    incoming = watch(tmp_path / "incoming")
    put(tmp_path / "incoming" / "Jones 4.12", upper_stl=upper(), lower_stl=lower())
    assert incoming.take_next(desk).received == ()
    taken = incoming.take_next(desk)
    assert taken.received[0].taken
    assert waiting_names(desk) == [BOTH]
    assert [path.name for path in (tmp_path / "incoming" / TAKEN).iterdir()] == ["Jones 4.12"]


def test_a_folder_of_which_nothing_can_be_taken_is_kept_apart(desk, tmp_path):
    incoming = watch(tmp_path / "incoming")
    put(tmp_path / "incoming" / "Jones", odd_json=b"no prescription")
    incoming.take_next(desk)
    taken = incoming.take_next(desk)
    assert [each.taken for each in taken.received] == [False]
    assert [path.name for path in (tmp_path / "incoming" / NOT_TAKEN).iterdir()] == ["Jones"]


@pytest.fixture
def with_folders(store, tmp_path):
    """A desk whose setup names two more folders: one in the data folder, and one that is whole."""
    rules = demo_lab().scans.model_copy(update={"folders": ("scanner", str(tmp_path / "share"))})
    desk = open_desk(store, tmp_path, lab=demo_lab().model_copy(update={"scans": rules}))
    return replace(desk, folder=tmp_path / "data")


def test_the_folders_that_the_setup_names_are_watched_as_well(with_folders, tmp_path):
    incoming = watch(tmp_path / "data" / "incoming")
    put(tmp_path / "data" / "incoming", a_upper_stl=upper())
    put(tmp_path / "data" / "scanner", b_upper_stl=upper(2))
    put(tmp_path / "share", c_upper_stl=upper(3))
    assert not incoming.take_next(with_folders).received
    taken = [incoming.take_next(with_folders) for _ in range(3)]
    assert [len(each.received) for each in taken] == [1, 1, 1]
    assert [each.more for each in taken] == [True, True, False]
    assert (tmp_path / "share" / TAKEN / "c_upper.stl").exists()
    assert len(waiting_names(with_folders)) == 3


def test_a_watched_folder_that_is_away_is_told_and_taken_up_when_it_is_back(with_folders, tmp_path):
    incoming = watch(tmp_path / "data" / "incoming")
    put(tmp_path / "data" / "scanner")
    assert f"The folder {tmp_path / 'share'} cannot be looked at" in incoming.take_next(with_folders).away
    put(tmp_path / "share", c_upper_stl=upper())
    assert incoming.take_next(with_folders).away == ""
    assert incoming.take_next(with_folders).received[0].taken


def test_a_folder_that_the_setup_names_no_more_is_let_alone(with_folders, tmp_path):
    incoming = watch(tmp_path / "data" / "incoming")
    put(tmp_path / "share", c_upper_stl=upper())
    incoming.take_next(with_folders)
    without = replace(with_folders, lab=demo_lab())
    assert not incoming.take_next(without).received
    assert not incoming.take_next(without).received


def test_a_file_that_another_desk_takes_from_the_folder_meanwhile_is_no_trouble(desk, tmp_path, monkeypatch):
    incoming = watch(tmp_path / "incoming")
    path = put(tmp_path / "incoming", upper_stl=upper())[0]
    incoming.take_next(desk)
    keep = Scans.delivered

    def moved_meanwhile(self, *what):
        shutil.move(path, tmp_path / "elsewhere.stl")
        keep(self, *what)

    monkeypatch.setattr(Scans, "delivered", moved_meanwhile)
    taken = incoming.take_next(desk)
    assert (taken.received[0].taken, taken.problem) == (True, "")
