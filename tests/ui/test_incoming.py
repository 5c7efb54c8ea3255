"""The watched folder, in a running window: what is put there is taken in, moved aside and told."""

from pathlib import Path

import pytest

from intake.desk import incoming as desk_incoming
from intake.desk.letters import write_to
from intake.domain.reply_fields import DATE, NAME, choice_field, line_field, question_key
from intake.inbox.watched import NOT_TAKEN, TAKEN
from intake.resources import demo
from intake.store.arrivals import Arrivals
from intake.store.complaints import StoreBusy
from intake.store.opening import Store
from intake.ui.incoming import Incoming
from intake.ui.jobs import Jobs
from intake.ui.memory import Memory
from intake.ui.news import News
from intake.ui.room import Room
from tests.desk.desks import enter_practices, open_desk
from tests.desk.waiting import booked, question
from tests.documents.filling import filled_by_pypdf

KEY = "QUILLB2"
FIRST = "01-soft-splint-complete.json"


@pytest.fixture
def desk(sqlite_place, tmp_path):
    store = Store.open(sqlite_place)
    enter_practices(store)
    yield open_desk(store, tmp_path)
    store.close()


@pytest.fixture
def problems():
    return []


@pytest.fixture
def room(look, keys, settings, problems):
    jobs = Jobs(problems.append)
    yield Room(look, keys, News(look, keys), jobs, Memory(settings), settings)
    jobs.close()


@pytest.fixture
def incoming(room, tmp_path, qtbot):
    """The folder as it is watched: looked at every hundredth of a second."""
    made = Incoming(room, tmp_path / "incoming", 10, room.news)
    made.told = []
    made.received.connect(made.told.append)
    yield made
    made.stop()


@pytest.fixture
def watching(incoming, desk, tmp_path, qtbot):
    incoming.set_desk(desk)
    qtbot.waitUntil((tmp_path / "incoming").is_dir)
    return incoming


@pytest.fixture
def put(tmp_path):
    """Puts a file into the folder."""

    def put_in(name, content):
        (tmp_path / "incoming" / name).write_bytes(content)

    return put_in


def lying(folder):
    return sorted(path.name for path in Path(folder).iterdir()) if Path(folder).exists() else []


def trouble(room):
    return room.news.trouble_words.text() if not room.news._trouble_row.isHidden() else ""


def test_nothing_is_looked_at_and_no_folder_made_before_the_data_are_open(incoming, tmp_path, qtbot):
    qtbot.wait(50)
    assert not (tmp_path / "incoming").exists()


def test_a_prescription_waits_in_arrivals_and_its_file_is_moved_aside(watching, put, desk, room, tmp_path, qtbot):
    put(FIRST, demo("day", FIRST).read_bytes())
    qtbot.waitUntil(lambda: len(watching.told) == 1)
    assert [row.source_name for row in desk.store.read.arrivals()] == [FIRST]
    assert room.news.words.text() == "1 file taken in."
    assert lying(tmp_path / "incoming" / TAKEN) == [FIRST]
    assert lying(tmp_path / "incoming") == [TAKEN]


def test_a_returned_form_is_told_with_where_it_stands(watching, put, desk, room, qtbot):
    booked(desk, "02")
    (issued,) = write_to(desk, KEY)
    thickness = question_key(question(desk, KEY, "thickness")[1].query_id)
    filled = {NAME: "Dr C. Vantongeren", DATE: "26.11.2026"}
    filled |= {choice_field(thickness): "/0", line_field(thickness, 0, 0): "2"}
    number = issued.document.document_id
    put("reply.pdf", filled_by_pypdf(desk.store.read.pdf(number), filled))
    qtbot.waitUntil(lambda: len(watching.told) == 1)
    assert room.news.words.text() == f"The reply to letter {number}: filled in. It stands in Waiting, F11."
    assert watching.told[0][0].key == KEY


