"""What belongs together comes in together: by folder, by name and by time; never two patients in one."""

import shutil
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from intake.desk.arrivals import dismiss, set_down, waiting
from intake.desk.book_in import book_arrival
from intake.desk.deliveries import Coming, Delivery, take_in_delivery
from intake.desk.joining import join_arrivals
from intake.desk.open_form import arrival_form
from intake.desk.receive import receive
from intake.documents.blank_prescription import draw_blank
from intake.domain.half_typed import HalfTyped
from intake.inbox.scan_files import REFUSED
from intake.store.opening import Store
from tests.desk.bags import PRESCRIPTION, lower, names, pair, photo, problems, put, upper, waiting_names, written
from tests.desk.desks import NOW, open_desk
from tests.documents.filling import filled_by_pypdf
from tests.documents.samples import BLANK
from tests.scans import writers

BOTH = ["scan jones_lower.stl", "scan jones_upper.stl"]


def later(desk, minutes):
    return replace(desk, now=lambda: NOW + timedelta(minutes=minutes))


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("upper.stl", writers.stl),
        ("upper_text.stl", writers.stl_text),
        ("upper.ply", writers.ply),
        ("upper.obj", writers.obj),
        ("upper.3mf", writers.one_part),
        ("upper.dcm", lambda mesh: writers.dicom(writers.stl(mesh))),
        ("upper", writers.stl),
    ],
)
def test_a_loose_scan_of_every_format_waits_as_it_came(desk, tmp_path, name, content):
    (received,) = receive(desk, [written(tmp_path / "in" / name, content(pair().upper))])
    assert (received.what, received.taken, received.already, received.unread) == ("scan", True, False, False)
    assert received.said == f"{name}: 1 scan, to be checked. It waits in Arrivals."
    assert names(desk, received.arrival_id) == [f"scan {name}"]
    (line,) = waiting(desk)
    assert (line.stream, line.source, line.unchecked) == ("scan", name, 1)


def test_loose_files_whose_names_are_alike_are_one_case_when_they_come_within_minutes(desk, tmp_path):
    one, two = put(tmp_path / "in", jones_upper_stl=upper(), jones_lower_stl=lower())
    (first,) = receive(desk, [one])
    (second,) = receive(later(desk, 9), [two])
    assert second.arrival_id == first.arrival_id
    assert second.said == "jones_lower.stl: 1 file added to what waits in Arrivals."
    assert names(desk, first.arrival_id) == BOTH


def test_files_alike_that_come_hours_apart_are_two_cases(desk, tmp_path):
    one, two = put(tmp_path / "in", jones_upper_stl=upper(), jones_lower_stl=lower())
    receive(desk, [one])
    receive(later(desk, 11), [two])
    assert waiting_names(desk) == [["scan jones_upper.stl"], ["scan jones_lower.stl"]]


def test_files_of_other_names_and_of_other_folders_are_cases_of_their_own(desk, tmp_path):
    receive(desk, put(tmp_path / "in", jones_upper_stl=upper(), smythe_lower_stl=lower()))
    receive(desk, put(tmp_path / "other", jones_lower_stl=lower(2)))
    assert len(desk.store.read.arrivals()) == 3


def test_another_patients_scan_of_the_same_jaw_is_a_case_of_its_own(desk, tmp_path):
    """As when a scanner calls every patient's files `upper` and `lower`."""
    folder = tmp_path / "in"
    (first,) = receive(desk, put(folder, upper_stl=upper()))
    receive(desk, put(folder, lower_stl=lower()))
    (second,) = receive(desk, put(folder, upper_stl=upper(2)))
    receive(desk, put(folder, lower_stl=lower(2)))
    assert waiting_names(desk) == [["scan lower.stl", "scan upper.stl"]] * 2
    kept = {row.sha256 for row in desk.store.read.files_of([second.arrival_id])[second.arrival_id]}
    assert kept.isdisjoint(row.sha256 for row in desk.store.read.files_of([first.arrival_id])[first.arrival_id])


def test_files_whose_names_say_nothing_are_never_put_together(desk, tmp_path):
    receive(desk, put(tmp_path / "in", scan1_stl=upper(), scan2_stl=lower(2)))
    assert len(desk.store.read.arrivals()) == 2


