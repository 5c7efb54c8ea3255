"""Hygiene at the desk: how a case stands before a bench gets it, disinfections entered here, and the second one."""

from datetime import timedelta

import pytest

from intake.desk.history import told
from intake.desk.hygiene import (
    NotSaid,
    disinfect,
    hygiene_of,
    second_warning,
    standing_statement,
    take_disinfection_back,
)
from intake.desk.issue import issue_all
from intake.desk.parcels import NewContent, NewParcel, change_parcel, open_parcels, parcel_card
from intake.store.meanwhile import NotNow, NotThere
from tests.desk.desks import NOW, open_desk
from tests.desk.opened import CASE, PART, booked, parcel
from tests.desk.waiting import booked as booked_day_case
from tests.documents.reading import text_of

ALGINATE = "upper alg imp today 8:00; lower alg imp today 8:00; centric bite"
HYPOCHLORITE = "Sodium hypochlorite 0.5 %"


def test_what_is_declared_on_the_parcel_is_declared_for_each_case_in_it(desk):
    opened = parcel(desk, CASE, hygiene="declared")
    assert hygiene_of(desk, booked(desk, opened.arrivals[0]).case_id).standing == "declared"
    assert not open_parcels(desk)


def test_what_is_not_declared_is_to_be_disinfected_until_it_is(desk):
    opened = parcel(desk, CASE, CASE)
    case = booked(desk, opened.arrivals[0])
    standing = hygiene_of(desk, case.case_id)
    assert (standing.standing, standing.says) == ("to-disinfect", desk.lab.parcels.not_disinfected)
    assert open_parcels(desk)[0].to_disinfect
    done = disinfect(desk, HYPOCHLORITE, 10, who="CD", parcel_id=opened.parcel_id)
    assert done.says == "Disinfected here by CD with Sodium hypochlorite 0.5 % for 10 minutes, Wed 25 Nov 2026, 10:30."
    assert done.warning == ""
    assert hygiene_of(desk, case.case_id).standing == "disinfected-here"
    assert not open_parcels(desk)[0].to_disinfect
    later = booked(desk, opened.arrivals[1], **{"patient.label": "M.R.", "patient.reference": "20419"})
    assert hygiene_of(desk, later.case_id).standing == "disinfected-here"
    take_disinfection_back(desk, done.disinfection_id)
    assert hygiene_of(desk, case.case_id).standing == "to-disinfect"
    with pytest.raises(NotNow):
        take_disinfection_back(desk, done.disinfection_id)


def test_a_disinfection_stands_in_the_history_of_its_cases(desk):
    opened = parcel(desk, CASE)
    case = booked(desk, opened.arrivals[0])
    done = disinfect(desk, HYPOCHLORITE, 10, parcel_id=opened.parcel_id)
    take_disinfection_back(desk, done.disinfection_id)
    said = [each.what for each in told(desk.store.read.history(case.case_id))]
    parcel_words = f", with all of parcel {opened.parcel_id}."
    assert said[-2].startswith("Disinfected here by AB with")
    assert said[-2].endswith(parcel_words)
    assert said[-1].startswith("Entered by mistake, and taken back: disinfected here by AB")


def printed(desk, case):
    issue_all(desk, case.tickets)
    return " ".join(" ".join(text_of(desk.store.read.pdf(case.tickets[0]))).split())


def test_the_ticket_has_the_caution_until_it_was_disinfected_here(desk):
    caution = desk.lab.cautions.not_disinfected
    assert caution in printed(desk, booked(desk, parcel(desk, CASE, label="").arrivals[0]))
    opened = parcel(desk, CASE, label="")
    disinfect(desk, HYPOCHLORITE, 10, parcel_id=opened.parcel_id)
    ticket = printed(desk, booked(desk, opened.arrivals[0], **{"patient.label": "M.R.", "patient.reference": "20419"}))
    assert caution not in ticket
    assert "Disinfected here by AB with Sodium hypochlorite 0.5 % for 10 minutes" in ticket


