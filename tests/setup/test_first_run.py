"""The first run: a whole setup from a few answers, or nothing."""

import pytest

from intake.setup.first_run import FirstAnswers, begin, default_setup
from intake.setup.places import DataFolder, data_folder
from intake.setup.reading import SetupWrong, read_setup

ANSWERS = {"name": "Ellerquay Dental Laboratory", "country": "GB", "subdivision": "ENG", "zone": "Europe/London"}


def answered(**changes):
    return FirstAnswers(**(ANSWERS | changes))


def test_the_answers_are_in_the_setup_and_everything_else_is_as_shipped(tmp_path):
    file = tmp_path / "lab" / "setup.toml"
    dublin = {"country": "IE", "subdivision": None, "zone": "Europe/Dublin"}
    queues = {"ticket_queue": "Labels", "letter_queue": "Office"}
    lab = begin(file, answered(telephone="01632 960001", **dublin, **queues))
    assert read_setup(file) == lab
    assert (lab.name, lab.telephone) == ("Ellerquay Dental Laboratory", "01632 960001")
    assert (lab.calendar.country, lab.calendar.subdivision, lab.calendar.zone) == ("IE", None, "Europe/Dublin")
    assert (lab.ticket.queue, lab.letter.queue) == ("Labels", "Office")
    shipped = read_setup(default_setup())
    assert (lab.rules, lab.types, lab.categories) == (shipped.rules, shipped.types, shipped.categories)


def test_the_comments_of_the_shipped_setup_are_there_for_whoever_opens_the_file(tmp_path):
    file = tmp_path / "setup.toml"
    begin(file, answered())
    shipped, made = (path.read_text(encoding="utf-8") for path in (default_setup(), file))
    comments = [line for line in shipped.splitlines() if line.lstrip().startswith("#")]
    assert comments
    assert [line for line in made.splitlines() if line.lstrip().startswith("#")] == comments


def test_chosen_colours_are_those_of_their_boxes(tmp_path):
    lab = begin(tmp_path / "setup.toml", answered(boxes={"splints": ("Sky", "#66b8e8")}))
    assert lab.category_by_id["splints"].box.colour == "Sky"


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"boxes": {"splints": ("Yellow", "#1f6fb4")}}, "boxes: “yellow” stands twice"),
        ({"boxes": {"splints": ("Sky", "sky")}}, "categories[0].box.hex"),
        ({"zone": "Europe/Ellerquay"}, "no time zone “Europe/Ellerquay”"),
        ({"country": "QQ"}, "No bank holidays are known for the country “QQ”"),
        ({"subdivision": "NOWHERE"}, "has no part “NOWHERE”"),
    ],
    ids=["two boxes of one colour", "no colour", "no zone", "no country", "no part of the country"],
)
def test_answers_that_contradict_each_other_are_told_and_nothing_is_written(tmp_path, changes, said):
    with pytest.raises(SetupWrong) as told:
        begin(tmp_path / "setup.toml", answered(**changes))
    assert said in str(told.value)
    assert [path for path in tmp_path.iterdir() if path.is_file()] == []


def test_a_setup_that_is_there_stays_when_the_answers_cannot_stand(tmp_path):
    file = tmp_path / "setup.toml"
    begin(file, answered())
    before = file.read_bytes()
    with pytest.raises(SetupWrong):
        begin(file, answered(zone="Nowhere"))
    assert file.read_bytes() == before


def test_the_data_folder_is_the_one_that_was_named_else_the_environments_else_the_persons_own(tmp_path, monkeypatch):
    monkeypatch.delenv("INTAKE_DATA", raising=False)
    own = data_folder()
    assert own.path.name == "Intake"
    monkeypatch.setenv("INTAKE_DATA", str(tmp_path / "shared"))
    assert data_folder() == DataFolder(tmp_path / "shared")
    assert data_folder(str(tmp_path / "named")).setup == tmp_path / "named" / "setup.toml"