def test_what_is_no_form_is_told_with_the_reason_and_kept_apart(watching, put, room, tmp_path, qtbot):
    put("odd.pdf", b"%PDF-1.4 and nothing more")
    qtbot.waitUntil(lambda: len(watching.told) == 1)
    assert "odd.pdf" in room.news.words.text()
    assert "damaged" in room.news.words.text()
    assert lying(tmp_path / "incoming" / NOT_TAKEN) == ["odd.pdf"]


def test_several_are_taken_one_at_a_time_and_told_together(watching, put, desk, room, qtbot):
    files = sorted(demo("day").glob("0[1-4]-*.json"))
    asked = []
    for file in files:
        put(file.name, file.read_bytes())
    room.jobs.run(lambda: asked.append("a save"))
    qtbot.waitUntil(lambda: len(desk.store.read.arrivals()) == len(files) and not room.jobs.under_way)
    qtbot.waitUntil(lambda: sum(len(told) for told in watching.told) == len(files))
    assert asked


def test_a_store_that_another_desk_holds_is_told_and_the_file_taken_later(
    watching, put, desk, room, tmp_path, qtbot, monkeypatch
):
    refusals = [StoreBusy("Another desk is writing just now; nothing was saved. Do it again in a moment.")] * 2
    add = Arrivals.add

    def moody(self, arrival):
        if refusals:
            raise refusals.pop()
        return add(self, arrival)

    monkeypatch.setattr(Arrivals, "add", moody)
    shown, tell = [], room.news.trouble
    monkeypatch.setattr(room.news, "trouble", lambda *words: shown.append(words[0]) or tell(*words))
    put(FIRST, demo("day", FIRST).read_bytes())
    qtbot.waitUntil(lambda: len(watching.told) == 1)
    assert "Another desk is writing" in shown[0]
    assert trouble(room) == ""
    assert lying(tmp_path / "incoming") == [TAKEN]


def test_a_file_that_breaks_the_reading_is_met_once(watching, put, room, problems, tmp_path, qtbot, monkeypatch):
    calls = []

    def breaks(desk, paths):
        calls.append(paths)
        raise RuntimeError("nobody foresaw this")

    monkeypatch.setattr(desk_incoming, "receive", breaks)
    with qtbot.captureExceptions() as raised:
        put("bad.pdf", b"%PDF-")
        qtbot.waitUntil(lambda: lying(tmp_path / "incoming" / NOT_TAKEN) == ["bad.pdf"])
        qtbot.waitUntil(lambda: not room.jobs.under_way and bool(raised))
        qtbot.wait(60)
    assert len(calls) == 1
    assert [kind for kind, *_ in raised] == [RuntimeError]


def test_a_file_that_cannot_be_moved_aside_is_told_and_taken_once(watching, put, desk, room, tmp_path, qtbot):
    (tmp_path / "incoming" / TAKEN).write_text("a file in the place of the folder")
    put(FIRST, demo("day", FIRST).read_bytes())
    qtbot.waitUntil(lambda: len(watching.told) == 1)
    assert f"{FIRST} cannot be moved" in trouble(room)
    qtbot.wait(60)
    assert len(watching.told) == 1


def test_a_folder_that_cannot_be_made_is_told(room, desk, tmp_path, qtbot):
    (tmp_path / "file").write_text("in the way")
    made = Incoming(room, tmp_path / "file" / "incoming", 10, room.news)
    made.set_desk(desk)
    qtbot.waitUntil(lambda: "cannot be made" in trouble(room))
    made.stop()


def test_closing_leaves_what_lies_there_for_the_next_start(watching, put, room, tmp_path, qtbot):
    watching.stop()
    qtbot.waitUntil(lambda: not room.jobs.under_way)
    put(FIRST, demo("day", FIRST).read_bytes())
    watching.look()
    assert room.jobs.under_way == 0
    assert lying(tmp_path / "incoming") == [FIRST]
