"""The page Calendar by keys: days closed and worked in the picture, rules typed, and what becomes of open jobs."""

from dataclasses import replace
from datetime import date, datetime, time

import pytest
from PySide6.QtWidgets import QApplication

from intake.desk.book_in import book
from intake.desk.issue import issue
from intake.desk.lab_setup import put_in_force
from intake.desk.recounting import is_due
from intake.ui.setup.calendar import recounted
from intake.ui.setup.calendar.recounted import RecountedDialog
from tests.desk.desks import day_case


def calendar(person):
    return person.draft.lab.calendar


def deadlines(person):
    return person.draft.lab.deadlines


def said(person):
    return person.page.year.day.text()


def dialog():
    found = QApplication.activeModalWidget()
    assert isinstance(found, RecountedDialog)
    return found


def a_job(desk, appointment=datetime(2026, 12, 10, 9, 30), name="36"):
    """A job that is clear, with its appointment."""
    return book(desk, day_case(name).model_copy(update={"appointment": appointment}), f"form-{name}").jobs[0]


def test_days_are_closed_and_worked_in_the_picture_by_keys(open_setup, in_file):
    person = open_setup("setup-calendar")
    assert said(person) == "Wed 25 Nov 2026: worked. Enter closes it."
    person.press("Right", "Return").type("Inventory").press("Return")
    assert calendar(person).closures[-1].model_dump() == {
        "first": date(2026, 11, 26),
        "last": date(2026, 11, 26),
        "name": "Inventory",
    }
    person.page.setFocus()
    person.wait()
    assert said(person) == "Thu 26 Nov 2026: closed by the laboratory: Inventory. Enter opens it again."
    person.press("Return")
    assert len(calendar(person).closures) == 1
    person.press("Right", "Right", "Return")
    assert calendar(person).worked == (date(2026, 11, 28),)
    assert said(person) == "Sat 28 Nov 2026: worked although closed: Saturday. Enter takes that back."
    person.press("Return", "PgDown", "PgDown", "Left", "Left")
    assert calendar(person).worked == ()
    assert said(person).startswith("Tue 26 Jan 2027: worked.")
    person.press("Shift+Right", "Shift+Right")
    assert said(person) == "Tue 26 Jan 2027 to Thu 28 Jan 2027, 3 days. Enter closes them."
    person.press("Return")
    closure = calendar(person).closures[-1]
    assert (closure.first, closure.last) == (date(2027, 1, 26), date(2027, 1, 28))
    assert "# what arrives later counts" in person.draft.text, "comments are kept"
    assert in_file() != person.draft.text, "nothing is in force yet"
    person.press("F8")
    assert len(calendar(person).closures) == 1


def test_christmas_says_why_it_is_closed_and_home_comes_back(open_setup):
    person = open_setup("setup-calendar")
    person.press("Shift+PgUp", "PgDown")
    assert said(person) == "Thu 25 Dec 2025: bank holiday: Christmas Day. Enter works it."
    assert person.page.year.picture.accessibleDescription() == said(person)
    person.press("Home")
    assert said(person).startswith("Wed 25 Nov 2026")


def test_rules_count_when_their_field_is_left_and_what_is_refused_stays_typed(open_setup):
    person = open_setup("setup-calendar")
    person.press("Alt+W").type("mon-thu, sat").press("Return")
    assert calendar(person).weekdays == (0, 1, 2, 3, 5)
    person.type("25").press("Tab")
    field = person.page.rules.fields["cut_off"]
    assert field.small_print.text() == "“25” is no time of day; write it as 12:00."
    assert (field.text, calendar(person).cut_off) == ("25", time(12))
    person.press("Shift+Tab").type("14.30").press("Return")
    assert calendar(person).cut_off == time(14, 30)
    person.press("Alt+Y").type("2").press("Return").type("Tue, Thu").press("Return").type("9").press("Return")
    assert (deadlines(person).transit_days, deadlines(person).delivery_weekdays) == (2, (1, 3))
    assert deadlines(person).reply_hour == time(9)
    person.press("Alt+O").type("3").press("Escape")
    assert person.page.rules.fields["days_before"].text == "1", "Esc puts back what is known"


def test_another_country_takes_its_own_parts_zone_and_holidays(open_setup):
    person = open_setup("setup-calendar")
    person.press("Alt+U").type("Sri").press("Return")
    assert (calendar(person).country, calendar(person).subdivision) == ("LK", None)
    assert calendar(person).zone == "Asia/Colombo"
    assert person.page.year.unknown.text().startswith("Bank holidays are known up to 2026")
    person.page.setFocus()
    person.press("Shift+PgDown")
    assert "not for 2027" in person.page.year.unknown.text()
    assert person.page.year.counts.text() == "The working days cannot be counted."
    assert said(person) == "Thu 25 Nov 2027: not known whether it is a bank holiday. Enter closes it."
    assert person.page.year.key.accessibleName() == "weekday off, closed by the laboratory, not known"


