"""Which letters are due to a practice: what they ask, which reminder they are, and why.

All moments are the lab's wall clock. Every figure is a choice of the lab's setup; common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.ringing import Asked, Standings, Tried, standings, time_to_write, working_days_on
from intake.domain.wording import counted


@dataclass(frozen=True)
class Due:
    """A letter that is due: the questions that it asks, which reminder it is, and why it is written."""

    query_ids: tuple[int, ...]
    reminder: int
    why: str


def letter_due(
    asked: Sequence[Asked],
    letters: Sequence[datetime],
    tries: Sequence[Tried],
    spoken: int,
    practice: Practice | None,
    lab: Lab,
    now: datetime,
) -> Due | None:
    """The letter that is due to a practice now; None where there is none.

    What was never asked in writing is due at once, or only when ringing did not help, as the setup has it; what a
    letter asked in vain is due again, as a reminder, when its working days are over. Nothing is asked twice on one day.
    A letter that confirms what was agreed by word of mouth goes out the same day, whatever else was written.

    Args:
        asked: The open questions.
        letters: When letters with questions were written to it.
        tries: The tries to reach it.
        spoken: How many answers by word of mouth no letter has asked to confirm.
        practice: Its entry in the directory, if it has one.
        lab: The lab setup.
        now: The lab's wall clock.
    """
    by_moment = standings(lab, now)
    written_today = any(letter.date() == now.date() for letter in letters)
    due = [] if written_today else [each for each in asked if _may_be_written(each, asked, tries, lab, by_moment)]
    if not due and not spoken:
        return None
    reminder = max((each.letters for each in due), default=0)
    return Due(
        tuple(each.query_id for each in due), reminder, _why_written(due, tries, reminder, spoken, lab, by_moment)
    )


def worth_writing(asked: Sequence[Asked], lab: Lab, now: datetime) -> tuple[int, ...]:
    """What a letter that a person asks for now is to ask: what no letter asked, or one asked in vain.

    Where that is nothing, everything that a letter of another day asks, as an early reminder. What is promised is
    waited for, and what a letter of today asks is not asked again.
    """
    by_moment = standings(lab, now)
    open_ones = [each for each in asked if by_moment.of(each) != "promised"]
    unwritten = [each for each in open_ones if each.letter_on is None or by_moment.is_old(each.letter_on)]
    earlier = [each for each in open_ones if each.letter_on is not None and each.letter_on.date() != now.date()]
    return tuple(each.query_id for each in unwritten or earlier)


def is_to_confirm(letter_on: datetime | None, lab: Lab, now: datetime) -> bool:
    """Whether a spoken answer that is not confirmed is to stand in a letter now.

    It is when no letter asked to confirm it, and again when the newest one that did (`letter_on`) has had the setup's
    working days.
    """
    return letter_on is None or now.date() > working_days_on(letter_on.date(), lab.ringing.confirm_within_days, lab)


def _may_be_written(
    each: Asked, asked: Sequence[Asked], tries: Sequence[Tried], lab: Lab, by_moment: Standings
) -> bool:
    if by_moment.of(each) == "promised":
        return False
    if each.letter_on is not None:
        return by_moment.is_old(each.letter_on)
    if lab.letter.first == "at-once":
        return True
    due = [one for one in asked if by_moment.of(one) in ("due", "overdue")]
    return bool(time_to_write(due, tries, lab, by_moment))


def _why_written(
    due: Sequence[Asked], tries: Sequence[Tried], reminder: int, spoken: int, lab: Lab, by_moment: Standings
) -> str:
    if reminder:
        return f"reminder {reminder}"
    if due:
        return time_to_write(due, tries, lab, by_moment)
    return f"to confirm {counted(spoken, 'answer')} by word of mouth"