def test_a_practices_standing_statement_counts_until_it_is_withdrawn(desk):
    assert standing_statement(desk, "fernhal") == "Everything we send is disinfected before it is packed"
    assert [standing_statement(desk, name) for name in ("MARLOW1", "nobody knows", "")] == ["", "", ""]
    opened = parcel(desk, CASE, practice="FERNHAL", hygiene="standing")
    case = booked(desk, opened.arrivals[0], prescriber="Dr J. Tolliver")
    assert hygiene_of(desk, case.case_id).standing == "standing"
    assert parcel_card(desk, opened.parcel_id).hygiene_says.startswith("By the practice’s standing statement")
    row = desk.store.read.practice("FERNHAL")
    ended = row.practice.standing[0].model_copy(update={"withdrawn": NOW.date()})
    with desk.work() as work:
        work.practices.save(row.practice.model_copy(update={"standing": (ended,)}), row.version)
        work.commit()
    assert hygiene_of(desk, case.case_id).standing == "to-disinfect"
    assert "Treat as contaminated" in parcel_card(desk, opened.parcel_id).hygiene_says


def test_scans_need_none(desk):
    scanned = booked_day_case(desk, "39")
    assert desk.store.read.case(scanned.case_id).stream == "scan"
    assert hygiene_of(desk, scanned.case_id).standing == "not-needed"


def test_a_second_disinfection_of_alginate_is_warned_of_before_and_after(desk):
    opened = parcel(desk, CASE, hygiene="declared")
    case = booked(desk, opened.arrivals[0], items=ALGINATE)
    warned = second_warning(desk, case_id=case.case_id)
    assert warned.startswith("The practice declares it disinfected. Alginate takes up water")
    assert second_warning(desk, parcel_id=opened.parcel_id) == warned
    done = disinfect(desk, HYPOCHLORITE, 5, case_id=case.case_id)
    assert done.warning.startswith("The laboratory’s list says 10 minutes for Sodium hypochlorite 0.5 %")
    assert warned in done.warning
    assert second_warning(desk, parcel_id=opened.parcel_id).startswith("Disinfected here by AB")


def test_a_first_disinfection_and_silicone_are_not_warned_of(desk):
    first = parcel(desk, CASE, label="")
    case = booked(desk, first.arrivals[0], items=ALGINATE)
    assert second_warning(desk, case_id=case.case_id) == ""
    silicone = parcel(desk, CASE, label="", hygiene="declared")
    case = booked(desk, silicone.arrivals[0], **{"patient.label": "M.R.", "patient.reference": "20419"})
    assert second_warning(desk, case_id=case.case_id) == second_warning(desk, parcel_id=silicone.parcel_id) == ""


def test_what_of_a_parcel_is_not_entered_yet_may_be_alginate(desk):
    opened = parcel(desk, CASE, hygiene="declared")
    assert "not known to be free of alginate" in second_warning(desk, parcel_id=opened.parcel_id)
    repairs = parcel(desk, NewContent("repair"), label="", hygiene="declared")
    assert second_warning(desk, parcel_id=repairs.parcel_id) == ""


def test_an_entry_needs_its_agent_and_a_time(desk):
    opened = parcel(desk, CASE)
    for agent, minutes in (("", 10), (HYPOCHLORITE, 0), (HYPOCHLORITE, 2_000)):
        with pytest.raises(NotSaid):
            disinfect(desk, agent, minutes, parcel_id=opened.parcel_id)
    for about in ({"parcel_id": 999}, {"case_id": 999}):
        with pytest.raises(NotThere):
            disinfect(desk, HYPOCHLORITE, 10, **about)
    with pytest.raises(NotThere):
        hygiene_of(desk, 999)


def test_what_was_promised_and_comes_in_a_parcel_that_declares_nothing_is_to_be_disinfected(desk, tmp_path):
    first = parcel(desk, CASE, hygiene="declared")
    case = booked(desk, first.arrivals[0])
    tomorrow = open_desk(desk.store, tmp_path, now=NOW + timedelta(days=1))
    second = parcel(tomorrow, PART, label="")
    with tomorrow.work() as work:
        work.arrivals.booked(second.arrivals[0], case.case_id)
        work.commit()
    standing = hygiene_of(tomorrow, case.case_id)
    assert standing.standing == "to-disinfect"
    assert standing.says.startswith("A parcel of Thu 26 Nov: disinfection not declared.")
    disinfect(tomorrow, HYPOCHLORITE, 10, parcel_id=second.parcel_id)
    assert hygiene_of(tomorrow, case.case_id).standing == "disinfected-here"


def test_correcting_what_a_parcel_declares_corrects_how_it_stands(desk):
    opened = parcel(desk, CASE)
    change_parcel(desk, opened.parcel_id, opened.version, NewParcel(practice="MARLOW1", hygiene="declared"))
    assert not parcel_card(desk, opened.parcel_id).to_disinfect
    assert hygiene_of(desk, booked(desk, opened.arrivals[0]).case_id).standing == "declared"
