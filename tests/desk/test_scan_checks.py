"""Scans are checked one after the other, kept with what was seen, held against earlier ones, and told to their case."""

from dataclasses import replace
from datetime import timedelta

import pytest

from intake.desk.arrivals import waiting
from intake.desk.book_in import book_arrival
from intake.desk.receive import receive
from intake.desk.scan_checks import (
    CheckHere,
    check_all,
    check_next,
    choose,
    measure_arches,
    tell_case,
    unchoose,
)
from intake.desk.scan_looks import scans_of
from intake.domain.job_number import read_number
from intake.inbox.mesh.worker import CheckStopped
from intake.inbox.scan_files import REFUSED
from tests.desk.bags import PRESCRIPTION, lower, pair, put, upper
from tests.desk.desks import NOW
from tests.scans import arches, writers

HERE = CheckHere()


def came(desk, folder, **files):
    """The arrival of a folder with these files."""
    (received,) = receive(desk, [put(folder, **files)[0].parent])
    return received.arrival_id


def checked(desk, folder, **files):
    """The arrival of a folder, and its scans as they were seen."""
    arrival_id = came(desk, folder, **files)
    check_all(desk, HERE)
    return arrival_id, scans_of(desk, arrival_id)


def faults(scans):
    return {scan.file.name: [fault.fault for fault in scan.seen.faults] for scan in scans.scans}


class Counted(CheckHere):
    """Checks here, and counts; it stops where a person would."""

    def __init__(self, stops=()):
        self.asked, self.stops = [], stops

    def mesh(self, path, name, rules):
        self._note(name)
        return super().mesh(path, name, rules)

    def arches(self, upper, lower, bite):
        self._note("arches")
        return super().arches(upper, lower, bite)

    def _note(self, what):
        self.asked.append(what)
        if what in self.stops:
            raise CheckStopped("The check was stopped; it begins again when Intake is started again.")


def test_the_scans_of_a_case_are_checked_in_turn_and_then_their_arches(desk, tmp_path):
    arrival_id = came(desk, tmp_path / "Jones", upper_stl=upper(), lower_stl=lower())
    assert scans_of(desk, arrival_id).unchecked == 2
    checker = Counted()
    first, second = check_next(desk, checker), check_next(desk, checker)
    assert [first.arrival_ids, second.arrival_ids] == [(arrival_id,)] * 2
    assert [first.left, second.left] == [1, 0]
    assert check_next(desk, checker) is None
    assert checker.asked == ["lower.stl", "upper.stl", "arches"]
    scans = scans_of(desk, arrival_id)
    assert faults(scans) == {"upper.stl": [], "lower.stl": []}
    assert scans.arches.standing == "registered"
    assert all(desk.store.read.scan_picture(each.file.scan_id).startswith(b"\x89PNG") for each in scans.scans)
    assert len(desk.store.read.arches_pictures(arrival_id)) == 3
    assert waiting(desk)[0].unchecked == 0


def test_a_truncated_scan_waits_with_the_reason_and_its_file_is_put_aside(desk, tmp_path):
    cut = upper()[:-1000]
    _, scans = checked(desk, tmp_path / "Jones", upper_stl=cut, lower_stl=lower())
    assert faults(scans) == {"upper.stl": ["unreadable"], "lower.stl": []}
    says = next(each for each in scans.scans if each.look.figures is None).seen.faults[0].says
    assert "cut short" in says
    (aside,) = (tmp_path / "scans" / REFUSED).iterdir()
    assert aside.read_bytes() == cut
    assert scans.arches is None


def test_a_scan_that_could_not_be_read_is_checked_again_when_it_is_sent_again(desk, tmp_path):
    cut = upper()[:-1000]
    checked(desk, tmp_path / "Jones", upper_stl=cut)
    arrival_id = came(desk, tmp_path / "again", upper_stl=cut)
    assert scans_of(desk, arrival_id).unchecked == 1
    assert check_all(desk, HERE) == 1
    assert faults(scans_of(desk, arrival_id)) == {"upper.stl": ["unreadable"]}
    assert len(list((tmp_path / "scans" / REFUSED).iterdir())) == 1


def test_a_scan_whose_file_lies_at_another_desk_is_left_to_it(desk, tmp_path):
    arrival_id = came(desk, tmp_path / "Jones", upper_stl=upper(), lower_stl=lower())
    sha256 = scans_of(desk, arrival_id).scans[0].file.sha256
    place, elsewhere = desk.scan_files.path(sha256), tmp_path / "elsewhere"
    place.rename(elsewhere)
    assert check_all(desk, HERE) == 1
    assert scans_of(desk, arrival_id).unchecked == 1
    elsewhere.rename(place)
    assert check_all(desk, HERE) == 1
    assert scans_of(desk, arrival_id).arches.standing == "registered"


