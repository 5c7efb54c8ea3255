"""Scans in the store: files once for their content, what was measured, what was chosen, what came before."""

import json

import pytest
from sqlalchemy import select

from intake.domain.scan_figures import BiteFigures, MeshFigures, PairFigures
from intake.store.chain import Broken, Head
from intake.store.meanwhile import NotThere
from intake.store.rows import NewArrival
from intake.store.scan_rows import Measured, NewFile
from intake.store.scan_tables import DeliveryTable
from intake.store.tables import EventTable
from tests.store.samples import NOW, a_case, book, does, save_practices

PATIENT = "Jones"
"""Whatever names the patient, in every place where it could."""
UPPER = NewFile("scan", f"{PATIENT}_upper.stl", "a" * 64, 1_000)
LOWER = NewFile("scan", f"{PATIENT}_lower.stl", "b" * 64, 900)
SPOILT = NewFile("refused", f"{PATIENT}.zip", "c" * 64, 10, f"{PATIENT}.zip needs a password.")
PAIR = PairFigures(facing=-0.6, both_open=True, near_half=100, near_one=200, inside=0.01, least=0.1)
PICTURES = (b"front", b"right", b"left")


def figures(size=30.0, **said):
    measured = {
        "triangles": 200_000,
        "vertices": 100_000,
        "box": (63.0, 50.0, 20.0),
        "extents": (63.0, 50.0, 20.0),
        "area": 4_000.0,
        "parts": 1,
        "largest_share": 1.0,
        "closed_parts": 0,
        "open_edges": 1_000,
        "loops": (230.0,),
        "flipped_share": 0.0,
        "non_manifold_share": 0.0,
        "normal": (0.0, 0.0, 1.0),
        "strength": 0.4,
        "signature": (size, 1.0, 2.0, 3.0, 4.0),
    }
    return MeshFigures(**(measured | said))


def came(store, *files, key="folder:1", label="", sender=""):
    """An arrival with these files."""

    def take(work):
        arrival = NewArrival("scan", NOW, patient_label=label, source_name=f"{PATIENT}.zip")
        arrival_id = work.arrivals.add(arrival).arrival_id
        work.scans.delivered(key, arrival_id, sender)
        work.scans.add_files(arrival_id, files)
        return arrival_id

    return does(store, take)


def measure(store, scan_id, measured):
    does(store, lambda work: work.scans.measured(scan_id, measured))


def files(store, arrival_id):
    return store.read.files_of([arrival_id]).get(arrival_id, ())


def events(store, kind=""):
    with store.engine.connect() as connection:
        rows = connection.execute(select(EventTable.__table__).order_by(EventTable.seq)).all()
    return [row for row in rows if row.kind.startswith(kind)]


def test_the_files_of_a_delivery_are_read_back_in_order_and_only_meshes_wait_to_be_checked(store):
    arrival_id = came(store, UPPER, LOWER, SPOILT)
    rows = files(store, arrival_id)
    assert [(row.kind, row.name, row.sha256, row.bytes, row.problem) for row in rows] == [
        ("scan", UPPER.name, UPPER.sha256, 1_000, ""),
        ("scan", LOWER.name, LOWER.sha256, 900, ""),
        ("refused", SPOILT.name, SPOILT.sha256, 10, SPOILT.problem),
    ]
    assert [row.scan_state for row in rows] == ["unchecked", "unchecked", None]
    assert [(row.sha256, row.name) for row in store.read.unchecked()] == [
        (UPPER.sha256, UPPER.name),
        (LOWER.sha256, LOWER.name),
    ]
    assert store.read.file(rows[1].file_id) == rows[1]
    assert store.read.file(99) is None
    assert store.read.brought_by(arrival_id) == rows
    assert store.read.files_of([]) == store.read.files_of([99]) == {}


def test_a_content_is_added_once_for_its_name_and_is_one_scan_whatever_brought_it(store):
    first = came(store, UPPER, UPPER, NewFile("scan", "again_lower.stl", UPPER.sha256, 1_000))
    second = came(store, UPPER, key="folder:2")
    assert [row.name for row in files(store, first)] == [UPPER.name, "again_lower.stl"]
    assert len({row.scan_id for row in (*files(store, first), *files(store, second))}) == 1
    assert len(store.read.unchecked()) == 1
    (scan_id,) = {row.scan_id for row in files(store, second)}
    assert [row.arrival_id for row in store.read.brought([scan_id])] == [first, first, second]


