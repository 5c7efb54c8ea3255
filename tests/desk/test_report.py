"""The report on a file, read aloud: short, with every date that matters, and nothing that does not."""

from dataclasses import replace
from datetime import datetime

import pytest

from intake.desk.check import check_file
from intake.desk.report import report_lines, wrapped
from intake.resources import demo
from tests.desk.desks import day_file, demo_lab, demo_practices

ALL = [*sorted(demo("day").glob("*.json")), *sorted(demo("day-unreadable").glob("*.json"))]
MORNING = datetime(2026, 11, 25, 9, 0)


def report(name, now=MORNING):
    file = day_file(name)
    checked = check_file(file, demo_lab(), demo_practices(), now)
    return list(report_lines(replace(checked, file=file.name), demo_lab()))


def test_a_clear_case_is_five_lines():
    assert report("01") == [
        "01-soft-splint-complete.json: clear",
        "  Splints, Blue box, clear: lower soft occlusal splint",
        "    Must leave Mon 7 Dec 2026, latest start Tue 1 Dec: comfortable.",
        "    Casting by Tue 1 Dec, Splints by Fri 4 Dec, Checking by Mon 7 Dec.",
        "  Pour by Tue 8 Dec 2026, 15:10: the upper impression.",
    ]


def test_a_held_case_says_what_to_ask_why_and_until_when():
    lines = report("06")
    assert lines[0] == "06-bonded-retainer-no-teeth.json: held"
    assert "    Reply by Mon 30 Nov 2026, 12:00." in lines
    question = lines.index("  stops  teeth: For which teeth do you want the lower bonded retainer?")
    assert lines[question + 1] == "         The prescription names no teeth. The teeth decide what is made."


def test_the_findings_stand_in_the_order_to_ask_them():
    levels = [line.split()[0] for line in report("02") if line.startswith(("  stops", "  asks", "  warns"))]
    assert levels == sorted(levels, key=["stops", "asks", "warns"].index)
    assert set(levels) == {"stops", "asks", "warns"}


def test_a_pour_by_that_is_past_says_so():
    assert "  Pour by is past: the upper impression should have been poured by Mon 23 Nov 2026, 11:00." in report("08")


def test_an_estimated_pour_by_says_from_what_it_was_counted():
    assert "  Pour by Wed 9 Dec 2026, 00:00 (counted from the day it arrived): the upper impression." in report("07")


def test_a_reply_by_that_is_past_says_to_telephone():
    late = report("05", datetime(2026, 12, 4, 15, 0))
    assert any(line.startswith("    Reply by Fri 4 Dec 2026, 12:00, which is past: telephone.") for line in late)


def test_a_reply_by_is_told_only_where_there_is_something_to_ask():
    assert not any("Reply by" in line for line in report("63"))
    whitening, mouthguards = (report("47").index(f"  {line}") for line in (
        "Whitening, Lilac box, clear: upper whitening tray, lower whitening tray",
        "Mouthguards, Red box, clear: upper sports mouthguard",
    ))  # fmt: skip
    assert "Reply by" not in "".join(report("47")[whitening : whitening + 3])
    assert "Reply by" in "".join(report("47")[mouthguards : mouthguards + 4])


def test_a_late_case_says_which_appointment_would_hold():
    lines = report("68", datetime(2026, 11, 25, 16, 30))
    assert "    Must leave Fri 27 Nov 2026, latest start Wed 25 Nov: too late for the appointment." in lines
    assert "    The earliest appointment that would hold is Wed 2 Dec 2026." in lines
    assert not any("Reply by" in line for line in lines)


def test_a_case_without_an_appointment_says_that_it_has_no_dates():
    assert "    No dates: no appointment is given." in report("67")


def test_an_appointment_that_no_calendar_reaches_says_why_there_are_no_dates(tmp_path):
    far = day_file("01").read_text(encoding="utf-8").replace('"appointment": "2026', '"appointment": "2926')
    file = tmp_path / "far.json"
    file.write_text(far, encoding="utf-8")
    lines = list(report_lines(check_file(file, demo_lab(), demo_practices(), MORNING), demo_lab()))
    assert any(line.startswith("    No dates: United Kingdom: bank holidays are known") for line in lines)


def test_the_same_appliance_twice_is_said_once():
    assert "  Retainers, Yellow box, clear: upper vacuum-formed retainer (twice)" in report("70")


def test_an_appliance_is_named_behind_the_requirement_only_where_the_question_does_not():
    stops = [line for line in report("47") if line.startswith("  stops")]
    assert stops == ["  stops  working-arch [lower repair]: Please send the appliance that is to be repaired."]
    assert not any("[" in line for line in report("64"))


def test_a_case_of_two_boxes_names_both():
    boxes = [line for line in report("64") if " box, " in line]
    assert boxes == [
        "  Splints, Blue box, held: upper hard occlusal splint",
        "  Retainers, Yellow box, clear: lower vacuum-formed retainer",
    ]


@pytest.mark.parametrize("file", ALL, ids=lambda path: path.stem)
def test_every_report_of_the_day_fits_a_screen_and_loses_no_word(file):
    lines = list(report_lines(check_file(file, demo_lab(), demo_practices(), MORNING), demo_lab()))
    laid_out = list(wrapped(lines))
    assert max(map(len, laid_out)) <= 110
    assert " ".join(laid_out).split() == " ".join(lines).split()
    assert not [line for line in lines if "None" in line or "{" in line or "  " in line.strip()[7:]]


def test_a_line_that_is_too_long_goes_on_under_its_words():
    first, second = wrapped(["  stops  bite-record: " + "word " * 12], 60)
    assert first.startswith("  stops  bite-record")
    assert second.startswith(" " * 9 + "word")


def test_a_word_longer_than_the_screen_is_not_broken():
    path = "C:\\" + "very-long-folder\\" * 10 + "case.json: clear"
    assert "".join(wrapped([path], 40)).replace(" " * 9, " ") == path