def test_arches_of_which_one_lies_at_another_desk_are_left_to_it(desk, tmp_path):
    arrival_id = came(desk, tmp_path / "Jones", upper_stl=upper(), lower_stl=lower())
    with pytest.raises(CheckStopped):
        check_all(desk, Counted(stops=("arches",)))
    place, elsewhere = desk.scan_files.path(scans_of(desk, arrival_id).scans[0].file.sha256), tmp_path / "elsewhere"
    place.rename(elsewhere)
    check_all(desk, HERE)
    assert (scans_of(desk, arrival_id).arches, scans_of(desk, arrival_id).not_measured) == (None, "")
    elsewhere.rename(place)
    check_all(desk, HERE)
    assert scans_of(desk, arrival_id).arches.standing == "registered"


def test_a_scan_that_two_desks_check_at_once_is_not_its_own_double(desk, tmp_path):
    class Slower(CheckHere):
        def mesh(self, path, name, rules):
            check_all(desk, HERE)
            return super().mesh(path, name, rules)

    arrival_id = came(desk, tmp_path / "Jones", upper_stl=upper())
    check_next(desk, Slower())
    (scan,) = scans_of(desk, arrival_id).scans
    assert (scan.checked, scan.file.like, scan.seen.faults) == (True, [], ())


def test_a_check_that_a_person_stops_begins_again_the_next_time(desk, tmp_path):
    arrival_id = came(desk, tmp_path / "Jones", upper_stl=upper(), lower_stl=lower())
    with pytest.raises(CheckStopped):
        check_next(desk, Counted(stops=("lower.stl",)))
    assert scans_of(desk, arrival_id).unchecked == 2
    assert check_all(desk, HERE) == 2


def test_arches_that_were_not_measured_before_the_desk_was_closed_are_measured_the_next_time(desk, tmp_path):
    arrival_id = came(desk, tmp_path / "Jones", upper_stl=upper(), lower_stl=lower())
    with pytest.raises(CheckStopped):
        check_all(desk, Counted(stops=("arches",)))
    assert scans_of(desk, arrival_id).unchecked == 0
    assert scans_of(desk, arrival_id).arches is None
    check_all(desk, HERE)
    assert scans_of(desk, arrival_id).arches.standing == "registered"


def test_arches_that_cannot_be_measured_are_told_and_tried_once(desk, tmp_path):
    class Failing(Counted):
        def arches(self, upper, lower, bite):
            self._note("arches")
            return "The check took longer than 120 seconds and was stopped."

    arrival_id = came(desk, tmp_path / "Jones", upper_stl=upper(), lower_stl=lower())
    checker = Failing()
    check_all(desk, checker)
    check_all(desk, checker)
    assert checker.asked.count("arches") == 1
    scans = scans_of(desk, arrival_id)
    assert (scans.arches, scans.not_measured) == (None, "The check took longer than 120 seconds and was stopped.")
    assert desk.store.read.arches_pictures(arrival_id) == ()


def test_a_scan_is_measured_as_the_unit_that_a_person_chose(desk, tmp_path):
    """Common practice, no source: a format without a unit is sometimes written in inches."""
    inches = writers.stl(arches.in_unit(pair().upper, "inch"))
    arrival_id, scans = checked(desk, tmp_path / "Jones", upper_stl=inches, lower_stl=lower())
    assert faults(scans) == {"upper.stl": ["unit"], "lower.stl": []}
    assert scans.scans[0].unit.guess == "inch"
    assert scans.arches is None
    choose(desk, scans.scans[0].file.file_id, unit="inch")
    assert measure_arches(desk, HERE, arrival_id)
    scans = scans_of(desk, arrival_id)
    assert faults(scans) == {"upper.stl": [], "lower.stl": []}
    assert scans.arches.standing == "registered"
    unchoose(desk, scans.scans[0].file.file_id, None, None)
    assert scans_of(desk, arrival_id).arches is None


def test_the_jaw_that_a_person_chose_stands(desk, tmp_path):
    arrival_id, scans = checked(desk, tmp_path / "Jones", a_stl=upper(), b_stl=lower())
    assert {each.file.name: each.jaw.jaw for each in scans.scans} == {"a.stl": None, "b.stl": None}
    of = {each.file.name: each.file.file_id for each in scans.scans}
    choose(desk, of["a.stl"], jaw="upper")
    choose(desk, of["b.stl"], jaw="lower")
    assert measure_arches(desk, HERE, arrival_id)
    assert not measure_arches(desk, HERE, arrival_id)
    assert scans_of(desk, arrival_id).arches.standing == "registered"
    choose(desk, 99_999, jaw="upper")  # a file that is gone is nobody's


