"""Which of many files belong to which case: by folders, by names, and never two patients in one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case_files import Lying, case_files, same_jaw, shared_name

PARTS = {"stl": "scan", "json": "order"}


def lying(*paths):
    """Files by their paths; what is neither a mesh nor a prescription lies beside."""
    found = []
    for path in paths:
        folder, _, name = path.rpartition("/")
        found.append(Lying(folder, name, PARTS.get(name.rpartition(".")[2], "beside")))
    return found


def cases(*paths):
    return [(case.label, [paths[row] for row in case.rows]) for case in case_files(lying(*paths))]


@pytest.mark.parametrize(
    ("name", "shared"),
    [
        ("jones_upper.stl", "jones"),
        ("Jones LowerJaw 2.ply", "jones"),
        ("jones.json", "jones"),
        ("Jones prescription.json", "jones"),
        ("20418_upper.stl", "20418"),
        ("upper.stl", ""),
        ("prescription.json", ""),
        ("Müller Oberkiefer.stl", "muller"),
    ],
)
def test_the_files_of_one_case_share_what_is_left_of_their_names(name, shared):
    assert shared_name(name) == shared


def test_a_folder_is_a_case_with_everything_in_it():
    files = "a.stl", "b.stl", "order.json", "photo.png", "readme.txt"
    assert cases(*files) == [("", list(files))]


def test_every_folder_with_scans_is_a_case():
    assert cases("Jones/upper.stl", "Smythe/upper.stl", "Smythe/lower.stl") == [
        ("Jones", ["Jones/upper.stl"]),
        ("Smythe", ["Smythe/upper.stl", "Smythe/lower.stl"]),
    ]


def test_what_lies_over_or_under_the_only_folder_with_scans_belongs_to_it():
    files = "order.json", "Jones/scans/upper.stl", "Jones/scans/photos/slip.png", "Jones/letter.pdf"
    assert cases(*files) == [("Jones/scans", list(files))]


def test_what_lies_over_several_cases_is_in_none_of_them():
    assert cases("order.json", "Jones/upper.stl", "Smythe/upper.stl") == [
        ("Jones", ["Jones/upper.stl"]),
        ("Smythe", ["Smythe/upper.stl"]),
    ]


def test_a_folder_that_only_begins_alike_is_another():
    assert cases("Jon/upper.stl", "Jones/order.json", "Smythe/lower.stl") == [
        ("Jon", ["Jon/upper.stl"]),
        ("Smythe", ["Smythe/lower.stl"]),
    ]


def test_where_no_scan_is_there_is_no_case():
    assert cases() == cases("order.json", "photo.png") == []


def test_a_folder_with_two_scans_of_a_jaw_is_as_many_cases_as_it_has_names():
    files = "jones_upper.stl", "jones_lower.stl", "smythe_upper.stl", "smythe.json", "brown.json", "to the lab.pdf"
    assert cases(*files) == [
        ("|jones", ["jones_upper.stl", "jones_lower.stl", "to the lab.pdf"]),
        ("|smythe", ["smythe_upper.stl", "smythe.json", "to the lab.pdf"]),
    ]


@pytest.mark.parametrize(
    "files",
    [
        ("upper.stl", "upper_2.stl", "lower.stl"),
        ("jones_upper.stl", "jones_upper_prep.stl", "jones_lower.stl"),
        ("upper.stl", "upper_before.stl", "lower.stl", "order.json"),
        ("jones_upper.stl", "smythe_lower.stl"),
        ("bite_left.stl", "bite_right.stl", "upper.stl"),
        ("1.stl", "2.stl", "3.stl"),
    ],
)
def test_one_patients_scans_stay_together(files):
    assert cases(*files) == [("", list(files))]


def test_a_second_prescription_that_fits_the_scans_parts_them():
    files = "jones_upper.stl", "jones.json", "smythe_lower.stl", "smythe.json"
    assert [rows for _, rows in cases(*files)] == [list(files[:2]), list(files[2:])]


def test_a_prescription_of_another_name_is_left_out_where_one_fits():
    assert cases("jones_upper.stl", "jones.json", "smythe.json") == [("", ["jones_upper.stl", "jones.json"])]
    assert cases("jones_upper.stl", "order.json", "a.json") == [("", ["jones_upper.stl", "order.json", "a.json"])]


def test_two_bites_are_no_two_cases():
    assert not same_jaw(["bite left.stl", "bite right.stl", "upper.stl", "lower.stl", "x.stl", "y.stl"])
    assert same_jaw(["upper.stl", "maxilla.stl"])


NAMES = st.builds(
    "{}{}{}.{}".format,
    st.sampled_from(["jones", "smythe", "jones prep", "", "20418"]),
    st.sampled_from(["_", " "]),
    st.sampled_from(["upper", "lower", "bite", "", "x"]),
    st.sampled_from(["stl", "stl", "json", "png"]),
)
PATHS = st.builds("{}{}".format, st.sampled_from(["", "a/", "a/b/", "a/c/", "d/"]), NAMES)


@given(st.lists(PATHS, max_size=8, unique=True))
def test_a_scan_is_in_one_case_and_whatever_is_in_a_case_has_a_scan_beside_it(paths):
    files = lying(*paths)
    found = case_files(files)
    rows = [row for case in found for row in case.rows if files[row].part == "scan"]
    assert sorted(rows) == [row for row, file in enumerate(files) if file.part == "scan"]
    orders = [row for case in found for row in case.rows if files[row].part == "order"]
    assert len(orders) == len(set(orders))
    assert all(any(files[row].part == "scan" for row in case.rows) for case in found)
    assert len({case.label for case in found}) == len(found)
    assert all(list(case.rows) == sorted(set(case.rows)) for case in found)
