"""`intake receive --json` on scans: jaw, unit, completeness, damage and bite as a person would say them.

The real scans are crown surfaces of one patient, without gum. What is expected of them was measured when they were
placed, with general-purpose libraries, and stands in the README.md beside them.
"""

import json
import shutil

import pytest

from tests.desk.bags import lower, mail, pair, put, upper, written, zipped
from tests.scans import arches, writers
from tests.scans.real import FOLDER
from tests.test_cli import data, intake  # noqa: F401  # the commands' own fixtures


@pytest.fixture
def receive(intake):  # noqa: F811
    """Receives paths; gives what was said of each as another program reads it."""

    def run(*paths):
        code, said, complained = intake("receive", "--json", *paths)
        assert complained == ""
        told = [json.loads(line) for line in said.splitlines()]
        assert code == (0 if all(each["taken"] for each in told) else 2)
        return told

    return run


@pytest.fixture
def crowns(tmp_path):
    """Copies real scans into a folder of their own."""

    def copied(folder, *names):
        if not FOLDER.exists():
            pytest.skip("the real scans are not on this machine")
        (tmp_path / folder).mkdir()
        for name in names:
            shutil.copy(FOLDER / name, tmp_path / folder)
        return tmp_path / folder

    return copied


def by_jaw(told):
    return {scan["jaw"]: scan for scan in told["scans"]}


def faults(told):
    return {scan["name"]: [fault["fault"] for fault in scan["faults"]] for scan in told["scans"]}


UPPER, CLOSED, OWN = "crowns_a_upper.obj", "crowns_a_lower_closed.ply", "crowns_a_lower_own_origin.obj"


def test_real_arches_in_the_bite_look_registered(receive, crowns):
    (told,) = receive(crowns("jones", UPPER, CLOSED))
    assert told["format"] == "intake-received/1"
    scans = by_jaw(told)
    assert {jaw: scan["unit"] for jaw, scan in scans.items()} == {"upper": "mm", "lower": "mm"}
    assert (scans["upper"]["triangles"], scans["lower"]["triangles"]) == (85_232, 83_262)
    assert (scans["upper"]["format"], scans["lower"]["format"]) == ("obj", "ply")
    assert scans["upper"]["box"] == pytest.approx([63.7, 11.3, 48.3], abs=0.05)
    assert scans["upper"]["area"] == pytest.approx(3_247, abs=1)
    assert scans["lower"]["area"] == pytest.approx(2_906, abs=1)
    # Fourteen closed shells each, which is no damage, and each is a whole arch.
    assert [(scan["parts"], scan["open_edges"]) for scan in scans.values()] == [(14, 0), (14, 0)]
    assert faults(told) == {UPPER: [], CLOSED: []}
    assert told["arches"]["standing"] == "registered"
    assert "326 mm² of the lower" in told["arches"]["says"]
    assert "581 mm² within 1 mm" in told["arches"]["says"]


def test_real_arches_that_are_each_centred_on_themselves_run_through_each_other(receive, crowns):
    (told,) = receive(crowns("jones", UPPER, OWN))
    assert faults(told) == {UPPER: [], OWN: []}
    assert told["arches"]["standing"] == "through"


def test_the_same_real_scan_in_another_format_and_place_is_known_again(receive, crowns):
    receive(crowns("jones", OWN))
    (told,) = receive(crowns("again", CLOSED))
    assert faults(told) == {CLOSED: ["twice"]}


def test_the_command_says_in_sentences_what_the_file_says(intake, crowns):  # noqa: F811
    code, said, _ = intake("receive", crowns("jones", UPPER, CLOSED))
    assert code == 0
    assert said.startswith("jones: 2 scans, to be checked. It waits in Arrivals.")
    assert f"{UPPER}: upper, 63.7 × 48.7 mm, 85,232 triangles" in said
    assert "The arches look registered: 326 mm²" in " ".join(said.split())


# Generated arches, of which everything is known


MESHES = {
    "whole": (lambda mesh: mesh, []),
    "half": (arches.half, ["part"]),
    "holed": (lambda mesh: arches.with_hole(mesh, 3.5), ["broken"]),
    "flipped": (lambda mesh: arches.flipped(mesh, 0.2), ["broken"]),
    "finned": (lambda mesh: arches.with_fins(mesh, 600), ["broken"]),
    "in inches": (lambda mesh: arches.in_unit(mesh, "inch"), ["unit"]),
    "in metres": (lambda mesh: arches.in_unit(mesh, "m"), ["unit"]),
}