# The same scan twice


def test_a_scan_that_came_before_is_told_with_when_and_for_whom(desk, tmp_path):
    (first,) = receive(desk, [put(tmp_path / "Jones", upper_stl=upper(), order_json=PRESCRIPTION)[0].parent])
    check_all(desk, HERE)
    number = book_arrival(desk, first.arrival_id).jobs[0].number
    later = replace(desk, now=lambda: NOW + timedelta(days=1))
    _, scans = checked(later, tmp_path / "again", maxilla_stl=upper())
    assert faults(scans) == {"maxilla.stl": ["twice"]}
    says = scans.scans[0].seen.faults[0].says
    assert says.endswith(f"came before: on Wed 25 Nov for 20418, job {read_number(number).shown}")
    assert faults(scans_of(desk, first.arrival_id)) == {"upper.stl": []}


@pytest.mark.parametrize(
    "again",
    [
        lambda mesh: writers.ply(arches.moved(mesh)),
        lambda mesh: writers.obj(arches.reordered(mesh)),
        lambda mesh: writers.stl(arches.mirrored(mesh)),
    ],
    ids=["moved", "reordered", "mirrored"],
)
def test_a_scan_that_was_written_anew_is_known_again(desk, tmp_path, again):
    checked(desk, tmp_path / "Jones", upper_stl=upper())
    _, scans = checked(desk, tmp_path / "again", upper_obj=again(pair().upper))
    assert "twice" in faults(scans)["upper.obj"]


def test_the_same_surface_for_both_jaws_is_told(desk, tmp_path):
    _, scans = checked(desk, tmp_path / "Jones", upper_stl=upper(), lower_stl=upper())
    assert sorted(each for found in faults(scans).values() for each in found if each == "twice") == ["twice"]
    says = [fault.says for scan in scans.scans for fault in scan.seen.faults if fault.fault == "twice"]
    assert "it is the same surface as" in says[0]


def test_scans_of_other_patients_are_not_taken_for_the_same(desk, tmp_path):
    checked(desk, tmp_path / "Jones", upper_stl=upper(), lower_stl=lower())
    _, scans = checked(desk, tmp_path / "Smythe", upper_stl=upper(2), lower_stl=lower(2))
    assert faults(scans) == {"upper.stl": [], "lower.stl": []}


# A case that is booked already


def test_what_is_seen_after_a_case_was_booked_is_told_to_it(desk, tmp_path):
    half = writers.stl(arches.half(pair().upper))
    (received,) = receive(desk, [put(tmp_path / "Jones", upper_stl=half, order_json=PRESCRIPTION)[0].parent])
    booked = book_arrival(desk, received.arrival_id)
    before = {query.requirement for query in desk.store.read.practice_queries("MARLOW1")}
    check_all(desk, HERE)
    case = desk.store.read.case(booked.case_id).case
    assert [fault.fault for scan in case.scans for fault in scan.faults] == ["part"]
    after = {query.requirement for query in desk.store.read.practice_queries("MARLOW1")}
    assert "scan-whole" in after - before
    version = desk.store.read.case(booked.case_id).version
    tell_case(desk, received.arrival_id)
    assert desk.store.read.case(booked.case_id).version == version


def test_a_check_that_comes_upon_a_fault_of_the_program_hinders_no_other(desk, tmp_path, monkeypatch):
    from intake.inbox.mesh import checking

    def breaks(mesh):
        raise IndexError("patient Jones")

    with monkeypatch.context() as patched:
        patched.setattr(checking, "mesh_figures", breaks)
        _, scans = checked(desk, tmp_path / "Jones", upper_stl=upper())
    problem = scans.scans[0].seen.faults[0].says
    assert "because of a fault in Intake (IndexError in test_scan_checks.py, line" in problem
    assert "Jones" not in problem
    assert check_all(desk, HERE) == 0


def test_a_scan_in_the_store_survives_another_of_the_same_content(desk, tmp_path):
    arrival_id = came(desk, tmp_path / "Jones", upper_stl=upper())
    kept = desk.scan_files.path(scans_of(desk, arrival_id).scans[0].file.sha256)
    about = kept.stat()
    came(desk, tmp_path / "again", maxilla_stl=upper())
    assert (kept.stat().st_mtime_ns, kept.stat().st_ino) == (about.st_mtime_ns, about.st_ino)
    assert kept.read_bytes() == upper()