def test_what_was_measured_is_kept_with_its_picture_and_told_to_every_arrival(store):
    first, second = came(store, UPPER), came(store, UPPER, key="folder:2")
    (scan,) = store.read.unchecked()
    found = figures()
    measured = Measured(found, format="stl", unit="mm", left_out=3, remarks=("An odd header.",), like=(7,), png=b"PNG")
    measure(store, scan.scan_id, measured)
    assert store.read.unchecked() == ()
    for arrival_id in (first, second):
        (row,) = files(store, arrival_id)
        assert (row.scan_state, row.format, row.unit, row.left_out) == ("checked", "stl", "mm", 3)
        assert (row.remarks, row.like, row.figures) == (["An odd header."], [7], found)
    assert store.read.scan_picture(scan.scan_id) == b"PNG"
    assert store.read.scan_picture(99) is None
    assert [row.arrival_id for row in events(store, "scan-checked")] == [first, second]
    with pytest.raises(NotThere, match="no scan 99"):
        measure(store, 99, measured)


def test_a_mesh_that_cannot_be_read_keeps_the_reason_and_waits_again_when_it_is_sent_again(store):
    arrival_id = came(store, UPPER)
    (scan,) = store.read.unchecked()
    measure(store, scan.scan_id, Measured(None, "The file was cut short."))
    (row,) = files(store, arrival_id)
    assert (row.scan_state, row.scan_problem, row.figures) == ("unreadable", "The file was cut short.", None)
    came(store, UPPER, key="folder:2")
    assert [each.scan_id for each in store.read.unchecked()] == [scan.scan_id]
    measure(store, scan.scan_id, Measured(figures()))
    came(store, UPPER, key="folder:3")
    assert store.read.unchecked() == ()


def test_scans_of_nearly_the_same_size_are_found(store):
    for number, size in enumerate((30.0, 30.29, 30.31, 29.69, 29.71)):
        came(store, NewFile("scan", "a.stl", str(number) * 64, 1), key=f"folder:{number}")
        (scan,) = store.read.unchecked()
        measure(store, scan.scan_id, Measured(figures(size)))
    found = store.read.scans_of_size(30.0, 0.01)
    assert sorted(each.signature[0] for each in found.values()) == [29.71, 30.0, 30.29]
    came(store, UPPER, key="folder:none")
    measure(store, store.read.unchecked()[0].scan_id, Measured(figures(signature=())))
    assert len(store.read.scans_of_size(30.0, 0.01)) == 3


def test_what_a_person_chose_of_a_file_stands_until_it_is_undone(store):
    arrival_id = came(store, UPPER)
    (row,) = files(store, arrival_id)
    does(store, lambda work: work.scans.choose(row.file_id, jaw="lower", unit="inch"))
    assert files(store, arrival_id)[0][8:10] == ("inch", "lower")
    does(store, lambda work: work.scans.choose(row.file_id, jaw="lower", unit="inch"))
    does(store, lambda work: work.scans.choose(row.file_id))
    assert files(store, arrival_id)[0][8:10] == (None, None)
    told = [json.loads(event.details)["changes"] for event in events(store, "scan-chosen")]
    assert told == [
        {"jaw": [None, "lower"], "unit": [None, "inch"]},
        {"jaw": ["lower", None], "unit": ["inch", None]},
    ]
    with pytest.raises(NotThere, match="no file 99"):
        does(store, lambda work: work.scans.choose(99))


def test_how_two_arches_stand_is_kept_and_measured_anew(store):
    arrival_id = came(store, UPPER, LOWER)
    of = {"upper": [UPPER.sha256, 1.0], "lower": [LOWER.sha256, 25.4]}
    bite = BiteFigures(near_upper=0.5, near_lower=0.4)
    does(store, lambda work: work.scans.arches_not_measured(arrival_id, of, "It took too long."))
    assert store.read.arches_of([arrival_id])[arrival_id].problem == "It took too long."
    assert store.read.arches_pictures(arrival_id) == ()
    does(store, lambda work: work.scans.arches(arrival_id, of, PAIR, bite, PICTURES))
    row = store.read.arches_of([arrival_id, 99])[arrival_id]
    assert (row.of, row.problem, row.figures, row.bite) == (of, "", PAIR, bite)
    assert store.read.arches_pictures(arrival_id) == PICTURES
    assert [row.kind for row in events(store, "arches")] == ["arches-not-measured", "arches-measured"]


def test_files_that_are_put_to_another_arrival_can_be_given_back(store):
    first, second = came(store, UPPER), came(store, LOWER, SPOILT, key="folder:2")
    moved = does(store, lambda work: work.scans.move_files(second, first))
    assert [row.name for row in files(store, first)] == [UPPER.name, LOWER.name, SPOILT.name]
    assert files(store, second) == ()
    assert {row.came_with for row in store.read.brought_by(second)} == {second}
    does(store, lambda work: work.scans.move_back(moved, second))
    assert [row.name for row in files(store, first)] == [UPPER.name]
    assert [row.name for row in files(store, second)] == [LOWER.name, SPOILT.name]
    assert [row.kind for row in events(store, "files-")] == ["files-joined", "files-parted"]


