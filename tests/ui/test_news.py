import pytest
from PySide6.QtGui import QAccessible

from intake.ui.news import News

HOSTILE = "<b>Smith</b> & Sons"


@pytest.fixture
def news(qtbot, look, keys):
    news = News(look, keys)
    qtbot.addWidget(news)
    news.show()
    return news


def test_news_takes_the_place_of_older_news(news):
    news.tell("Booked in: 26 004123 76.")
    news.tell("Booked in: 26 004124 73.")
    assert news.words.text() == "Booked in: 26 004124 73."


def test_news_does_not_hide_what_is_wrong(news):
    news.trouble("The queue is stopped.", "queue")
    news.tell("Booked in.")
    assert news.trouble_words.isVisible()
    assert news.trouble_words.text() == "The queue is stopped."


def test_newer_trouble_of_the_same_kind_takes_the_place_of_the_older(news):
    news.trouble("1 ticket waits.", "queue")
    news.trouble("2 tickets wait.", "queue")
    assert news.trouble_words.text() == "2 tickets wait."


def test_trouble_of_another_kind_is_counted(news):
    news.trouble("The queue is stopped.", "queue")
    news.trouble("The folder cannot be read.", "folder")
    assert news.trouble_words.text() == "The folder cannot be read. (1 more)"
    news.settle("folder")
    assert news.trouble_words.text() == "The queue is stopped."
    news.settle("queue")
    assert not news.trouble_words.isVisible()


def test_trouble_shows_what_puts_it_right_with_its_key(news, keys, qtbot):
    action = keys.action("send-again")
    news.trouble("The queue is stopped.", "queue", action)
    assert news.trouble_button.text() == "Send the waiting tickets again  F9"
    with qtbot.waitSignal(action.triggered):
        news.trouble_button.click()


def test_undo_is_offered_with_its_key_until_it_is_withdrawn(news, keys):
    taken_back = []
    news.offer_undo("Booked in.", lambda: taken_back.append("case"))
    assert news.undo_button.text() == "Undo  F8"
    news.tell("Something else.")
    news.trouble("Something wrong.", "other")
    assert news.undo_button.isVisible()
    keys.action("undo").trigger()
    assert taken_back == ["case"]
    assert not news.undo_button.isVisible()


def test_undo_happens_once(news, keys):
    taken_back = []
    news.offer_undo("Booked in.", lambda: taken_back.append("case"))
    news.undo()
    news.undo()
    assert taken_back == ["case"]
    assert not keys.action("undo").isEnabled()


def test_undo_ends_with_the_next_save(news):
    news.offer_undo("Booked in.", lambda: pytest.fail("withdrawn"))
    news.withdraw_undo()
    news.undo()


def test_an_undo_may_offer_another(news):
    news.offer_undo("One.", lambda: news.offer_undo("Two.", lambda: None))
    news.undo()
    assert news.undo_button.isVisible()


def test_text_from_outside_stays_as_it_is_written(news):
    news.tell(HOSTILE)
    news.trouble(HOSTILE, "x")
    assert news.words.text() == news.trouble_words.text() == HOSTILE


def test_news_is_announced_to_screen_readers(news, monkeypatch):
    said = []
    monkeypatch.setattr(
        QAccessible, "updateAccessibility", lambda event: said.append((event.message(), event.politeness()))
    )
    news.tell("Booked in.")
    news.trouble("The queue is stopped.", "queue")
    news.trouble("The queue is stopped.", "queue")
    polite, assertive = QAccessible.AnnouncementPoliteness.Polite, QAccessible.AnnouncementPoliteness.Assertive
    assert said == [("Booked in.", polite), ("The queue is stopped.", assertive)]


def test_an_undo_that_outlives_its_news_says_what_it_takes_back(news):
    news.offer_undo("Saved: 26 004123 76.", lambda: None, "26 004123 76")
    news.tell("The scan was not taken.")
    assert news.undo_button.text() == "Undo: 26 004123 76  F8"


def test_what_is_no_longer_so_is_taken_back_unless_something_else_was_said_since(news):
    news.tell("Nothing is missing.")
    news.no_longer("Nothing is missing.")
    assert news.words.text() == ""
    news.tell("Saved.")
    news.no_longer("Nothing is missing.")
    assert news.words.text() == "Saved."
