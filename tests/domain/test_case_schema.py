"""The schema of a prescription file, for other programs; `python -m tests.domain.test_case_schema` writes it anew.

Checked with an independent implementation of JSON Schema 2020-12, the package `jsonschema`.
"""

import json
import re
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from intake.domain.case import Case
from intake.domain.reading import CaseUnreadable, read_case
from intake.resources import demo
from tests.desk.desks import demo_lab, demo_practices

DOCS = Path(__file__).resolve().parents[2] / "docs"
SCHEMA, PAGE = DOCS / "intake-case-1.schema.json", DOCS / "prescription-file.md"
DAY = sorted(demo("day").glob("*.json"))
WRONG = [demo("day-unreadable", f"{name}.json") for name in ("several-errors", "unknown-key")]


def text():
    """The schema as it is kept: JSON, indented."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **Case.model_json_schema(),
        "title": "intake-case/1",
    }
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


def validator():
    return Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8")))


def json_of_the_page():
    """The examples on the page about the file."""
    return [
        json.loads(block) for block in re.findall(r"```json\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    ]


def test_the_schema_in_the_docs_is_that_of_the_model():
    assert SCHEMA.read_text(encoding="utf-8") == text()


def test_the_schema_is_one_by_the_standards_own_schema():
    Draft202012Validator.check_schema(json.loads(SCHEMA.read_text(encoding="utf-8")))


@pytest.mark.parametrize("file", DAY, ids=lambda path: path.stem)
def test_every_prescription_of_the_demo_fits_the_schema(file):
    validator().validate(json.loads(file.read_text(encoding="utf-8")))


@pytest.mark.parametrize("file", WRONG, ids=lambda path: path.stem)
def test_what_the_reader_refuses_for_its_shape_the_schema_refuses_too(file):
    assert not validator().is_valid(json.loads(file.read_text(encoding="utf-8")))


BASE = {"format": "intake-case/1", "appliances": [{"type": "repair"}]}


@pytest.mark.parametrize(
    "changes",
    [
        {"format": "intake-case/2"},
        {"appliances": []},
        {"appliances": [{"arch": "upper"}]},
        {"appliances": [{"type": "repair", "options": {"thickness_mm": 0}}]},
        {"appliances": [{"type": "repair", "options": {"thickness_mm": "3"}}]},
        {"items": [{"item": "plaster"}]},
        {"hygiene": "clean"},
        {"appointment": "10.12.2026"},
        {"appointment": "2026-12-10T09:30Z"},
        {"practice": {"telephone": "01632 960001"}},
        {"patient": {"under_18": "no"}},
        {"colour": "blue"},
    ],
    ids=str,
)
def test_schema_and_reader_agree_on_what_is_no_prescription(changes):
    wrong = BASE | changes
    assert not validator().is_valid(wrong)
    if changes != {"appliances": [{"type": "repair", "options": {"thickness_mm": "3"}}]}:  # the reader is lenient there
        with pytest.raises(CaseUnreadable):
            read_case(json.dumps(wrong), demo_lab(), demo_practices())


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"practice": "MARLOW1"},
        {"practice": {"name": "Mill Lane", "address": ["1 Mill Lane"], "postcode": "XQ1 1AA"}},
        {"appointment": "2026-12-10"},
        {"appointment": "2026-12-10T09:30", "posted": "2026-11-24", "arrived": "2026-11-25T08:40:12"},
        {"appliances": [{"type": "repair", "arch": None, "teeth": ["UR5", "16"], "notes": "clasp broken"}]},
        {"waived": [{"requirement": "bite-record", "appliance": 0, "by": "Dr R. Ashdown", "note": "by telephone"}]},
    ],
    ids=str,
)
def test_schema_and_reader_agree_on_what_is_one(changes):
    validator().validate(BASE | changes)
    assert read_case(json.dumps(BASE | changes), demo_lab(), demo_practices()).appliances


def test_the_examples_on_the_page_are_what_they_are_said_to_be():
    cases = [example for example in json_of_the_page() if example.get("format") == "intake-case/1"]
    assert len(cases) == 2
    for case in cases:
        validator().validate(case)
        read_case(json.dumps(case), demo_lab(), demo_practices())


if __name__ == "__main__":
    SCHEMA.write_text(text(), encoding="utf-8", newline="\n")
