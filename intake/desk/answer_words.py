"""An answer in words: who said it, in what role, when, by which way, and who took it down."""

from intake.domain.answer import Authority
from intake.domain.speaking import ROLES, WAYS
from intake.domain.wording import capital, requirement_name
from intake.domain.written_dates import short_day, shown_day, shown_moment
from intake.store.rows import AnswerRow, QueryRow


def requirement_words(requirement: str) -> str:
    """What a requirement asks for, from its id: `Bite record`."""
    return capital(requirement_name(requirement))


def who_says(name: str, authority: Authority) -> str:
    """Who gave an answer and in what role: `Ms Osterby, for the prescriber`."""
    return f"{name.strip()}, {ROLES[authority]}" if name.strip() else capital(ROLES[authority])


def answer_sentence(row: AnswerRow) -> str:
    """One answer as it was given: `Thickness: 1.5 mm, said Ms Osterby, for the prescriber, by telephone, …`."""
    who = who_says(row.speaker, row.authority)
    said = f"{requirement_words(row.requirement)}: {row.answer.says}, said {who}, {WAYS[row.route]}"
    taken = f"{said}, {shown_moment(row.at)}; taken down by {row.who}"
    return f"{taken}.{_since(row)}"


def _since(row: AnswerRow) -> str:
    """What became of an answer."""
    if row.taken_back:
        return " Taken back since."
    if not row.counts and row.kind not in ("promise", "ring-back", "note"):
        return " Kept as a note: it has to come from the prescriber."
    if row.spoken and row.confirmed is None:
        return " Not confirmed in writing yet."
    if row.confirmed is not None and row.spoken:
        return f" Confirmed {row.confirmed_how}, {shown_day(row.confirmed.date())}."
    return ""


def standing_words(query: QueryRow) -> str:
    """How an open question stands: what was promised, or the letter that asked it."""
    if query.expected_on is not None:
        return f"promised for {short_day(query.expected_on)}: {query.expected}"
    if query.letter_id is not None:
        times = "" if query.letters < 2 else f" and {query.letters - 1} before"
        return f"asked in letter {query.letter_id}{times}"
    return ""
