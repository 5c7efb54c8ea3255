"""An answer of a practice: what is usual for a question, what words say, whether it counts, and the case with it.

Nothing is guessed: what cannot be read gets a sentence, and what only the prescriber can say counts only when it comes
from the prescriber or on the prescriber's behalf. The decision stays with the prescriber, local rules and the licensed
technician.
"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from intake.domain.answer import WRITTEN, Answer, AnswerKind, Speaker
from intake.domain.answer_choices import usual_answers
from intake.domain.answer_fields import MADE, Context, put
from intake.domain.answer_reading import asked_about, read_words
from intake.domain.asked_rules import can_be_standing
from intake.domain.case import Case, Spoken, Waiver
from intake.domain.circumstances import repeated
from intake.domain.form_fields import FormWrong, Said
from intake.domain.lab import Lab
from intake.domain.practice import Practice, StandingInstruction
from intake.domain.speaking import ROLES, WAYS
from intake.domain.verdict import Finding
from intake.domain.written_dates import DateUnclear

_NOT_MADE_WAIVED = ("appointment-date", "appointment-feasible", "name-found-differs")
"""What can be waived without changing what is made."""


@dataclass(frozen=True)
class Choice:
    """An answer that is usual for a question: what to type, and what it means."""

    words: str
    """Complete, or ending in `…` where something has to be typed."""
    shown: str
    kind: AnswerKind


@dataclass(frozen=True)
class AnswerRead:
    """What words say as an answer; without one, `said` has what would be right."""

    answer: Answer | None
    said: Said


def read_answer(
    text: str, question: Finding, case: Case, lab: Lab, practice: Practice | None, now: datetime
) -> AnswerRead:
    """Reads an answer to a question.

    Args:
        text: `1.5`, `a2`, `usual`, `not needed`, `post`, `scan today`, `rings back 14.30`, `always 1`, `- any words`.
        question: The question.
        case: Its case as it stands.
        lab: The lab setup.
        practice: The practice's entry in the directory, if it has one.
        now: The lab's wall clock.
    """
    if not text.strip():
        return AnswerRead(None, Said(""))
    try:
        answer = read_words(text, asked_about(question, case, lab, practice, now))
    except (FormWrong, DateUnclear) as problem:
        return AnswerRead(None, Said(str(problem), wrong=True))
    return AnswerRead(answer, Said(answer.says))


def choices(question: Finding, case: Case, lab: Lab, practice: Practice | None, now: datetime) -> tuple[Choice, ...]:
    """The usual answers to a question, six at most, the likeliest first; each of them reads as it says."""
    offered = []
    for words, shown, kind in usual_answers(asked_about(question, case, lab, practice, now)):
        read = read_answer(words, question, case, lab, practice, now).answer
        if "…" in words or (read is not None and read.kind == kind):
            offered.append(Choice(words, shown or (read.says if read else words), kind))
    return tuple(offered[:6])


def changes_what_is_made(question: Finding, answer: Answer) -> bool:
    """Whether an answer changes what is made, which the prescriber alone decides."""
    if answer.kind == "as-it-is":
        return question.requirement not in _NOT_MADE_WAIVED
    return any(MADE.match(place) for place, _ in answer.sets)


def counts(question: Finding, answer: Answer, speaker: Speaker) -> str:
    """Empty where an answer counts; else the sentence why the question stays open."""
    if answer.kind == "note":
        return "Kept as a note; the question stays open."
    if changes_what_is_made(question, answer) and speaker.authority == "team":
        return "Kept as a note: this has to come from the prescriber, or on the prescriber’s behalf."
    return ""


def is_spoken(question: Finding, answer: Answer, speaker: Speaker) -> bool:
    """Whether an answer counts but has to be confirmed in writing: it changes what is made and was only said."""
    return (
        changes_what_is_made(question, answer)
        and not counts(question, answer, speaker)
        and speaker.route not in WRITTEN
    )


def apply(
    case: Case,
    question: Finding,
    answer: Answer,
    speaker: Speaker,
    lab: Lab,
    practice: Practice | None,
    now: datetime,
) -> Case:
    """The case as an answer makes it; the same where it changes nothing or does not count.

    What was waived or said before about other questions stays; what was said before about this one gives way.
    Raises FormWrong where the case no longer has what the answer is about.
    """
    if counts(question, answer, speaker) or answer.kind in ("promise", "ring-back", "note"):
        return case
    said = (_spoken(question, answer, speaker, now.date()),) if is_spoken(question, answer, speaker) else ()
    if _takes_away(question, answer):
        return _without(case, question.appliance, lab, said)
    after = _filled(case, answer, Context(lab, practice, now))
    if answer.kind == "as-it-is":
        waiver = Waiver(
            requirement=question.requirement, appliance=question.appliance, by=speaker.name, note=answer.says
        )
        others = tuple(each for each in after.waived if not _is_about(each, question))
        after = after.model_copy(update={"waived": (*others, waiver)})
    earlier = tuple(each for each in after.spoken if not _is_about(each, question))
    return after.model_copy(update={"spoken": (*earlier, *said)})


def confirmed(case: Case, spoken: Collection[Spoken]) -> Case:
    """The case once answers by word of mouth are confirmed in writing."""
    return case.model_copy(update={"spoken": tuple(each for each in case.spoken if each not in spoken)})


def spoken_of(case: Case, requirement: str, appliance: int | None, says: str, by: str) -> tuple[Spoken, ...]:
    """What stands on a case as spoken of an answer, wherever its appliance stands by now."""
    alike = [each for each in case.spoken if (each.requirement, each.says, each.by) == (requirement, says, by)]
    in_place = [each for each in alike if each.appliance == appliance]
    return tuple(in_place or alike)


def can_stand(question: Finding, lab: Lab) -> bool:
    """Whether the rule book takes a standing instruction for a requirement."""
    return can_be_standing(question.requirement, lab)


def standing_of(
    question: Finding, answer: Answer, speaker: Speaker, case: Case, lab: Lab, today: date
) -> StandingInstruction:
    """The standing instruction that an answer is to become: for this kind of appliance, with its source."""
    kind = case.appliances[question.appliance].type if question.appliance is not None else None
    return StandingInstruction(
        requirement=question.requirement,
        types=(kind,) if kind else (),
        says=f"{answer.says} unless stated",
        since=today,
        source=_source(speaker),
    )


def disinfected_always(speaker: Speaker, today: date) -> StandingInstruction:
    """The practice's statement that everything it sends is disinfected before it is packed.

    A blanket statement to the laboratory is a way that guidance for practices names (SDCEP practice support manual).
    """
    return StandingInstruction(
        requirement="hygiene-status",
        says="Everything we send is disinfected before it is packed",
        since=today,
        source=_source(speaker),
    )


def _filled(case: Case, answer: Answer, context: Context) -> Case:
    for place, text in answer.sets:
        case = put(case, place, text, context)
    return case


def _takes_away(question: Finding, answer: Answer) -> bool:
    """Whether an appliance that stands twice is wanted once."""
    return (f"appliances[{question.appliance}]", "") in answer.sets


def _without(case: Case, index: int | None, lab: Lab, said: tuple[Spoken, ...]) -> Case:
    """The case without an appliance that stands there twice; what was said of the later ones moves with them.

    One that is not there twice stays, whatever a question that is out of date says of it. What was said about the one
    that goes is kept as said of the case as a whole.
    """
    if index is None or index not in repeated(case, lab):
        return case
    appliances = case.appliances[:index] + case.appliances[index + 1 :]
    kept: dict[str, Any] = {
        name: tuple(_moved(each, index) for each in getattr(case, name) if each.appliance != index)
        for name in ("waived", "spoken")
    }
    about_case = (each.model_copy(update={"appliance": None}) for each in said)
    kept["spoken"] = tuple(dict.fromkeys((*kept["spoken"], *about_case)))
    return case.model_copy(update={"appliances": appliances, **kept})


def _moved(each: Waiver | Spoken, index: int) -> Waiver | Spoken:
    if each.appliance is None or each.appliance < index:
        return each
    return each.model_copy(update={"appliance": each.appliance - 1})


def _is_about(each: Waiver | Spoken, question: Finding) -> bool:
    return (each.requirement, each.appliance) == (question.requirement, question.appliance)


def _spoken(question: Finding, answer: Answer, speaker: Speaker, today: date) -> Spoken:
    return Spoken(
        requirement=question.requirement,
        appliance=question.appliance,
        says=answer.says,
        by=speaker.name,
        on=today,
    )


def _source(speaker: Speaker) -> str:
    return f"{speaker.name}, {ROLES[speaker.authority]}, {WAYS[speaker.route]}"
