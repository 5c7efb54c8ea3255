"""Questions to the practice that no rule asks: they came up at a bench or at the desk, and hold the work.

What is made is the prescriber's decision: whoever has a doubt at the bench asks, and nothing is guessed.
"""

from datetime import datetime

from intake.domain.case import Case, Raised
from intake.domain.rulebook import RaisedOpen, Requirement
from intake.domain.wording import listed
from intake.domain.written_dates import shown_day

REQUIREMENT = "raised"
"""The requirement whose finding a raised question becomes, and the place that its answer fills."""
RULE = Requirement(
    id=REQUIREMENT,
    level="stops",
    types="case",
    when=(RaisedOpen(raised=True),),
    question="{question}",
    because="Work on it waits until this is answered.",
)
"""What holds where a setup is older than raised questions and has no rule of its own for them."""


def open_raised(case: Case) -> tuple[Raised, ...]:
    """The raised questions that are not answered yet."""
    return tuple(each for each in case.raised if not each.answer)


def open_question(case: Case) -> str:
    """What is asked: the open question, or all of them, numbered; empty where none is open."""
    asked = [each.question for each in open_raised(case)]
    if len(asked) < 2:
        return "".join(asked)
    return " ".join(f"({number}) {question}" for number, question in enumerate(asked, start=1))


def raised_evidence(case: Case) -> str | None:
    """Where and when the open questions came up; None where none is open."""
    told = dict.fromkeys(
        f"{f'at {each.bench} ' if each.bench else ''}on {shown_day(each.at.date())}" for each in open_raised(case)
    )
    return f"asked {listed(list(told))}" if told else None


def with_raised(case: Case, question: str, by: str, at: datetime, bench: str = "") -> Case:
    """The case with a question raised."""
    raised = Raised(question=" ".join(question.split()), by=by, at=at.replace(microsecond=0), bench=bench)
    return case.model_copy(update={"raised": (*case.raised, raised)})


def without_raised(case: Case, raised: Raised) -> Case:
    """The case without a question that was raised by mistake."""
    return case.model_copy(update={"raised": tuple(each for each in case.raised if each != raised)})


def with_answer(case: Case, answer: str) -> Case:
    """The case with its open questions answered."""
    answered = (each if each.answer else each.model_copy(update={"answer": answer}) for each in case.raised)
    return case.model_copy(update={"raised": tuple(answered)})