def test_the_same_file_again_is_taken_in_once_whatever_became_of_it(desk, tmp_path):
    paths = put(tmp_path / "in", jones_upper_stl=upper())
    (first,) = receive(desk, paths)
    for again in (later(desk, 1), later(desk, 5_000)):
        (received,) = receive(again, paths)
        assert (received.already, received.arrival_id) == (True, first.arrival_id)
        assert received.said == "jones_upper.stl: It was taken in before."
    dismiss(desk, first.arrival_id)
    assert receive(desk, paths)[0].already
    assert waiting_names(desk) == []


def test_a_file_that_follows_what_is_dismissed_waits_by_itself(desk, tmp_path):
    one, two = put(tmp_path / "in", jones_upper_stl=upper(), jones_lower_stl=lower())
    (first,) = receive(desk, [one])
    dismiss(desk, first.arrival_id)
    receive(desk, [two])
    assert waiting_names(desk) == [["scan jones_lower.stl"]]


def test_one_surface_under_the_names_of_both_jaws_is_two_files(desk, tmp_path):
    (received,) = receive(desk, [put(tmp_path / "jones", upper_stl=upper(), lower_stl=upper())[0].parent])
    assert names(desk, received.arrival_id) == ["scan lower.stl", "scan upper.stl"]


def test_a_folder_is_one_case_with_everything_in_it(desk, tmp_path):
    folder = tmp_path / "Jones"
    put(folder, a_stl=upper(), b_stl=lower(), photo_png=photo(), note_txt=b"soon", prescription_json=PRESCRIPTION)
    put(folder / ".hidden", c_stl=upper(2))
    (folder / "Thumbs.db").write_bytes(b"of the system")
    (received,) = receive(desk, [folder])
    assert names(desk, received.arrival_id) == [
        "picture photo.png",
        "prescription prescription.json",
        "refused note.txt",
        "scan a.stl",
        "scan b.stl",
    ]
    assert problems(desk, received.arrival_id) == ["note.txt is nothing that can be taken in."]
    (line,) = waiting(desk)
    assert (line.patient, line.practice, line.source) == ("J.T.", "Marlowe House Dental Practice", "Jones")
    assert len(list((tmp_path / "scans" / REFUSED).iterdir())) == 1


def test_a_folder_again_is_the_same_and_what_was_added_to_it_is_added(desk, tmp_path):
    folder = put(tmp_path / "Jones", jones_upper_stl=upper())[0].parent
    (first,) = receive(desk, [folder])
    assert receive(desk, [folder])[0].already
    put(folder, jones_lower_stl=lower())
    (second,) = receive(later(desk, 600), [folder])
    assert (second.arrival_id, second.already) == (first.arrival_id, False)
    assert names(desk, first.arrival_id) == BOTH


def test_a_folder_of_the_same_name_with_another_patients_scans_is_another_case(desk, tmp_path):
    folder = put(tmp_path / "export", upper_stl=upper())[0].parent
    receive(desk, [folder])
    put(folder, upper_stl=upper(2))
    receive(later(desk, 1), [folder])
    (folder / "upper.stl").unlink()
    put(folder, lower_stl=lower(3))
    receive(later(desk, 600), [folder])
    assert waiting_names(desk) == [["scan upper.stl"], ["scan upper.stl"], ["scan lower.stl"]]


def test_a_folder_with_the_files_of_several_patients_is_several_cases(desk, tmp_path):
    folder = tmp_path / "week 48"
    put(folder, jones_upper_stl=upper(), jones_lower_stl=lower(), smythe_upper_stl=upper(2), smythe_lower_stl=lower(2))
    put(folder, smythe_json=PRESCRIPTION)
    receive(desk, [folder])
    assert waiting_names(desk) == [
        BOTH,
        ["prescription smythe.json", "scan smythe_lower.stl", "scan smythe_upper.stl"],
    ]


# A prescription beside the meshes


def test_a_prescription_that_comes_after_its_scans_is_put_to_them(desk, tmp_path):
    one, two, sheet = put(tmp_path / "in", jones_upper_stl=upper(), jones_lower_stl=lower(), jones_json=PRESCRIPTION)
    for each in (one, two, sheet):
        receive(desk, [each])
    assert waiting_names(desk) == [["prescription jones.json", *BOTH]]
    (line,) = waiting(desk)
    assert (line.patient, line.appliances) == ("J.T.", "Upper hard occlusal splint")
    assert receive(desk, [sheet])[0].already


