"""The page Texts in a real window, by keys alone."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from intake.setup.reading import setup_of


@pytest.fixture
def person(open_setup):
    return open_setup("setup-texts")


def find(person, text):
    """Goes to the field above, looks for a text, and opens the first that fits."""
    person.page.find_field.setFocus()
    person.press("Ctrl+A").type(text).press("Down", "Return")
    return person.page


def new_language(person, short):
    """Begins a language in the dialog that Ctrl+N opens; after it the window is the one in front again."""
    person.press("Ctrl+N").type(short).press("Return")
    person.window.activateWindow()
    return person.wait().page


def test_a_text_is_found_checked_while_it_is_typed_and_kept_with_enter(person):
    page = find(person, "closing")
    assert page.editor.own.hasFocus()
    assert page.editor.told.text() == "Can stand in it: {count}, {lab}, {practice}."
    person.press("Ctrl+A").type("Greetings from {labb}")
    assert page.editor.own_wrong.text() == "“{labb}” is not known here; known are count, lab, practice."
    person.press("Return")
    assert page.editor.own.toPlainText() == "Greetings from {labb}"  # what is refused stays typed
    assert not person.draft.is_changed
    person.press("Backspace", "Backspace").type("}").press("Return")
    assert page.editor.own_wrong.isHidden()
    assert person.draft.lab.letter.closing == "Greetings from {lab}"
    assert page.preview.about.text().startswith("The letter of an example. Page ")
    assert page.preview.sheet.mark is not None
    person.press("F8")
    assert person.draft.lab.letter.closing == "With kind regards from reception"


def test_esc_leaves_what_is_half_typed_then_the_text_then_what_was_looked_for(person):
    page = find(person, "under 18")
    person.press("Ctrl+A").type("Never.").press("Escape")
    assert page.editor.own.words == person.draft.lab.cautions.under_18
    person.press("Escape")
    assert page.list.hasFocus()
    person.press("Escape")
    assert page.find_field.text() == ""
    assert not person.draft.is_changed


def test_a_list_is_changed_line_by_line_and_kept_when_the_field_is_left(person):
    page = find(person, "slip working arch")
    assert page.list.row.text.place == ("letter", "answers", "working-arch")
    person.press("Ctrl+End", "Return").type("as the models show").press("Tab")
    assert person.draft.lab.letter.answers["working-arch"][-1] == "as the models show"


def test_a_language_is_begun_translated_and_taken_out_again(person):
    page = new_language(person, "de")
    language = person.draft.lab.languages["de"]
    assert language.name == "Deutsch"
    assert language.phrases["Thu"].startswith("Do")  # weekdays and months are known
    assert page.language == "de"
    assert "of 3" in page.said.text()
    assert "No practice is written to in it." in page.said.text()
    find(person, "please reply by fixed")
    assert page.editor.said.hasFocus()
    person.type("Antwort bis").press("Return")
    assert person.draft.lab.languages["de"].phrases["Please reply by"] == "Antwort bis"
    find(person, "answers teeth")
    person.type("Zahn").press("Tab")
    assert "0 lines to fill in" in page.editor.said_wrong.text()
    assert "teeth ____" not in person.draft.lab.languages["de"].phrases
    person.press("Shift+Tab", "Ctrl+End").type(" ____").press("Tab")
    assert person.draft.lab.languages["de"].phrases["teeth ____"] == "Zahn ____"
    find(person, "thickness how thick mouthguard")
    assert page.editor.own.isHidden()  # the rule book has a page of its own
    assert "page Rule book" in page.editor.told.text()
    person.press("Escape", "Ctrl+Shift+D")
    assert person.draft.lab.languages == {}
    assert page.language is None


def test_only_what_is_not_translated_is_listed_where_that_is_wanted(person):
    page = new_language(person, "fr")
    page.only_open.setFocus()
    person.press("Space")
    find(person, "fixed letter page of")
    assert page.list.row.text.place == ("words", "letter", "page")
    person.type("Page {page} sur {pages}").press("Return")
    assert page.list.row is None or page.list.row.text.place != ("words", "letter", "page")
    assert setup_of(person.draft.text, Path("setup.toml")) == person.draft.lab


def test_a_short_name_that_is_none_is_refused_and_stays_typed(person):
    person.press("Ctrl+N").type("Q 1").press("Tab").type("Quenya").press("Return")
    dialog = QApplication.activeModalWidget()
    assert "is no short name" in dialog.wrong.text()
    assert dialog.short.text() == "Q 1"
    person.press("Escape")
    assert person.draft.lab.languages == {}