@pytest.mark.parametrize(("change", "wanted"), MESHES.values(), ids=MESHES)
@pytest.mark.sampled(3)
def test_what_is_wrong_with_a_scan_is_told_and_nothing_else(receive, tmp_path, change, wanted):
    path = written(tmp_path / "in" / "upper.stl", writers.stl(change(arches.arch("upper", 20_000))))
    (told,) = receive(path)
    assert faults(told) == {"upper.stl": wanted}


def test_a_damaged_file_is_told_and_what_is_whole_beside_it_is_measured(receive, tmp_path):
    folder = put(tmp_path / "jones", upper_stl=upper()[:-500], lower_stl=lower(), slip_txt=b"by Friday")[0].parent
    (told,) = receive(folder)
    assert faults(told) == {"upper.stl": ["unreadable"], "lower.stl": []}
    assert "cut short" in by_jaw(told)["upper"]["faults"][0]["says"]
    assert "extents" not in by_jaw(told)["upper"]
    assert told["others"] == [
        {"name": "slip.txt", "kind": "refused", "problem": "slip.txt is nothing that can be taken in."}
    ]
    assert told["arches"] is None


@pytest.mark.parametrize(
    ("change", "standing"),
    [
        (lambda both: both, "registered"),
        (lambda both: arches.moved_together(both), "registered"),
        (lambda both: arches.opened(both, 3), "apart"),
        (lambda both: arches.opened(both, 0.9), "gap"),
        (lambda both: arches.pressed_in(both, 2), "through"),
        (arches.in_own_frames, "not-one-frame"),
    ],
    ids=["closed", "moved together", "opened", "a gap", "pressed in", "own frames"],
)
@pytest.mark.sampled(2)
def test_how_two_arches_stand_is_told(receive, tmp_path, change, standing):
    both = change(arches.pair(20_000))
    folder = put(tmp_path / "jones", upper_stl=writers.stl(both.upper), lower_stl=writers.stl(both.lower))[0].parent
    (told,) = receive(folder)
    assert told["arches"]["standing"] == standing


def test_a_scan_whose_name_says_no_jaw_is_asked_about(receive, tmp_path):
    (told,) = receive(written(tmp_path / "in" / "20418.stl", upper()))
    (scan,) = told["scans"]
    assert (scan["jaw"], [fault["fault"] for fault in scan["faults"]]) == (None, ["jaw"])
    assert "no jaw" in scan["jaw_because"]


def test_lengths_are_in_mm_where_the_unit_is_stated_and_as_they_stand_where_nobody_knows(receive, tmp_path):
    inches = arches.in_unit(pair().upper, "inch")
    stated = written(tmp_path / "in" / "a_upper.3mf", writers.one_part(inches, 'unit="inch"'))
    unstated = written(tmp_path / "in" / "b_upper.stl", writers.stl(inches))
    known, unknown = (each["scans"][0] for each in receive(stated, unstated))
    assert (known["unit"], known["unit_because"], unknown["unit"]) == ("inch", "as the file states", None)
    assert known["extents"][0] == pytest.approx(unknown["extents"][0] * 25.4, rel=1e-5)
    assert known["area"] == pytest.approx(unknown["area"] * 25.4**2, rel=1e-4)


def test_a_mail_and_a_zip_are_told_by_their_cases(receive, tmp_path):
    message = written(tmp_path / "in" / "scans.eml", bytes(mail(attached={"upper.stl": upper()})))
    packed = zipped({"Brown/upper.stl": upper(2), "Smythe/upper.stl": upper(3)})
    told = receive(message, written(tmp_path / "in" / "week.zip", packed))
    assert [each["file"] for each in told] == ["Scans for J.T.", "week.zip / Brown", "week.zip / Smythe"]
    assert all(faults(each) == {"upper.stl": []} for each in told)
    assert told[0]["others"] == [{"name": "scans.eml", "kind": "message", "problem": ""}]


def test_what_came_before_is_told_as_such_with_what_was_seen(receive, tmp_path):
    path = written(tmp_path / "in" / "jones_upper.stl", upper())
    (first,), (again,) = receive(path), receive(path)
    assert (first["already"], again["already"]) == (False, True)
    assert again["scans"] == first["scans"]


def test_what_is_not_taken_in_has_no_scans(receive, tmp_path):
    (told,) = receive(written(tmp_path / "in" / "notes.txt", b"hello"))
    assert (told["taken"], told["arrival"]) == (False, None)
    assert "scans" not in told
