"""Sharps and other dangers: the parcel stops, the steps are shown, what happened is written down and closed."""

import pytest

from intake.desk.history import told
from intake.desk.incidents import (
    StillOpen,
    StillToSay,
    change_incident,
    close_incident,
    go_on,
    open_incidents,
    reopen_incident,
    steps,
    stop,
)
from intake.desk.parcels import (
    NewContent,
    ParcelStopped,
    add_content,
    open_parcels,
    parcel_card,
    refuse,
    settle,
    take_out,
)
from intake.store.meanwhile import NotNow, NotThere
from intake.store.tables import EventTable
from tests.desk.opened import CASE, booked, parcel

WHAT, DONE, TOLD = "A needle in the bag", "Sealed in the sharps box", "The practice, by telephone; Ms Ferrow"


def stopped(desk, *contents, **said):
    opened = parcel(desk, *(contents or (CASE,)))
    return opened, stop(desk, opened.parcel_id, "sharps", WHAT, **said)


def test_the_steps_say_stop_first_and_that_local_rules_count(desk):
    """Don't reach in, a puncture-proof container, report, tell the sender (common practice; the Sharps regulations)."""
    said = steps(desk)
    assert said[0] == "Stop. Do not reach into the parcel."
    assert any("puncture-proof" in step for step in said)
    assert any("local rules" in step for step in said)
    assert any("Tell the practice" in step for step in said)


def test_a_stopped_parcel_stays_open_and_nothing_more_of_it_is_logged(desk):
    opened, _ = stopped(desk)
    (line,) = open_parcels(desk)
    assert (line.state, line.says) == ("stopped", f"Stopped: Sharps: {WHAT[:1].upper()}{WHAT[1:]}.")
    for act in (
        lambda: add_content(desk, opened.parcel_id, CASE),
        lambda: settle(desk, opened.contents[0], "why"),
        lambda: refuse(desk, opened.parcel_id, "why"),
    ):
        with pytest.raises(ParcelStopped, match="nobody reaches in"):
            act()


def test_something_dangerous_among_what_is_logged_stops_the_parcel(desk):
    at_once = parcel(desk, CASE, NewContent("danger"), label="")
    later = parcel(desk, CASE, label="")
    danger = add_content(desk, later.parcel_id, NewContent("danger"))
    assert [line.state for line in open_parcels(desk)] == ["stopped", "stopped"]
    with pytest.raises(StillOpen, match="Write down first"):
        go_on(desk, at_once.parcel_id)
    take_out(desk, danger)
    assert parcel_card(desk, later.parcel_id).state == "open"


def test_a_parcel_is_gone_on_with_when_its_incident_is_closed(desk):
    opened, incident = stopped(desk)
    with pytest.raises(StillOpen, match="not closed"):
        go_on(desk, opened.parcel_id, "Taken away")
    with pytest.raises(StillToSay, match="what was done"):
        close_incident(desk, incident)
    change_incident(desk, incident, what=WHAT, done=DONE, told="")
    with pytest.raises(StillToSay, match="who was told"):
        close_incident(desk, incident)
    change_incident(desk, incident, what=WHAT, done=DONE, told=TOLD)
    close_incident(desk, incident, "CD")
    assert open_incidents(desk) == ()
    go_on(desk, opened.parcel_id, "Taken away by the waste service")
    card = parcel_card(desk, opened.parcel_id)
    assert [line.settled for line in card.contents] == [False, True]
    assert card.incidents[0].closed_by == "CD"
    booked(desk, opened.arrivals[0])
    assert parcel_card(desk, opened.parcel_id).state == "done"


def test_going_on_without_a_reason_leaves_the_danger_to_be_settled(desk):
    opened, incident = stopped(desk, done=DONE, told=TOLD)
    close_incident(desk, incident)
    go_on(desk, opened.parcel_id)
    booked(desk, opened.arrivals[0])
    (line,) = open_parcels(desk)
    assert line.says == "1 of 2 without a reason."
    settle(desk, parcel_card(desk, opened.parcel_id).contents[1].content_id, "Taken away")
    assert open_parcels(desk) == ()


def test_an_incident_that_was_closed_by_mistake_is_opened_again(desk):
    opened, incident = stopped(desk, done=DONE, told=TOLD)
    close_incident(desk, incident)
    with pytest.raises(NotNow):
        close_incident(desk, incident)
    reopen_incident(desk, incident)
    assert [line.incident_id for line in open_incidents(desk)] == [incident]
    with pytest.raises(NotNow):
        reopen_incident(desk, incident)
    with pytest.raises(StillOpen):
        go_on(desk, opened.parcel_id)


def test_nothing_is_stopped_without_saying_what_it_is(desk):
    opened = parcel(desk, CASE)
    with pytest.raises(StillToSay):
        stop(desk, opened.parcel_id, "blood", "  ")
    with pytest.raises(NotThere):
        stop(desk, 999, "blood", "A drop")
    with pytest.raises(NotNow):
        go_on(desk, opened.parcel_id)
    refuse(desk, opened.parcel_id, "why")
    with pytest.raises(NotNow):
        stop(desk, opened.parcel_id, "blood", "A drop")


def test_a_second_incident_of_a_parcel_adds_no_second_danger(desk):
    opened, _ = stopped(desk)
    stop(desk, opened.parcel_id, "blood", "Blood on the needle")
    card = parcel_card(desk, opened.parcel_id)
    assert [line.kind for line in card.contents] == ["case", "danger"]
    assert [line.words for line in card.incidents] == ["Sharps", "Blood"]


def test_what_happened_stands_in_the_history_apart_from_what_may_be_told_of_it(desk):
    opened, incident = stopped(desk, done=DONE, told=TOLD)
    close_incident(desk, incident)
    go_on(desk, opened.parcel_id, "Taken away")
    events = desk.store.read._events(EventTable.seq > 0)
    assert [row.kind for row in events if "needle" in str(row.personal)] == [
        "parcel-stopped",
        "incident-added",
        "parcel-gone-on",
    ]
    assert not any("needle" in str(row.details) for row in events)
    said = [each.what for each in told(events)]
    assert f"Incident {incident} of parcel {opened.parcel_id} (sharps) written down: {WHAT}." in said
    assert f"Incident {incident} of parcel {opened.parcel_id} (sharps) closed by AB." in said
