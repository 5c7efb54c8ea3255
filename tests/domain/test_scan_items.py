"""What came, once its scans were looked at: seen instead of said, and nothing else touched."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import Case, Item, SeenArches, SeenFault, SeenScan
from intake.domain.scan_items import with_scans

UPPER, LOWER, BITE, UNKNOWN = (SeenScan(shows=jaw, name="one.stl") for jaw in ("upper", "lower", "bite", None))
UNREADABLE = SeenScan(shows="lower", faults=(SeenFault(fault="unreadable", says="the lower scan cannot be read"),))
PART = SeenScan(shows="lower", faults=(SeenFault(fault="part", says="the lower scan is part of an arch"),))
UPPER_SCAN, LOWER_SCAN = Item(item="scan", arch="upper"), Item(item="scan", arch="lower")
PROTRUSIVE = Item(item="bite-record", kind="protrusive", mm=6, source="scan")
SCANNED_BITE = Item(item="bite-record", source="scan")
WAX = Item(item="bite-record", kind="centric", source="physical")
IMPRESSION = Item(item="impression", arch="lower", material="alginate")
REGISTERED = SeenArches(standing="registered", says="the arches look registered")


def came(*scans, said=()):
    return with_scans(Case(items=said), scans, None).items


def test_without_scans_a_case_stays_as_it_is():
    case = Case(items=(UPPER_SCAN, WAX))
    assert with_scans(case, (), None) is case


def test_what_was_seen_is_kept_with_the_case():
    case = with_scans(Case(), (UPPER, LOWER), REGISTERED)
    assert (case.scans, case.arches) == ((UPPER, LOWER), REGISTERED)
    assert case.items == (UPPER_SCAN, LOWER_SCAN)


def test_a_scan_that_was_said_and_did_not_come_is_not_among_what_came():
    assert came(UPPER, said=(UPPER_SCAN, LOWER_SCAN)) == (UPPER_SCAN,)


def test_a_scan_that_cannot_be_read_did_not_come():
    assert came(UPPER, UNREADABLE, said=(UPPER_SCAN, LOWER_SCAN)) == (UPPER_SCAN,)


def test_a_part_of_an_arch_came_all_the_same():
    assert came(PART) == (LOWER_SCAN,)


def test_a_scan_whose_jaw_nobody_knows_shows_no_arch():
    assert came(UNKNOWN, said=(UPPER_SCAN,)) == (Item(item="scan"),)


@pytest.mark.parametrize("arch", ["upper", "both"])
def test_when_a_scan_was_taken_is_kept(arch):
    taken = date(2026, 11, 24)
    said = Item(item="scan", arch=arch, taken=taken)
    assert came(UPPER, said=(said,)) == (Item(item="scan", arch="upper", taken=taken),)


def test_the_position_of_a_bite_is_the_prescriptions_to_say():
    assert came(UPPER, LOWER, BITE, said=(PROTRUSIVE,)) == (UPPER_SCAN, LOWER_SCAN, PROTRUSIVE)
    assert came(BITE) == (SCANNED_BITE,)


def test_a_bite_that_was_scanned_from_both_cheeks_is_one_record():
    assert came(BITE, BITE, said=(PROTRUSIVE,)) == (PROTRUSIVE,)
    assert came(BITE, BITE) == (SCANNED_BITE,)


def test_two_bite_records_keep_their_positions():
    centric = Item(item="bite-record", kind="centric", source="scan")
    assert came(BITE, BITE, said=(centric, PROTRUSIVE)) == (centric, PROTRUSIVE)


def test_a_scanned_bite_that_was_said_and_did_not_come_is_not_among_what_came():
    assert came(UPPER, LOWER, said=(PROTRUSIVE,)) == (UPPER_SCAN, LOWER_SCAN)


def test_the_position_is_not_lost_while_a_scan_may_still_be_the_bite():
    case = Case(items=(UPPER_SCAN, PROTRUSIVE))
    unchosen = with_scans(case, (UPPER, UNKNOWN), None)
    assert unchosen.items == (UPPER_SCAN, Item(item="scan"), PROTRUSIVE)
    assert with_scans(unchosen, (UPPER, BITE), None).items == (UPPER_SCAN, PROTRUSIVE)
    assert with_scans(unchosen, (UPPER, LOWER), None).items == (UPPER_SCAN, LOWER_SCAN)


def test_what_can_be_held_in_the_hand_is_left_as_it_is():
    assert came(UPPER, said=(WAX, IMPRESSION, LOWER_SCAN)) == (WAX, IMPRESSION, UPPER_SCAN)


items = st.builds(
    Item,
    item=st.sampled_from(["impression", "model", "scan", "bite-record", "photo", "appliance"]),
    arch=st.sampled_from([None, "upper", "lower", "both"]),
    kind=st.sampled_from([None, "centric", "open", "protrusive"]),
    source=st.sampled_from([None, "physical", "scan"]),
)
faults = st.lists(st.sampled_from(["unreadable", "unit", "jaw", "part", "broken", "twice"]), max_size=2)
seen_scans = st.builds(
    lambda shows, found: SeenScan(shows=shows, faults=tuple(SeenFault(fault=f, says=f) for f in found)),
    st.sampled_from(["upper", "lower", "bite", None]),
    faults,
)
cases = st.builds(lambda said: Case(items=tuple(said)), st.lists(items, max_size=6))


def is_scanned(item):
    return item.item == "scan" or (item.item == "bite-record" and item.source == "scan")


@given(cases, st.lists(seen_scans, max_size=5))
def test_looking_twice_changes_nothing(case, scans):
    once = with_scans(case, scans, REGISTERED)
    assert with_scans(once, scans, REGISTERED) == once


@given(cases, st.lists(seen_scans, max_size=5))
def test_physical_items_stay_in_their_order(case, scans):
    after = with_scans(case, scans, None)
    physical = [[item for item in each.items if not is_scanned(item)] for each in (case, after)]
    assert physical[0] == physical[1]


@given(cases, st.lists(seen_scans, min_size=1, max_size=5))
def test_no_jaw_came_that_was_not_seen(case, scans):
    seen = {scan.shows for scan in scans if not any(fault.fault == "unreadable" for fault in scan.faults)}
    after = with_scans(case, scans, None)
    assert {item.arch for item in after.items if item.item == "scan"} == seen - {"bite"}


@given(cases, st.lists(seen_scans, max_size=3), st.lists(seen_scans, min_size=1, max_size=5))
def test_only_the_last_look_counts_for_the_arches(case, earlier, later):
    again = with_scans(with_scans(case, earlier, None), later, None)
    direct = with_scans(case, later, None)
    assert [(i.item, i.arch) for i in again.items if i.item == "scan"] == [
        (i.item, i.arch) for i in direct.items if i.item == "scan"
    ]
