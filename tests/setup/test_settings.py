"""Every single setting can be reached in the window, and is typed within the limits that the model has."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import IntakeError
from intake.resources import demo
from intake.setup.appliance_tables import MATERIALS, TYPES
from intake.setup.laboratory_settings import GROUPS, settings_found
from intake.setup.model_fields import limits_at, scalar_places
from intake.setup.parcel_settings import BOX_NUMBERS, SHADES
from intake.setup.reading import setup_of
from intake.setup.route_tables import BENCHES, CATEGORIES
from intake.setup.trying import PlainSetup, refusal

TEXT = demo("lab.toml").read_text(encoding="utf-8")
LAB = setup_of(TEXT, Path("setup.toml"))
SETTINGS = (*(setting for group in GROUPS for setting in group.settings), SHADES, BOX_NUMBERS)
TABLES = (CATEGORIES, BENCHES, TYPES, MATERIALS, *(table for group in GROUPS for table in group.tables))
OTHER_PAGES = {
    "Calendar": ("calendar", "deadlines"),
    "Texts": ("cautions", "words", "languages", "letter", "parcels"),
    "Rule book": ("rules",),
    "People": ("people",),
}
"""The parts of the setup that have a page of their own."""
TEXTS = {
    "letter": {"window", "first", "queue"},
    "parcels": {"again_months", "agents", "carriers", "name", "minutes", "service", "pattern"},
}
"""Of these two the page Texts has the words alone: what is named here is on the page Laboratory."""
NOBODY_CHANGES = {("format",)}
"""The file's own mark: what Intake reads it as."""
TYPED_WITH_OTHERS = {
    ("boxes", "first"): BOX_NUMBERS,
    ("boxes", "last"): BOX_NUMBERS,
    ("scans", "labels"): "a field for each line",
    ("categories", 0, "route", 0, "bench"): "the column of routes",
    ("categories", 0, "route", 0, "days"): "the column of routes",
    ("types", 0, "replaces_tooth"): "the column of teeth",
}


def test_every_setting_of_the_lab_can_be_changed_on_some_page():
    here = {setting.place for setting in SETTINGS}
    here |= {(*table.place, 0, *column.path) for table in TABLES for column in table.columns}
    missing = []
    for place in scalar_places():
        part = place[0]
        elsewhere = any(part in parts for parts in OTHER_PAGES.values()) and place[-1] not in TEXTS.get(part, ())
        if place not in here and place not in TYPED_WITH_OTHERS and place not in NOBODY_CHANGES and not elsewhere:
            missing.append(place)
    assert missing == []


def test_what_is_typed_with_others_and_what_nobody_changes_is_there():
    assert set(TYPED_WITH_OTHERS) | NOBODY_CHANGES <= set(scalar_places())


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: setting.name)
def test_what_a_field_shows_means_the_same_when_it_is_typed(setting):
    trial = PlainSetup(TEXT)
    trial.put(setting.place, setting.read(setting.shown(LAB)))
    assert type(LAB).model_validate(trial.data) == LAB
    assert setting.help
    assert setting.label


NUMBERS = [setting for setting in SETTINGS if setting.typed.look == "number"]


def limits_told(setting):
    """The sentence by which a number beyond the limits is refused."""
    with pytest.raises(IntakeError) as refused:
        setting.read("-20000")
    return str(refused.value)


@given(st.sampled_from(NUMBERS), st.integers(-20_000, 2_000_000))
def test_a_number_is_taken_within_the_models_limits_and_refused_with_them(setting, number):
    least, most = limits_at(setting.place)
    fits = (least is None or number >= least) and (most is None or number <= most)
    if fits and not (number == least == 0 and "more than 0" in limits_told(setting)):
        assert setting.read(str(number)) == number
    else:
        with pytest.raises(IntakeError, match=re.escape(f"{most:g}")):
            setting.read(str(number))


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("name", "", "This cannot be empty."),
        ("ringing.lab_hours", "9 to 5", "write it as 09:00-13:00"),
        ("mail.port", "smtp", "“smtp” is no whole number."),
        ("boxes", "400", "Write the first and the last number, such as 1-400"),
        ("ticket.size", "A4", "Choose one of these: A6, A5, 100 x 150 mm."),
        ("scans.facing", "-2", "Write a number from -1 to 1."),
    ],
)
def test_what_a_field_cannot_hold_is_refused_with_what_it_could(name, text, says):
    setting = next(setting for setting in SETTINGS if setting.name == name)
    with pytest.raises(IntakeError) as refused:
        setting.read(text)
    assert says in str(refused.value)


def test_figures_that_overtake_each_other_are_refused_in_a_sentence():
    why = refusal(TEXT, LAB, lambda setup: setup.put(("scans", "arch_least_mm"), 120))
    assert why == "arch_least_mm, 120, is more than arch_most_mm, 95."


def test_a_setting_is_found_by_words_of_its_name_its_help_or_its_group():
    assert [setting.name for setting in settings_found("print queue")] == ["ticket.queue", "letter.queue"]
    assert {setting.name for setting in settings_found("imap")} >= {"mailbox.server", "mailbox.port"}
    assert len(list(settings_found(""))) == len(SETTINGS) - 2
    assert list(settings_found("no such words")) == []
