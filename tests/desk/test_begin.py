"""The first day of a new lab."""

import re
from dataclasses import replace

import pytest

from intake.desk.begin import AnswersWrong, FirstAnswers, begin_lab, offer, problems, zone_offered, zones_of
from intake.setup.places import DataFolder
from intake.setup.reading import read_setup

ANSWERS = FirstAnswers("Harbour Road Laboratory", "GB", "ENG", "Europe/London", "01632 960999")
BOX = {"splints": ("Teal", "#008080")}


def test_the_answers_become_the_setup(tmp_path):
    lab = begin_lab(DataFolder(tmp_path), replace(ANSWERS, boxes=BOX, ticket_queue="labels"))
    assert read_setup(tmp_path / "setup.toml") == lab
    assert (lab.name, lab.calendar.subdivision, lab.ticket.queue) == ("Harbour Road Laboratory", "ENG", "labels")
    assert lab.category_by_id["splints"].box.colour == "Teal"


def test_the_offer_has_a_box_of_its_own_for_each_kind_of_work():
    boxes = [category.box.colour for category in offer(()).categories]
    assert len(boxes) == len(set(boxes)) > 5


def test_the_offer_knows_the_parts_of_the_united_kingdom():
    (kingdom,) = [country for country in offer(()).countries if country.code == "GB"]
    assert {"England", "Scotland", "Wales", "Northern Ireland"} <= {part.name for part in kingdom.parts}


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"name": " "}, "name", "Enter the laboratory’s name"),
        ({"country": "", "subdivision": None}, "country", "Choose the country"),
        ({"subdivision": None}, "subdivision", "Choose the part of the country"),
        ({"zone": ""}, "zone", "Choose the time zone"),
        ({"boxes": {"a": ("Blue", "#0000ff"), "b": ("blue", "#0000fe")}}, "box-b", "Two boxes are called “blue”"),
        ({"boxes": {"a": (" ", "#0000ff")}}, "box-a", "a name"),
        ({"boxes": {"a": ("Blue", "0000ff")}}, "box-a", "is no colour"),
        ({"boxes": {"a": ("Blue", "#00zzff")}}, "box-a", "such as #1f6fb4"),
    ],
)
def test_what_cannot_stand_is_said_with_what_would_be_right(tmp_path, changed, field, says):
    answers = replace(ANSWERS, **changed)
    assert says in problems(answers)[field]
    with pytest.raises(AnswersWrong, match=re.escape(says)):
        begin_lab(DataFolder(tmp_path), answers)
    assert not (tmp_path / "setup.toml").exists()


def test_a_country_without_parts_needs_none():
    assert problems(replace(ANSWERS, country="IS", subdivision=None, zone="Atlantic/Reykjavik")) == {}


@pytest.mark.parametrize(
    ("country", "zone"),
    # IANA time zone database, zone.tab: its comments say in which zone most of a country lies.
    [("GB", "Europe/London"), ("US", "America/New_York"), ("AU", "Australia/Sydney"), ("PT", "Europe/Lisbon")],
)
def test_the_zone_in_which_most_of_a_country_lies_is_offered(country, zone):
    assert zone_offered(country, "Asia/Tokyo") == zone


def test_the_computers_own_zone_is_offered_where_it_lies_in_the_country():
    assert zone_offered("US", "America/Denver") == "America/Denver"
    assert zones_of("XX") == ()
