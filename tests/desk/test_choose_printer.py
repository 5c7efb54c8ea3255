"""The printers of tickets and letters, chosen at the desk and kept in the setup."""

from dataclasses import replace

from intake.desk.choose_printer import choose_printers, queues
from intake.resources import demo
from intake.setup.reading import read_setup


def test_the_choice_is_kept_in_the_setup_with_its_comments(desk, tmp_path):
    setup = tmp_path / "setup.toml"
    setup.write_text(demo("lab.toml").read_text(encoding="utf-8"), encoding="utf-8")
    changed = choose_printers(replace(desk, folder=tmp_path), "labels", "office")
    kept = read_setup(setup)
    assert (kept.ticket.queue, kept.letter.queue) == ("labels", "office")
    assert (changed.lab.ticket.queue, changed.lab.letter.queue) == ("labels", "office")
    assert "# what arrives later counts from the next working day" in setup.read_text(encoding="utf-8")


def test_no_printer_is_a_choice_as_well(desk, tmp_path):
    chosen = choose_printers(replace(desk, folder=tmp_path), "labels", None)
    assert chosen.lab.letter.queue is None
    assert read_setup(tmp_path / "setup.toml").letter.queue is None


def test_the_queues_of_the_computer_can_be_chosen(desk):
    assert [queue.name for queue in queues(desk)] == ["printed"]
