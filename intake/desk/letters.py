"""Writes to practices: one letter a day to each, with what was agreed and everything that is still to be asked."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from intake.desk.desk import Desk
from intake.desk.issue import Issued, issue
from intake.desk.mailing import address_of
from intake.desk.ring_list import NOBODY, practice_of_key
from intake.domain.case import NewPractice
from intake.domain.job_number import read_number
from intake.domain.letters_due import is_to_confirm, letter_due, worth_writing
from intake.domain.practice import Practice
from intake.domain.wording import listed
from intake.errors import IntakeError
from intake.store.keys import key_of
from intake.store.rows import AnswerRow, CaseRow, DocumentRow, QueryRow, RingRow
from intake.store.words import Way

UNSENT = ("waiting", "drawn", "failed")


class NothingToAsk(IntakeError):
    """A practice has nothing that a letter could say."""


@dataclass(frozen=True)
class ToWrite:
    """One letter to be written: the practice, what to ask it and what it is to confirm."""

    practice: Practice | NewPractice
    queries: tuple[QueryRow, ...]
    spoken: tuple[AnswerRow, ...] = ()
    reminder: int = 0
    """Which reminder it is; 0 where nothing in it was asked before."""
    why: str = ""


def write_due(desk: Desk, way: Way = "print") -> tuple[Issued, ...]:
    """Writes every letter that is due and hands it on to be printed or sent; one that fails keeps back none."""
    return tuple(_write(desk, due, _way(desk, due, way)) for key in _keys(desk) for due in letters_due(desk, key))


def letters_due(desk: Desk, key: str | None = None) -> tuple[ToWrite, ...]:
    """The letters that are due now, to one practice or to all."""
    keys = [key] if key is not None else _keys(desk)
    return tuple(due for each in keys for whole in _gathered(desk, each) if (due := _due(desk, each, whole)))


def write_to(desk: Desk, key: str, way: Way = "print") -> tuple[Issued, ...]:
    """Writes to a practice now, whether a letter is due or not: all that is open, and what it is to confirm.

    What another letter of today asks already is left out; a letter of today that has not left yet is replaced.
    Practices of one name that are not in the directory get a letter each, to their own address.

    Raises:
        NothingToAsk: there is nothing to write, nobody to write to, or everything was written today.
        AddressMissing: it is to go by e-mail and the directory has no address.
    """
    if way != "print":
        address_of(practice_of_key(desk, key))
    _replace_unsent(desk, key)
    today = _asked_on(desk, key, desk.now().date())
    gathered = [_whole(desk, key, whole, bool(today)) for whole in _gathered(desk, key)]
    written = tuple(_write(desk, due, way) for due in gathered if due.queries or due.spoken)
    if not written:
        raise NothingToAsk(_nothing(desk, key, today))
    return written


def write_to_practice_of(desk: Desk, case_id: int, way: Way = "print") -> Issued:
    """Writes to the practice of a case now, as `write_to` does; the letter that the case is in, or the first."""
    case = desk.store.read.case(case_id)
    if case is None:
        raise NothingToAsk("This case is not here any more.")
    if not isinstance(desk.practice_of(case.case) or case.case.practice, Practice | NewPractice):
        raise NothingToAsk(_nobody(case))
    written = write_to(desk, key_of(case.practice_code, case.practice_name), way)
    of_case = (each for each in written if case_id in _cases_in(desk, each.document.document_id))
    return next(of_case, written[0])


def recipient(desk: Desk, letter_id: int) -> tuple[str, str]:
    """The key and the name of the practice that a letter went to. Raises NothingToAsk where there is no such letter."""
    letter = desk.store.read.document(letter_id)
    if letter is None or letter.kind != "letter":
        raise NothingToAsk(f"There is no letter {letter_id} here. Is it another laboratory’s form?")
    return key_of(letter.practice_code, letter.practice_name), letter.practice_name


def nobody_to_write_to(desk: Desk) -> tuple[str, ...]:
    """A sentence for each case with questions that no letter can ask, since nobody is named to write to."""
    read = desk.store.read
    stray = dict.fromkeys(row.case_id for row in read.ring_rows() if row.practice_code is None)
    cases = read.cases(stray)
    left = [cases[case_id] for case_id in stray]
    nameless = [case for case in left if not isinstance(case.case.practice, NewPractice)]
    return tuple(f"{_numbers(desk, case)}: {_nobody(case)}" for case in nameless)


def _keys(desk: Desk) -> list[str]:
    """The practices that something is open for, by name."""
    names = {row.key: row.practice_name for row in desk.store.read.ring_rows()}
    names |= {answer.key: names.get(answer.key, answer.key) for answer in desk.store.read.spoken()}
    return sorted(names, key=lambda key: (names[key].casefold(), key))


def _gathered(desk: Desk, key: str) -> list[ToWrite]:
    """Everything open for a practice; of names that the directory does not have, for each address by itself."""
    queries, spoken = desk.store.read.practice_queries(key), desk.store.read.spoken(key)
    practice = practice_of_key(desk, key)
    if practice is not None:
        return [ToWrite(practice, queries, spoken)] if queries or spoken else []
    cases = desk.store.read.cases({query.case_id for query in queries} | {answer.case_id for answer in spoken})
    written = {case_id: case.case.practice for case_id, case in cases.items()}
    named = dict.fromkeys(each for each in written.values() if isinstance(each, NewPractice))
    return [
        ToWrite(
            each,
            tuple(query for query in queries if written[query.case_id] == each),
            tuple(answer for answer in spoken if written[answer.case_id] == each),
        )
        for each in named
    ]


def _due(desk: Desk, key: str, whole: ToWrite) -> ToWrite | None:
    """What of it is due in writing now."""
    unwritten = _to_confirm(desk, key, whole)
    letters = tuple(
        letter.created for letter in _letters(desk, key) if desk.store.read.letter_queries(letter.document_id)
    )
    practice = whole.practice if isinstance(whole.practice, Practice) else None
    tries = desk.store.read.attempts(key)
    due = letter_due(_asked(desk, key, whole), letters, tries, len(unwritten), practice, desk.lab, desk.now())
    if due is None:
        return None
    queries = tuple(query for query in whole.queries if query.query_id in due.query_ids)
    return ToWrite(whole.practice, queries, unwritten, due.reminder, due.why)


def _whole(desk: Desk, key: str, whole: ToWrite, today: bool) -> ToWrite:
    """All that is worth writing now; no question where a letter of today asks some."""
    unwritten = _to_confirm(desk, key, whole)
    worth = () if today else worth_writing(_asked(desk, key, whole), desk.lab, desk.now())
    queries = tuple(query for query in whole.queries if query.query_id in worth)
    return ToWrite(whole.practice, queries, unwritten, max((query.letters for query in queries), default=0))


def _to_confirm(desk: Desk, key: str, whole: ToWrite) -> tuple[AnswerRow, ...]:
    """The answers by word of mouth that no letter asked to confirm, or one did long ago."""
    written = {letter.document_id: letter.created for letter in _letters(desk, key)}
    now = desk.now()
    return tuple(each for each in whole.spoken if is_to_confirm(written.get(each.letter_id or 0), desk.lab, now))


def _asked(desk: Desk, key: str, whole: ToWrite) -> tuple[RingRow, ...]:
    """The questions of a letter, as ringing and writing see them."""
    wanted = {query.query_id for query in whole.queries}
    return tuple(row for row in desk.store.read.ring_rows(key) if row.query_id in wanted)


def _write(desk: Desk, due: ToWrite, way: Way) -> Issued:
    practice = due.practice if isinstance(due.practice, Practice) else None
    with desk.work() as work:
        document_id = work.documents.add_letter(
            [query.query_id for query in due.queries],
            [answer.answer_id for answer in due.spoken],
            reason=due.why,
            way=way,
            address=address_of(practice) if way != "print" else "",
            reminder=due.reminder,
        )
        work.commit()
    return issue(desk, document_id)


def _way(desk: Desk, due: ToWrite, wanted: Way) -> Way:
    """By post where a practice has no address for e-mail in the directory."""
    has_address = isinstance(due.practice, Practice) and bool(due.practice.email)
    return wanted if has_address else "print"


def _replace_unsent(desk: Desk, key: str) -> None:
    """Cancels today's letter where it has not left yet: what it asks goes into the one that is written now."""
    unsent = [letter for letter in _letters(desk, key, desk.now().date()) if letter.state in UNSENT]
    if unsent:
        with desk.work() as work:
            for letter in unsent:
                work.documents.cancel_letter(letter.document_id)
            work.commit()


