"""The log holds what was done, and no patient."""

import logging
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import IntakeError
from intake.logs import Id, OneLine, writing

logger = logging.getLogger("intake.desk")
PATIENT = "Zaborowska-Prys"


def written(folder, *said):
    """The lines of a log in which each call has been made."""
    with writing(folder) as file:
        for say in said:
            say()
    return file.read_text("utf-8").splitlines()


def test_a_record_is_one_line_with_its_ids_numbers_and_dates(tmp_path):
    (line,) = written(
        tmp_path, lambda: logger.info("Booked %s in %d ms for %s", Id("26 004123 76"), 12, date(2026, 12, 10))
    )
    assert line.endswith(" INFO intake.desk Booked 26 004123 76 in 12 ms for 2026-12-10")


@pytest.mark.parametrize(
    "say",
    [
        lambda: logger.info("Booked %s", PATIENT),
        lambda: logger.info("Booked %(patient)s", {"patient": PATIENT}),
        lambda: logger.info("Booked %s", {"label": PATIENT}),
        lambda: logger.info("Booked %s", [PATIENT]),
        lambda: logger.warning(IntakeError(PATIENT)),
        lambda: logging.getLogger("sqlalchemy.engine").warning("INSERT INTO cases %s", (PATIENT,)),
        lambda: logging.getLogger("elsewhere").error(f"cannot read {PATIENT}"),  # noqa: G004 - what other packages do
    ],
)
def test_text_that_is_not_marked_as_an_id_is_withheld(tmp_path, say):
    (line,) = written(tmp_path, say)
    assert PATIENT not in line


def test_text_in_the_place_of_a_number_leaves_the_sentence_alone():
    record = logger.makeRecord(logger.name, logging.INFO, "x.py", 1, "Booked %d", (PATIENT,), None)
    assert OneLine().format(record).endswith(" Booked %d")


def test_an_exception_is_written_by_its_type_and_place_without_its_words(tmp_path):
    def fail():
        try:
            try:
                raise KeyError(PATIENT)
            except KeyError as error:
                raise IntakeError(f"There is no case of {PATIENT}.") from error
        except IntakeError:
            logger.exception("The case was not booked")

    (line,) = written(tmp_path, fail)
    assert PATIENT not in line
    assert "The case was not booked | IntakeError at test_logs.py:" in line
    assert "| from KeyError at test_logs.py:" in line


def test_an_exception_that_refers_to_itself_in_a_circle_is_written_once(tmp_path):
    def fail():
        try:
            raise ValueError(PATIENT)
        except ValueError as error:
            error.__cause__ = error
            logger.exception("A circle")

    assert len(written(tmp_path, fail)) == 1


@given(text=st.text(), marked=st.text())
def test_no_record_forges_another_line(text, marked):
    # OWASP ASVS 5.0, 16.4.1: log injection.
    record = logger.makeRecord(logger.name, logging.INFO, "x.py", 1, "Took %s and %s", (text, Id(marked)), None)
    assert OneLine().format(record).isprintable()


def test_each_process_writes_a_file_of_its_own_and_old_ones_go(tmp_path):
    for day in range(1, 31):
        (tmp_path / f"intake-202610{day:02d}-080000-1.log").write_text("old")
    with writing(tmp_path) as file:
        logger.info("Started")
    assert file.exists()
    kept = sorted(entry.name for entry in tmp_path.iterdir())
    assert len(kept) == 20
    assert kept[0] == "intake-20261012-080000-1.log"


def test_work_goes_on_without_a_log_where_the_folder_cannot_be_written_to(tmp_path):
    (tmp_path / "logs").write_text("in the way")
    with writing(tmp_path / "logs") as file:
        logger.info("Started")
    assert file is None


def test_nothing_is_left_of_the_log_when_it_ends(tmp_path):
    before = list(logging.getLogger().handlers), logging.getLogger().level
    written(tmp_path, lambda: logger.info("Started"))
    assert (list(logging.getLogger().handlers), logging.getLogger().level) == before