def test_a_delivery_is_known_by_its_key_and_those_of_one_place_by_its_beginning(store):
    first = came(store, UPPER, key="loose:a%b|x_y", sender="desk@example.com")
    second = came(store, LOWER, key=f"loose:a%b|x_y#{first + 1}")
    came(store, key="loose:a%b|x_yz#9")
    came(store, key="loose:aXb|xzy#9")
    does(store, lambda work: work.scans.delivered("loose:a%b|x_y", second))
    known = store.read.delivery("loose:a%b|x_y")
    assert (known.arrival_id, known.at) == (first, NOW)
    assert store.read.delivery("loose:a") is None
    assert [row.arrival_id for row in store.read.deliveries("loose:a%b|x_y")] == [second, first]
    assert [row.arrival_id for row in store.read.deliveries("loose:a%b|x_y", most=1)] == [second]
    assert store.read.sender_of(first) == "desk@example.com"
    assert store.read.sender_of(second) == store.read.sender_of(99) == ""


def test_a_delivery_that_is_known_keeps_its_arrival(store):
    came(store, UPPER)
    with store.work("AB", NOW) as work:
        assert store.read.delivery("folder:1") is not None
        work.scans.delivered("folder:1", 99)
        work.commit()
    with store.engine.connect() as connection:
        assert connection.execute(select(DeliveryTable.arrival_id)).scalars().all() == [1]


def test_a_sender_stands_for_a_practice_or_for_many(store):
    save_practices(store)
    assert store.read.sender("nurse@example.com") is None
    does(store, lambda work: work.scans.sender_is("Nurse@Example.com", "MILL"))
    assert store.read.sender("nurse@EXAMPLE.com") == "MILL"
    does(store, lambda work: work.scans.sender_is("nurse@example.com", None))
    assert store.read.sender("nurse@example.com") == ""


def test_a_mailbox_is_read_on_from_where_it_was_left(store):
    assert store.read.mailbox("a") is None
    does(store, lambda work: work.scans.read_to("a", 4_000_000_000, 7))
    does(store, lambda work: work.scans.read_to("a", 4_000_000_000, 4_000_000_001))
    assert store.read.mailbox("a") == (4_000_000_000, 4_000_000_001)


def test_the_arrival_that_a_booked_case_has_its_scans_of_is_found(store):
    save_practices(store)
    arrival_id = came(store, UPPER)
    case_id = book(store, case=a_case(), arrival_id=arrival_id).case_id
    (scan,) = store.read.unchecked()
    (brought,) = store.read.brought([scan.scan_id])
    assert (brought.case_id, brought.arrival_id) == (case_id, arrival_id)
    assert store.read.scan_arrival_of(case_id) == arrival_id
    assert store.read.scan_arrival_of(99) is None


def test_nothing_that_can_name_a_patient_stands_in_the_part_of_an_event_that_stays(store):
    """A file's name, and why it was refused, can be erased by law; the chain still verifies."""
    arrival_id = came(store, UPPER, SPOILT, label=PATIENT, sender=f"{PATIENT}@example.com")
    (scan,) = store.read.unchecked()
    measure(store, scan.scan_id, Measured(None, f"{PATIENT} cannot be read."))
    of = {"upper": [UPPER.sha256, 1.0], "lower": [LOWER.sha256, 1.0]}
    does(store, lambda work: work.scans.arches_not_measured(arrival_id, of, f"{PATIENT} took too long."))
    other = came(store, key="folder:2")
    does(store, lambda work: work.scans.move_files(arrival_id, other))
    save_practices(store)
    does(store, lambda work: work.scans.sender_is(f"{PATIENT}@example.com", "MILL"))
    rows = events(store)
    assert PATIENT.casefold() not in "".join(row.details for row in rows).casefold()
    added = [json.loads(row.personal) for row in rows if row.kind == "file-added"]
    assert added == [
        {"name": UPPER.name, "problem": ""},
        {"name": SPOILT.name, "problem": SPOILT.problem},
    ]
    assert isinstance(store.verify_chain(), Head)


def test_the_history_of_scans_is_part_of_the_chain(store):
    came(store, UPPER, LOWER)
    head = store.verify_chain()
    assert head.count == len(events(store)) == 3
    assert [row.kind for row in events(store)] == ["arrival-added", "file-added", "file-added"]
    assert json.loads(events(store, "file-added")[0].details) == {
        "kind": "scan",
        "sha256": UPPER.sha256,
        "bytes": UPPER.bytes,
    }
    measure(store, store.read.unchecked()[0].scan_id, Measured(figures()))
    assert isinstance(store.verify_chain(head), Head)
    assert isinstance(store.verify_chain(Head(head.count, "0" * 64)), Broken)