def test_scans_that_come_after_their_prescription_are_put_to_it(desk, tmp_path):
    one, two, sheet = put(tmp_path / "in", jones_upper_stl=upper(), jones_lower_stl=lower(), jones_json=PRESCRIPTION)
    (first,) = receive(desk, [sheet])
    for each in (one, two):
        assert receive(desk, [each])[0].arrival_id == first.arrival_id
    assert names(desk, first.arrival_id) == BOTH
    assert waiting(desk)[0].unchecked == 2


def test_scans_and_a_prescription_that_are_dropped_together_are_one_case(desk, tmp_path):
    paths = put(tmp_path / "in", prescription_json=PRESCRIPTION, lower_stl=lower(), upper_stl=upper())
    received = receive(desk, paths)
    assert len({each.arrival_id for each in received}) == 1


def test_a_second_prescription_of_the_same_name_is_another_case(desk, tmp_path):
    folder = tmp_path / "in"
    receive(desk, put(folder, upper_stl=upper(), prescription_json=PRESCRIPTION))
    receive(desk, put(folder, upper_stl=upper(2), prescription_json=PRESCRIPTION.replace(b"20418", b"20419")))
    assert [row.patient_reference for row in desk.store.read.arrivals()] == ["20418", "20419"]
    assert waiting_names(desk) == [["prescription prescription.json", "scan upper.stl"]] * 2


def test_a_prescription_never_overwrites_what_somebody_has_typed(desk, tmp_path):
    one, sheet = put(tmp_path / "in", jones_upper_stl=upper(), jones_json=PRESCRIPTION)
    (received,) = receive(desk, [one])
    set_down(desk, HalfTyped(typed={"patient.label": "M.S."}, arrival_id=received.arrival_id))
    receive(desk, [sheet])
    assert [row.patient_label for row in desk.store.read.arrivals()] == ["M.S.", "J.T."]


def test_what_somebody_has_typed_stands_when_a_scan_is_added_to_its_folder(desk, tmp_path):
    folder = put(tmp_path / "Jones", upper_stl=upper(), order_json=PRESCRIPTION)[0].parent
    (received,) = receive(desk, [folder])
    set_down(desk, HalfTyped(typed={"patient.label": "M.S."}, arrival_id=received.arrival_id))
    put(folder, lower_stl=lower())
    assert receive(desk, [folder])[0].arrival_id == received.arrival_id
    (line,) = waiting(desk)
    assert (line.patient, line.unchecked) == ("M.S.", 2)


def test_what_was_put_to_another_arrival_was_taken_in_before(desk, tmp_path):
    first, second = (put(tmp_path / name, upper_stl=upper(which))[0].parent for which, name in ((1, "a"), (2, "b")))
    kept, emptied = (receive(desk, [folder])[0].arrival_id for folder in (first, second))
    join_arrivals(desk, emptied, kept)
    (again,) = receive(desk, [second])
    assert again.already
    assert len(waiting_names(desk)) == 1


def test_a_prescription_that_cannot_be_read_waits_with_its_scans_until_one_comes_that_can(desk, tmp_path):
    folder = tmp_path / "Jones"
    put(folder, upper_stl=upper(), jones_json=b'{"format": "intake-case/1", "appliances": [{"type": "crown"}]}')
    (received,) = receive(desk, [folder])
    assert received.unread
    assert "This lab makes no “crown”" in received.said
    assert waiting(desk)[0].state == "unreadable"
    put(folder, second_json=PRESCRIPTION)
    receive(desk, [folder])
    (line,) = waiting(desk)
    assert (line.patient, line.problem) == ("J.T.", "")


def test_a_prescription_that_was_put_right_under_the_same_name_is_put_to_its_scans(desk, tmp_path):
    folder = put(tmp_path / "Jones", upper_stl=upper(), order_json=PRESCRIPTION.replace(b"splint", b"crown"))[0].parent
    receive(desk, [folder])
    put(folder, order_json=PRESCRIPTION)
    receive(desk, [folder])
    (line,) = waiting(desk)
    assert (line.patient, line.problem, line.unchecked) == ("J.T.", "", 1)


def blank():
    """A blank prescription of the laboratory, filled in."""
    return filled_by_pypdf(draw_blank(BLANK), {"patient-label": "J.T."})