def test_a_service_is_added_named_and_said_where_a_practice_has_none_such(open_setup, desk):
    row = desk.store.read.practices()[0]
    with desk.work() as work:
        work.practices.save(row.practice.model_copy(update={"service": "island post"}), row.version)
        work.commit()
    person = open_setup("setup-calendar")
    services = person.page.entries.services
    person.page.read_again()
    assert person.wait().page.entries.services.aside.text() == (
        f"Not here, so that the usual way is counted: “island post” of {row.practice.code}."
    )
    services.list.setFocus()
    person.press("Ctrl+N").type("Island post").press("Return").type("2").press("Return").type("Tue, Thu")
    person.press("Return")
    (service,) = deadlines(person).services
    assert service.model_dump() == {"name": "Island post", "transit_days": 2, "weekdays": (1, 3)}
    assert services.list.item(0).text() == "Island post: 2 days, Tue, Thu; 1 practice"
    assert services.aside.text() == ""
    person.press("Ctrl+N").type("ISLAND POST").press("Return")
    assert services.fields["name"].small_print.text() == "Another service has this name."
    person.press("Escape", "Ctrl+Shift+D")
    assert [each.name for each in deadlines(person).services] == ["Island post"]


def test_a_closure_that_ends_before_it_begins_is_refused_and_taken_out_by_its_key(open_setup):
    person = open_setup("setup-calendar")
    person.press("Alt+L").type("1 dec").press("Return")
    last = person.page.entries.closures.fields["last"]
    assert last.small_print.text() == "That is before the first day, Thu 24 Dec 2026."
    assert calendar(person).closures[0].last == date(2027, 1, 3)
    person.press("Escape", "Ctrl+Shift+D")
    assert calendar(person).closures == ()
    assert person.page.entries.closures.empty.text().startswith("None yet. Choose a day in the picture")


def test_what_would_change_is_shown_before_it_is_put_in_force(open_setup, desk):
    job = a_job(desk)
    person = open_setup("setup-calendar")
    person.draft.add(("calendar", "closures"), {"first": date(2026, 12, 7), "last": date(2026, 12, 8), "name": "Move"})
    person.press("Ctrl+Shift+O")
    shown = dialog()
    assert shown.said.text() == "1 job would get other dates."
    row = [shown.jobs.index(0, column).data() for column in range(6)]
    assert row[3:] == ["Fri 4 Dec", "Tue 8 Dec", "comfortable"]
    assert "latest start Mon 30 Nov 2026 instead of Wed 2 Dec 2026" in shown.all_of_it.text()
    assert not shown.tickets_button.isVisible()
    person.press("Escape")
    assert desk.store.read.job(job.number).must_leave == date(2026, 12, 8)


@pytest.fixture
def in_force(desk):
    """The desk once a closure was put in force, with a job whose ticket is out."""
    first = put_in_force(desk, (desk.folder / "setup.toml").read_text(encoding="utf-8"), "first", None)
    job = a_job(first.desk)
    issue(first.desk, job.document_id)
    text = (desk.folder / "setup.toml").read_text(encoding="utf-8")
    shut = 'closures = [{ first = 2026-12-07, last = 2026-12-08, name = "Move" }]'
    changed = "\n".join(shut if line.startswith("closures =") else line for line in text.splitlines())
    made = put_in_force(first.desk, changed, "we move", first.edition).desk
    lab = made.lab.model_copy(update={"ticket": desk.lab.ticket})
    return replace(made, lab=lab), job


def test_open_jobs_are_counted_anew_from_the_page_and_their_tickets_printed(open_setup, in_force, qtbot):
    desk, job = in_force
    assert is_due(desk)
    person = open_setup("setup-calendar")
    person.place.set_desk(desk)
    person.wait()
    assert person.page.due.isVisible()
    person.press("F12")
    shown = dialog()
    assert shown.said.text() == "1 job has other dates."
    assert shown.paper.text().startswith("1 of them has a ticket with the dates before")
    assert desk.store.read.job(job.number).must_leave == date(2026, 12, 4)
    person.press("Alt+P")
    qtbot.waitUntil(lambda: bool(person.wait().issued))
    assert shown.paper.text() == "1 of 1 tickets went to the printer; earlier copies no longer count."
    assert [each.document.copy for each in person.issued] == [2]
    person.press("Escape")
    assert not person.page.due.isVisible()
    assert not is_due(desk)


def test_what_follows_a_setup_in_force_opens_only_where_there_is_something_to_see(open_setup, in_force, qtbot):
    desk, _ = in_force
    person = open_setup("setup-calendar")
    recounted.follow(person.page._room, desk, person.window)
    person.wait()
    assert dialog().said.text() == "1 job has other dates."
    person.press("Escape")
    recounted.follow(person.page._room, desk, person.window)
    person.wait()
    assert QApplication.activeModalWidget() is None
    assert person.news.endswith("No date of 1 open job has changed.")


def test_stopped_by_esc_it_says_how_far_it_came_and_goes_on(open_setup, in_force, monkeypatch, qtbot):
    desk, _ = in_force
    a_job(desk, datetime(2026, 12, 14, 9, 30), "44")
    monkeypatch.setattr("intake.desk.recounting.AT_ONCE", 1)
    person = open_setup("setup-calendar")
    shown = recounted.count(person.page._room, desk, person.window)
    shown.reject()
    person.wait()
    assert shown.said.text().startswith("Stopped when ")
    assert shown.again_button.isVisible()
    person.press("Alt+G")
    qtbot.waitUntil(lambda: not person.wait().page._room.jobs.under_way and not shown.again_button.isVisible())
    assert "other dates." in shown.said.text()
    assert not is_due(desk)
    person.press("Escape")
