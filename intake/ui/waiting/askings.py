"""Everything on a call card that the desk can type into, in the order to say it."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from intake.domain.answer import Speaker
from intake.domain.answering import can_stand, counts, is_spoken, read_answer
from intake.domain.form_fields import Said
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.speaking import speaker_words
from intake.domain.written_dates import DateUnclear
from intake.ui.waiting.asking import (
    Asking,
    Confirm,
    Offer,
    Read,
    RingBack,
    SetAside,
    StillHolds,
    TakeAnswer,
    TakeReply,
    WithdrawStanding,
    nothing_read,
)

if TYPE_CHECKING:
    from intake.desk.call_card import CardCase, CardQuestion, SpokenLine, StandingLine
    from intake.desk.replies import ReplyAgreed, ReplyAnswer, ReplyCard
    from intake.ui.waiting.asked import Reply, Shown

TO_CONFIRM = "To be confirmed in writing."
PAPERS = (("by letter", "letter"), ("by e-mail", "e-mail"), ("on the reply form", "form"))
"""By which paper something was confirmed, and what is typed for it."""
RING_BACK, AT_END = "ring-back", "end"


def askings(shown: "Shown", lab: Lab, now: datetime) -> tuple[Asking, ...]:
    """What is on a card, in order: returned forms, the questions case by case, confirmations, standing instructions."""
    card = shown.card
    asked = tuple(
        _question(case, question, card.practice, lab, now) for case in card.cases for question in case.questions
    )
    return (
        *(_reply(reply) for reply in shown.replies),
        *asked,
        *(_spoken(line) for line in card.spoken),
        *(_standing(line) for line in card.standing),
    )


def ring_back(practice: str, now: datetime) -> Asking:
    """When to ring a practice back."""
    return Asking(
        id=RING_BACK,
        about=practice,
        words="When shall we ring back?",
        read=partial(_read_ring_back, now=now),
        offers=(
            Offer("30 min", "in 30 minutes"),
            Offer("14:00", "at 14:00"),
            Offer("tomorrow 9", "tomorrow at 9:00"),
            Offer("no time", "no time was said"),
        ),
    )


def at_end(practice: str, notes: Sequence[str], left: int) -> Asking:
    """What stands there once everything was gone through."""
    words = "Everything is asked." if not left else f"Gone through; {left} left without an answer."
    return Asking(AT_END, practice, words, nothing_read, notes=tuple(notes))


def settled(asking: Asking) -> Asking:
    """A question that was settled while an answer to it was being typed."""
    said = Read(Said("This is settled by now. Page Down goes on; what you typed was not taken down.", wrong=True))
    return replace(asking, read=lambda text, speaker: said, offers=(), is_settled=True)


def question_id(query_id: int) -> str:
    """The id of the question that a query asks."""
    return f"question-{query_id}"


def _question(case: "CardCase", question: "CardQuestion", practice: Practice | None, lab: Lab, now: datetime) -> Asking:
    finding = question.finding
    made = f"{case.patient}, {', '.join(case.appliances)}" if case.appliances else case.patient
    return Asking(
        id=question_id(question.query_id),
        about=made,
        words=f"{question.about}{finding.question}",
        read=partial(_read_answer, case=case, question=question, practice=practice, lab=lab, now=now),
        because=finding.because,
        notes=tuple(filter(None, (question.standing, *question.earlier))),
        offers=tuple(Offer(each.words, each.shown) for each in question.choices),
        level=finding.level,
        needs_speaker=True,
        may_stand=practice is not None and can_stand(finding, lab),
    )


def _read_answer(
    text: str,
    speaker: Speaker,
    case: "CardCase",
    question: "CardQuestion",
    practice: Practice | None,
    lab: Lab,
    now: datetime,
) -> Read:
    read = read_answer(text, question.finding, case.case, lab, practice, now)
    if read.answer is None:
        return Read(read.said)
    why_not = counts(question.finding, read.answer, speaker)
    aside = why_not or (TO_CONFIRM if is_spoken(question.finding, read.answer, speaker) else "")
    said = Said(_sentences(read.said.text, aside), read.said.wrong)
    return Read(said, TakeAnswer(question.query_id, read.answer))


def _reply(reply: "Reply") -> Asking:
    card = reply.card
    take = (Offer("take", "take every answer that can be read"),) if card.can_take else ()
    who = speaker_words(card.speaker) or "Nobody signed it by name."
    return Asking(
        id=f"reply-{card.reply_id}",
        about=f"A returned form, {card.letter}",
        words=card.problem or "A form came back. Take it as it stands?",
        read=partial(_read_reply, card=card),
        because=f"{who} {f'Dated {card.date}.' if card.date else ''}".strip(),
        notes=(*map(_answer_words, card.answers), *map(_agreed_words, card.agreed)),
        offers=(*take, Offer("aside", "set it aside, it is read")),
        picture=reply.picture,
    )


def _answer_words(answer: "ReplyAnswer") -> str:
    """One question of the form: what is written there, how it was read, and what stands meanwhile."""
    written = f"“{answer.written}”, {answer.read.said.text}" if answer.written else "nothing written"
    return " ".join(filter(None, (f"{answer.patient}: {answer.question} → {written}", answer.now)))


def _agreed_words(agreed: "ReplyAgreed") -> str:
    said = (
        "confirmed" if agreed.confirms else f"not confirmed: “{agreed.written}”" if agreed.written else "not confirmed"
    )
    return f"{agreed.patient}: agreed {agreed.says} → {said}"


def _read_reply(text: str, speaker: Speaker, card: "ReplyCard") -> Read:
    typed = text.strip().casefold()
    if typed in ("aside", "set aside"):
        return Read(Said("Set aside: it is kept, and nothing is taken from it."), SetAside(card.reply_id))
    if typed not in ("take", "yes", "y"):
        return Read(Said("Type take or aside, or pass on with Enter while the field is empty.", wrong=True))
    if not card.can_take:
        said = "It cannot be taken as it is. Type what it says at its questions, by letter; then set it aside."
        return Read(Said(said, wrong=True))
    return Read(Said("Every answer that can be read is taken down; the others stay open."), TakeReply(card.reply_id))


def _spoken(line: "SpokenLine") -> Asking:
    return Asking(
        id=f"spoken-{'-'.join(map(str, line.answer_ids))}",
        about=line.patient,
        words=f"{line.says}. Confirmed in writing?",
        read=partial(_read_confirmed, line=line),
        because=f"Said by {line.by}.",
        notes=(line.written,),
        offers=tuple(Offer(typed, f"confirmed {how}") for how, typed in PAPERS),
    )


def _read_confirmed(text: str, speaker: Speaker, line: "SpokenLine") -> Read:
    typed = text.strip().casefold()
    found = [how for how, begins in PAPERS if typed and (begins.startswith(typed) or how.startswith(typed))]
    if len(found) != 1:
        return Read(Said("Type letter, e-mail or form: the paper that confirms it.", wrong=True))
    return Read(Said(f"Confirmed {found[0]}."), Confirm(line.answer_ids, found[0]))


def _standing(line: "StandingLine") -> Asking:
    return Asking(
        id=f"standing-{line.index}",
        about=line.about,
        words=f"{line.says}. Does it still hold?",
        read=partial(_read_standing, line=line),
        because=line.since,
        notes=tuple(filter(None, (line.review,))),
        offers=(Offer("holds", "it holds on"), Offer("withdrawn …", "no longer, and why")),
        level="warns" if line.overdue else None,
    )


def _read_standing(text: str, speaker: Speaker, line: "StandingLine") -> Read:
    first, _, rest = text.strip().partition(" ")
    if first.casefold() in ("holds", "yes", "y") and not rest:
        return Read(Said("It holds on, and is gone through again in time."), StillHolds(line.index))
    if first.casefold().rstrip(":") == "withdrawn":
        reason = rest.strip()
        if not reason:
            return Read(Said("Type the reason behind it: it stands in the history.", wrong=True))
        return Read(Said(f"Withdrawn from today on: {reason}."), WithdrawStanding(line.index, reason))
    return Read(Said("Type holds, or withdrawn and the reason.", wrong=True))


def _read_ring_back(text: str, speaker: Speaker, now: datetime) -> Read:
    from intake.desk.tries import read_ring_back  # the desk brings the database: only once there is a card
    from intake.domain.written_dates import shown_moment

    if text.strip().casefold() == "no time":
        return Read(Said("They ring back, no time said."), RingBack(None))
    try:
        when = read_ring_back(text, now)
    except DateUnclear as unclear:
        return Read(Said(str(unclear), wrong=True))
    return Read(Said(f"Ring back {shown_moment(when)}."), RingBack(when))


def _sentences(said: str, aside: str) -> str:
    if not aside:
        return said
    return f"{said if said.endswith(('.', '?', '!')) else f'{said}.'} {aside}"