@pytest.mark.parametrize("first", ["scan", "blank"])
def test_a_blank_that_comes_filled_in_beside_scans_is_their_prescription(desk, tmp_path, first):
    scan, sheet = put(tmp_path / "in", jones_upper_stl=upper(), jones_pdf=blank())
    for each in (scan, sheet) if first == "scan" else (sheet, scan):
        receive(desk, [each])
    (line,) = waiting(desk)
    assert (line.patient, line.unchecked) == ("J.T.", 1)
    (received,) = receive(desk, [put(tmp_path / "Jones", upper_stl=upper(2), slip_pdf=blank())[0].parent])
    assert desk.store.read.arrival(received.arrival_id).patient_label == "J.T."


def test_scans_that_follow_with_a_prescription_that_waits_already_are_put_to_it(desk, tmp_path):
    (first,) = receive(desk, put(tmp_path / "in", order_json=PRESCRIPTION))
    (second,) = receive(desk, [put(tmp_path / "Jones", upper_stl=upper(), order_json=PRESCRIPTION)[0].parent])
    assert second.arrival_id == first.arrival_id
    assert "scan upper.stl" in names(desk, first.arrival_id)


def test_scans_that_follow_with_a_prescription_that_is_booked_wait_by_themselves(desk, tmp_path):
    (first,) = receive(desk, put(tmp_path / "in", order_json=PRESCRIPTION))
    booked = book_arrival(desk, first.arrival_id)
    (second,) = receive(desk, [put(tmp_path / "Jones", upper_stl=upper(), order_json=PRESCRIPTION)[0].parent])
    assert second.arrival_id != first.arrival_id
    assert book_arrival(desk, second.arrival_id).case_id != booked.case_id


def test_a_picture_beside_scans_is_put_to_them_and_one_alone_is_no_form(desk, tmp_path):
    one, seen, other = put(tmp_path / "in", jones_upper_stl=upper(), jones_png=photo(), smythe_png=photo())
    receive(desk, [one])
    assert receive(desk, [seen])[0].taken
    assert waiting_names(desk) == [["picture jones.png", "scan jones_upper.stl"]]
    (alone,) = receive(desk, [other])
    assert not alone.taken


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.permutations(["jones_upper.stl", "jones_lower.stl", "jones.json", "smythe_upper.stl", "smythe_lower.stl"]))
def test_in_whatever_order_two_patients_files_come_each_gets_its_own(empty_file, tmp_path_factory, order):
    folder = tmp_path_factory.mktemp("orders")
    store = Store.open(shutil.copy(empty_file, folder / "intake.sqlite"))
    desk = open_desk(store, folder)
    content = {"jones_upper": upper(), "jones_lower": lower(), "smythe_upper": upper(2), "smythe_lower": lower(2)}
    for name in order:
        receive(desk, [written(folder / "in" / name, content.get(name.partition(".")[0], PRESCRIPTION))])
    found = {
        row.patient_label: set(names(desk, row.arrival_id)) - {"prescription jones.json"}
        for row in store.read.arrivals()
    }
    store.close()
    assert found == {
        "J.T.": set(BOTH),
        "": {"scan smythe_upper.stl", "scan smythe_lower.stl"},
    }


# Two desks


def test_two_desks_that_watch_one_folder_take_a_delivery_in_once(desk, tmp_path):
    import threading

    path = put(tmp_path / "in", jones_upper_stl=upper())[0]
    desks = [open_desk(desk.store, tmp_path, person=name, name=name) for name in ("AB", "CD")]
    begin, received = threading.Barrier(2), []

    def take(each):
        begin.wait()
        received.extend(receive(each, [path]))

    threads = [threading.Thread(target=take, args=(each,)) for each in desks]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(each.already for each in received) == [False, True]
    assert waiting_names(desk) == [["scan jones_upper.stl"]]


def test_a_delivery_that_is_told_by_what_it_holds_is_taken_in_once(desk, tmp_path):
    delivery = Delivery("mailbox:1", "A message", (Coming("a.stl", upper(), "scan"),))
    first = take_in_delivery(desk, delivery)
    again = take_in_delivery(desk, replace(delivery, files=(Coming("b.stl", lower(), "scan"),)))
    assert (again.already, again.arrival_id) == (True, first.arrival_id)


def test_the_form_of_a_delivery_has_its_scans_among_what_came(desk, tmp_path):
    (received,) = receive(desk, [put(tmp_path / "Jones", upper_stl=upper(), order_json=PRESCRIPTION)[0].parent])
    form = arrival_form(desk, received.arrival_id)
    assert form.typed["items"] == "upper scan"
    assert form.typed["patient.label"] == "J.T."
