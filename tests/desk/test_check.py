"""Checking a file: the verdict file in its own form, and what is said of a file that is no case."""

import json
import re
from datetime import date, datetime
from pathlib import Path

import pytest

from intake.desk.check import check_file
from intake.domain.job_number import read_number
from intake.domain.verdict_file import VERDICT_FORMAT
from intake.resources import resource
from intake.setup.reading import read_setup
from tests.desk.desks import day_file, demo_lab, demo_practices

EXAMPLE = {
    "format": "intake-case/1",
    "practice": "MARLOW1",
    "prescriber": "Dr R. Ashdown",
    "patient": {"label": "J.T.", "reference": "20418", "under_18": False},
    "appliances": [
        {
            "type": "occlusal-splint-hard",
            "arch": "upper",
            "teeth": ["16", "UR5"],
            "options": {"thickness_mm": 3.0, "shade": None, "material": None, "colour": None},
        }
    ],
    "items": [
        {"item": "impression", "arch": "upper", "material": "addition-silicone", "taken": "2026-11-24T15:30"},
        {"item": "bite-record", "kind": "centric"},
    ],
    "hygiene": "disinfected",
    "appointment": "2026-12-10T09:30",
    "arrived": "2026-11-25T08:40",
    "notes": "",
}
"""The example of docs/prescription-file.md."""
ANSWER = {
    "category": "splints",
    "appliances": [0],
    "state": "held",
    "box": {"colour": "Blue", "hex": "#1f6fb4"},
    "reply_by": "2026-12-01T12:00",
    "latest_start": "2026-12-02",
    "must_leave": "2026-12-08",
    "outlook": "comfortable",
    "earliest_appointment": None,
    "route": [
        {"bench": "Casting", "by": "2026-12-02"},
        {"bench": "Splints", "by": "2026-12-07"},
        {"bench": "Checking", "by": "2026-12-08"},
    ],
}
"""What the page on the form says of the example's one job, counted by hand in its text."""


@pytest.fixture
def written(tmp_path):
    """Writes a prescription file."""

    def write(prescription, name="case.json"):
        file = tmp_path / name
        file.write_text(prescription if isinstance(prescription, str) else json.dumps(prescription), encoding="utf-8")
        return file

    return write


def verdict_of(file, now=datetime(2026, 11, 25, 9, 0), lab=None, practices=None):
    return check_file(file, lab or demo_lab(), practices, now).as_json()


def test_the_example_gets_the_dates_that_were_counted_by_hand(written):
    verdict = verdict_of(written(EXAMPLE), lab=read_setup(resource("setup", "default.toml")))
    assert verdict["jobs"] == [ANSWER]
    assert verdict["pour_by"] == "2026-12-08T15:30"
    assert (verdict["format"], verdict["state"]) == ("intake-verdict/1", "held")
    assert [(f["requirement"], f["level"], f["appliance"]) for f in verdict["findings"]] == [
        ("opposing-arch", "stops", 0),
        ("bite-opening", "asks", 0),
    ]


def test_the_page_on_the_form_says_what_the_check_says(written):
    page = (Path(__file__).resolve().parents[2] / "docs" / "prescription-file.md").read_text(encoding="utf-8")
    case, _, shown, _, job = (json.loads(block) for block in re.findall(r"```json\n(.*?)```", page, re.DOTALL))
    assert case == EXAMPLE
    verdict = verdict_of(written(EXAMPLE))
    for finding in verdict["findings"]:
        finding |= {"question": "…", "because": "…"}
    assert json.dumps(verdict | {"file": "case.json"}) == json.dumps(shown)
    assert read_number(job["shown"]).digits == job["number"]


def test_a_splint_without_its_bite_is_held_for_it(written):
    without = EXAMPLE | {"items": [*EXAMPLE["items"][:1], {"item": "model", "arch": "lower"}]}
    finding = verdict_of(written(without))["findings"][0]
    assert list(finding) == ["requirement", "level", "appliance", "question", "because"]
    assert (finding["requirement"], finding["level"], finding["appliance"]) == ("bite-record", "stops", 0)
    assert finding["question"]
    assert finding["because"]


def test_the_keys_stand_in_the_order_of_the_page(written):
    verdict = verdict_of(written(EXAMPLE))
    assert list(verdict) == ["format", "file", "state", "jobs", "findings", "pour_by"]
    assert list(verdict["jobs"][0]) == list(ANSWER)


def test_a_verdict_is_plain_json(written):
    verdict = verdict_of(written(EXAMPLE))
    assert json.loads(json.dumps(verdict)) == verdict


def test_without_an_appointment_there_are_no_dates(written):
    (job,) = verdict_of(written(EXAMPLE | {"appointment": None}))["jobs"]
    assert (job["must_leave"], job["outlook"], job["earliest_appointment"], job["route"]) == (None, None, None, [])


def test_a_late_case_says_which_appointment_would_hold(written):
    (job,) = verdict_of(written(EXAMPLE | {"appointment": "2026-11-27"}))["jobs"]
    assert job["outlook"] == "late"
    assert date.fromisoformat(job["earliest_appointment"]) > date(2026, 11, 27)


def test_a_file_that_is_no_case_gets_all_its_errors_at_once_instead_of_findings(written):
    wrong = EXAMPLE | {"appointment": "2026-02-30", "colour": "blue", "appliances": [{"type": "crown"}]}
    verdict = verdict_of(written(wrong))
    assert list(verdict) == ["format", "file", "state", "errors"]
    assert (verdict["format"], verdict["state"]) == (VERDICT_FORMAT, "unreadable")
    assert {error["where"] for error in verdict["errors"]} == {"appliances[0].type", "appointment", "colour"}
    assert all(list(error) == ["where", "what"] for error in verdict["errors"])


@pytest.mark.parametrize("content", ["", "{", "[]", "null", "3", '"text"', "\x00", "[" * 5000], ids=repr)
def test_what_is_no_prescription_at_all_is_said_so_in_a_sentence(written, content):
    verdict = verdict_of(written(content))
    assert verdict["state"] == "unreadable"
    assert verdict["errors"][0]["what"].endswith(".")


def test_a_file_that_is_not_there_is_an_error_of_its_own(tmp_path):
    assert verdict_of(tmp_path / "none.json")["errors"] == [{"where": "", "what": "There is no such file."}]
    assert "cannot be opened" in verdict_of(tmp_path)["errors"][0]["what"]


def test_a_teeth_list_of_the_other_arch_is_a_finding_and_no_error(written):
    other = EXAMPLE | {"appliances": [EXAMPLE["appliances"][0] | {"teeth": ["36"]}]}
    verdict = verdict_of(written(other))
    assert verdict["state"] == "held"
    assert "teeth" in {finding["requirement"] for finding in verdict["findings"]}


@pytest.mark.parametrize(("practices", "asked"), [(None, False), ((), True), ("demo", False)])
def test_a_practice_code_is_taken_as_it_stands_where_there_is_no_directory(written, practices, asked):
    directory = demo_practices() if practices == "demo" else practices
    verdict = verdict_of(written(EXAMPLE), practices=directory)
    assert ("practice" in {finding["requirement"] for finding in verdict["findings"]}) is asked


def test_a_case_is_not_judged_as_it_was_before_it_arrived():
    """Of the same impression nobody may say that it is younger than when it came."""
    midnight = datetime(2026, 11, 25)
    checked = check_file(day_file("08"), demo_lab(), demo_practices(), midnight)
    assert checked.at == checked.case.arrived > midnight


def test_nothing_is_kept_beside_a_checked_file(written, tmp_path):
    verdict_of(written(EXAMPLE))
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == ["case.json"]
