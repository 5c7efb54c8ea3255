"""Texts of a setup's file are changed where they stand, and their translations go with them."""

from pathlib import Path

import pytest

from intake.domain.texts import texts_of
from intake.resources import resource
from intake.setup.editing import SetupText
from intake.setup.reading import setup_of
from intake.setup.text_changes import add_language, problem_of_language, put_text, take_language_out, translate

FILE = resource("setup", "default.toml").read_text(encoding="utf-8")


class File:
    """A setup's file while it is changed."""

    def __init__(self):
        self.text = SetupText(FILE)

    @property
    def lab(self):
        return setup_of(str(self.text), Path("setup.toml"))

    def put(self, *place_and_words):
        *place, words = place_and_words
        what = next(text for text in texts_of(self.lab) if text.place == tuple(place))
        put_text(self.text, self.lab, what, words)
        return self


@pytest.fixture
def file():
    return File()


def test_every_text_can_be_changed_and_changed_back(file):
    lab = file.lab
    here = [text for text in texts_of(lab) if text.part not in ("rules", "names")]  # those have pages of their own
    for text in here:
        other = tuple(f"{line}!" for line in text.lines)
        put_text(file.text, lab, text, other[0] if isinstance(text.words, str) else other)
    told = {text.place: text for text in texts_of(file.lab)}
    for text in here:
        assert told[text.place].lines == tuple(f"{line}!" for line in text.lines)
        put_text(file.text, lab, told[text.place], text.words)
    assert file.lab == lab
    assert "\n[words" not in str(file.text)


def test_a_fixed_word_stands_in_the_file_only_where_it_is_another(file):
    assert '\n[words.ticket]\nhold = "STOP"\n' in str(file.put("words", "ticket", "hold", "STOP").text)
    assert "words.ticket.hold" not in str(file.put("words", "ticket", "hold", "HOLD").text)
    assert "\n[words" not in str(file.text)


def test_a_language_is_a_table_of_phrases_that_one_can_read(file):
    add_language(file.text, "de", "Deutsch", {"Mon": "Mo"})
    translate(file.text, "de", "Yours faithfully", "Mit freundlichen Grüßen")
    translate(file.text, "de", 'The "A" = #1', "Das „A“")
    assert str(file.text).endswith(
        '[languages.de]\nname = "Deutsch"\n\n[languages.de.phrases]\nMon = "Mo"\n'
        '"Yours faithfully" = "Mit freundlichen Grüßen"\n"The \\"A\\" = #1" = "Das „A“"\n'
    )
    translate(file.text, "de", "Mon", "")
    assert "Mon" not in file.lab.languages["de"].phrases
    take_language_out(file.text, "de")
    assert file.lab.languages == {}
    assert str(file.text).rstrip() == FILE.rstrip()


def test_a_translation_follows_its_text(file):
    add_language(file.text, "de", "Deutsch", {"Yours faithfully": "Gruß", "upper": "oben"})
    file.put("letter", "closing", "Kind regards")
    assert file.lab.languages["de"].phrases["Kind regards"] == "Gruß"
    assert "Yours faithfully" not in file.lab.languages["de"].phrases
    file.put("words", "form", "upper", "top")  # “upper” stands elsewhere too
    assert file.lab.languages["de"].phrases["top"] == file.lab.languages["de"].phrases["upper"] == "oben"


@pytest.mark.parametrize(
    ("short", "name", "problem"),
    [
        ("de", "Deutsch", ""),
        ("fr-be", "Français", ""),
        ("nl", "Dutch", "Dutch is there already."),
        ("", "Deutsch", "is no short name"),
        ("Übrig", "Deutsch", "is no short name"),
        ("de", " ", "Give it its name"),
    ],
)
def test_a_language_needs_a_name_and_a_short_one(file, short, name, problem):
    add_language(file.text, "nl", "Dutch", {})
    told = problem_of_language(file.lab, short, name)
    assert problem in told
    assert bool(told) == bool(problem)
