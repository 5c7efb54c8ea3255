"""The page that explains the lab setup names everything that there is, and what it shows can be used."""

import re
import tomllib
from pathlib import Path
from typing import get_args

import pytest
from pydantic import TypeAdapter

from intake.domain.case import Frozen
from intake.domain.lab import LETTER_PLACEHOLDERS, ApplianceType, Lab
from intake.domain.practice import Practice
from intake.domain.rulebook import CIRCUMSTANCES, PLACEHOLDERS, SATISFIERS, Circumstance, Satisfier
from intake.resources import resource
from intake.setup.reading import contradictions

PAGE = (Path(__file__).parents[2] / "docs" / "setup.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
ROWS = re.findall(r"^\| `(\w+)` \|.*\| `(\{.*\})` \|$", PAGE, re.MULTILINE)
"""The rows of the tables of circumstances and satisfiers: the key and its example."""


def models(kind, seen=()):
    """The models that a model is made of, itself among them."""
    if isinstance(kind, type) and issubclass(kind, Frozen):
        parts = {kind}.union(*(models(field.annotation, (*seen, kind)) for field in kind.model_fields.values()))
        return parts if kind not in seen else set()
    return set().union(*(models(part, seen) for part in get_args(kind)))


FIELDS = sorted(
    {f"{model.__name__}.{name}" for kind in (Lab, Practice) for model in models(kind) for name in model.model_fields}
)


def completed(block):
    """The shipped setup with what a block says: tables are filled in, entries of lists are added."""
    setup = tomllib.loads(resource("setup", "default.toml").read_text(encoding="utf-8"))
    for name, value in tomllib.loads(block).items():
        if isinstance(value, dict):
            inner = {
                key: setup.get(name, {}).get(key, {}) | told for key, told in value.items() if isinstance(told, dict)
            }
            setup[name] = setup.get(name, {}) | value | inner
        else:
            setup[name] = setup[name] + value if name in ("categories", "types", "materials", "rules") else value
    return setup


def test_the_setup_is_made_of_the_models_that_are_looked_at():
    assert {"Lab.rules", "CalendarRules.cut_off", "Received.with_mm", "StandingInstruction.says"} <= set(FIELDS)


@pytest.mark.parametrize("field", FIELDS)
def test_the_page_names_every_field(field):
    name = field.partition(".")[2]
    assert re.search(rf"`\[*{name}]*`", PAGE)


def test_the_tables_have_each_circumstance_and_satisfier_once_and_no_other():
    assert [key for key, _ in ROWS] == [*CIRCUMSTANCES, *SATISFIERS]


@pytest.mark.parametrize(("key", "example"), ROWS, ids=[key for key, _ in ROWS])
def test_the_example_of_each_can_be_used(key, example):
    table = tomllib.loads(f"example = {example}")["example"]
    assert next(iter(table)) == key
    TypeAdapter(Circumstance if key in CIRCUMSTANCES else Satisfier).validate_python(table)


def test_the_page_names_every_placeholder_and_every_option_that_a_form_can_offer():
    placeholders = PLACEHOLDERS.union(*LETTER_PLACEHOLDERS.values())
    options = get_args(get_args(ApplianceType.model_fields["asks"].annotation)[0])
    assert len(options) == 9
    assert [name for name in placeholders if f"{{{name}}}" not in PAGE] == []
    assert [name for name in options if f"`{name}`" not in PAGE] == []


@pytest.mark.parametrize("block", BLOCKS, ids=[block.splitlines()[0].strip("[]") for block in BLOCKS])
def test_what_the_page_shows_can_be_used(block):
    if "[[practices]]" in block:
        TypeAdapter(tuple[Practice, ...]).validate_python(tomllib.loads(block)["practices"])
    else:
        assert list(contradictions(Lab.model_validate(completed(block)))) == []
