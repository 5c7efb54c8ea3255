"""The setup in another language: what it translates, what it leaves as it is, and what is refused."""

from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.asked_in import asked_in
from intake.domain.facts import Facts
from intake.domain.judging import judge
from intake.domain.languages import odd_phrases, requirement_in, spoken, to_translate, untranslated, unused
from intake.domain.printed.dates import DateWords
from intake.domain.printed.language import Language
from intake.domain.text_checks import known_words, own_problem, said_problem
from intake.domain.texts import texts_of, with_texts
from intake.domain.wording import appliance_name
from intake.domain.written_dates import shown_day, shown_moment
from tests.desk.labs import lab_with
from tests.domain.complete_cases import KNOWN, a_case, the_lab

LINES = tuple(dict.fromkeys(line for text in to_translate(the_lab()) for line in text.lines if line))


def lab_in(phrases, **changed):
    return lab_with(the_lab(), languages={"de": Language(name="Deutsch", phrases=phrases, **changed)})


def text_at(*place):
    return next(text for text in texts_of(the_lab()) if text.place == place)


@given(st.lists(st.sampled_from(LINES), max_size=30, unique=True))
def test_what_is_translated_and_nothing_else_is_other_in_a_language(lines):
    lab = lab_in({line: f"Ü{line}" for line in lines})
    told = {text.place: text for text in texts_of(spoken(lab, "de"))}
    for text in texts_of(lab):
        said = told[text.place].lines if text.place in told else text.lines
        assert said == tuple(f"Ü{line}" if text.goes_out and line in lines else line for line in text.lines) or (
            text.place[0] == "requirement"
        )
    assert {text.place for text in untranslated(lab, lab.languages["de"])} == {
        text.place for text in to_translate(lab) if set(text.lines) - {"", *lines}
    }


def test_a_setup_with_other_texts_is_otherwise_the_same():
    lab = the_lab()
    same = with_texts(lab, {text.place: text.words for text in texts_of(lab) if text.place[0] != "requirement"})
    assert same == lab
    other = with_texts(lab, {("types", 0, "name"): "Something"})
    assert other.type_by_id[lab.types[0].id].name == "Something"  # nothing worked out before is kept
    assert other.rules == lab.rules


def test_a_question_is_asked_in_the_language_by_the_rule_that_asked_it():
    own = next(rule for rule in the_lab().rules if rule.id == "colour")
    lab = lab_in({own.question: "Welche Farbe ({appliance})?", own.because: "Geschmackssache.", "upper": "oben"})
    case = a_case("sports-mouthguard")
    bare = case.appliances[0].model_copy(
        update={"options": case.appliances[0].options.model_copy(update={"colour": None})}
    )
    case = case.model_copy(update={"appliances": (bare,)})
    asked = next(each for each in judge(case, lab, KNOWN, case.arrived).findings if each.requirement == "colour")
    said = asked_in(asked, case, Facts(practice=KNOWN), lab, spoken(lab, "de"))
    name = spoken(lab, "de").type_by_id["sports-mouthguard"].name
    assert said == (f"Welche Farbe ({appliance_name(bare, spoken(lab, 'de'))})?", "Geschmackssache.")
    assert name in said[0]
    changed = asked.model_copy(update={"question": "Another wording, of another edition?"})
    assert asked_in(changed, case, Facts(), lab, spoken(lab, "de")) == (changed.question, changed.because)


def test_a_reason_that_is_not_translated_is_told_whole_in_the_laboratory_s_own_words():
    own = next(rule for rule in the_lab().rules if rule.id == "appointment-date")
    lab = lab_in({own.question: "Wann ist der Termin?"})
    case = a_case("wire-retainer", appointment=None)
    asked = next(each for each in judge(case, lab, KNOWN, case.arrived).findings if each.requirement == own.id)
    assert asked_in(asked, case, Facts(), lab, spoken(lab, "de")) == ("Wann ist der Termin?", asked.because)


@pytest.mark.parametrize(
    ("own", "said", "problem"),
    [
        ("Without an answer by {reply_by} we cannot keep the appointment on {appointment}.", "Bis {reply}!", "{reply}"),
        ("Reply slip", "Antwort {x}", "nothing can stand in braces"),
        ("teeth ____", "Zähne", "0 lines to fill in, and the laboratory’s own has 1"),
        ("Yours faithfully", "Gruß {", "a brace too many or too few"),
    ],
)
def test_a_translation_that_could_not_be_printed_is_refused_with_the_reason(own, said, problem):
    (told,) = odd_phrases(lab_in({own: said}))
    assert told.startswith("language “de”, ")
    assert problem in told


def test_what_translates_no_text_of_the_setup_is_told_and_harmless():
    lab = lab_in({"Long gone": "Lange her {x}", "Reply slip": "Antwort"})
    assert list(odd_phrases(lab)) == []
    assert unused(lab, lab.languages["de"]) == ("Long gone",)


@given(st.datetimes(datetime(2000, 1, 1), datetime(2099, 12, 31)))
def test_dates_on_paper_are_those_of_the_screen_until_the_setup_has_others(moment):
    assert DateWords().shown_day(moment.date()) == shown_day(moment.date())
    assert DateWords().shown_moment(moment) == shown_moment(moment)


def test_a_date_has_the_order_of_its_language():
    words = DateWords(
        weekdays=("Mo", "Di", "Mi", "Do", "Fr", "Sa", "So"),
        day="{weekday} {day}.{month_number}.{year}",
        moment="{date} {time}",
    )
    assert words.shown_day(date(2026, 12, 10)) == "Do 10.12.2026"
    assert words.shown_moment(datetime(2026, 12, 10, 9, 5)) == "Do 10.12.2026 09:05"


def test_what_a_requirement_is_called_is_translated_by_its_name():
    assert requirement_in("bite-record", lab_in({"bite record": "Bissregistrat"}), "de") == "Bissregistrat"
    assert requirement_in("bite-record", the_lab(), "de") == "bite record"


@pytest.mark.parametrize(
    ("place", "words", "problem"),
    [
        (("letter", "closing"), "Yours {who}", "“{who}” is not known here; known are count, lab, practice."),
        (("letter", "closing"), "", ""),
        (("letter", "closing"), "Yours, {lab}", ""),
        (("cautions", "allergy"), "", "This cannot be empty"),
        (("words", "dates", "weekdays"), ("Mo", "Di"), "It needs 7 lines, one for each weekday, Monday first."),
        (("words", "ticket", "hold"), "STOP {x}", "“{x}” is not known here; nothing can stand in braces."),
        (("parcels", "sharps"), ("Stop.", "", "Tell."), "A line of the list is empty."),
        (("letter", "answers", "teeth"), (), ""),
    ],
)
def test_a_text_is_checked_while_it_is_typed(place, words, problem):
    told = own_problem(text_at(*place), words)
    assert told.startswith(problem)
    assert bool(told) == bool(problem)


def test_a_list_is_translated_line_by_line():
    text = text_at("letter", "answers", "colour")
    lab = lab_in({})
    assert said_problem(lab, text, ("____", "farblos")) == ""
    assert said_problem(lab, text, ()) == ""
    assert said_problem(lab, text, ("farblos",)).startswith("It has 1 lines, and the laboratory’s own has 2")
    assert "1 lines to fill in" in said_problem(lab, text, ("____", "farblos ____"))
    assert known_words(text) == ""
    assert known_words(text_at("letter", "otherwise")) == "Can stand in it: {appointment}, {reply_by}."