def _letters(desk: Desk, key: str, day: date | None = None) -> tuple[DocumentRow, ...]:
    """The letters to a practice that were not cancelled; of a day only, where one is given."""
    since = datetime(day.year, day.month, day.day) if day else None
    return tuple(row for row in desk.store.read.letters_to(key, since=since) if row.state != "cancelled")


def _asked_on(desk: Desk, key: str, day: date) -> frozenset[int]:
    """The queries that letters of a day ask."""
    letters = _letters(desk, key, day)
    read = desk.store.read
    return frozenset(query_id for letter in letters for query_id, _ in read.letter_queries(letter.document_id))


def _cases_in(desk: Desk, letter_id: int) -> set[int]:
    return {query.case_id for query in desk.store.read.queries_in(letter_id)}


def _nothing(desk: Desk, key: str, today: Iterable[int]) -> str:
    """Why there is nothing to write to a practice."""
    practice = practice_of_key(desk, key)
    name = practice.name if practice else key.removeprefix(NOBODY)
    sent = [letter.document_id for letter in _letters(desk, key, desk.now().date())]
    if sent and today:
        return (
            f"Letter {max(sent)} went to {name} today already, and nobody is written to twice a day. "
            "What came up since goes into tomorrow’s."
        )
    if practice is not None and desk.store.read.practice_queries(key):
        return f"Everything that is open for {name} is promised. What does not come is asked when its day is over."
    if practice is None and desk.store.read.practice_queries(key):
        return "There is no address to write to. Enter the practice with its address first."
    return f"There is nothing to ask {name}."


def _numbers(desk: Desk, case: CaseRow) -> str:
    jobs = [job for job in desk.store.read.jobs_of(case.case_id) if job.state != "withdrawn"]
    return listed([read_number(job.number).shown for job in jobs])


def _nobody(case: CaseRow) -> str:
    if not case.practice_name:
        return "The case names no practice, so there is nobody to write to. Enter the practice first."
    return (
        f"“{case.practice_name}” is not in the directory, so there is no address to write to. "
        "Enter the practice with its address first."
    )
