"""Keeps a returned form once, with what kind of return it is: nothing that is unclear is taken by itself."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from intake.desk.check import fingerprint_of
from intake.desk.desk import Desk
from intake.desk.reply_lines import KINDS
from intake.domain.reply_fields import Filled
from intake.inbox.reply_form import ReplyRead, read_reply
from intake.store.keys import key_of
from intake.store.rows import NewReply, ReplyRow
from intake.store.words import ReplyKind


@dataclass(frozen=True)
class ReplyKept:
    """A returned form as it was kept."""

    reply_id: int
    key: str
    kind: ReplyKind
    said: str
    already: bool


def is_returned_form(desk: Desk, content: bytes, name: str) -> bool:
    """Whether a file says by its own number that it answers a letter of this laboratory."""
    return read_reply(content, name, desk.store.read.pdf).letter_id is not None


def keep_reply(desk: Desk, content: bytes, name: str) -> ReplyKept:
    """Keeps a returned form, once; the same file again is the same form."""
    fingerprint = fingerprint_of(content)
    before = desk.store.read.reply_of(fingerprint)
    if before is not None:
        return ReplyKept(before.reply_id, before.key or "", before.kind, _told(before), already=True)
    read = read_reply(content, name, desk.store.read.pdf)
    letter = desk.store.read.document(read.letter_id) if read.letter_id is not None else None
    kind, problem = _kind(desk, read, letter is not None and letter.kind == "letter")
    known = letter is not None and letter.kind == "letter"
    key = key_of(letter.practice_code, letter.practice_name) if letter is not None and known else None
    reply = NewReply(
        fingerprint=fingerprint,
        kind=kind,
        source_name=name,
        letter_id=read.letter_id if known else None,
        key=key,
        problem=problem,
        content=_content(read),
        file=content,
    )
    with desk.work() as work:
        kept = work.replies.add(reply)
        work.commit()
    row = desk.store.read.reply(kept.reply_id)
    assert row is not None
    return ReplyKept(kept.reply_id, key or "", kind, _told(row), kept.already)


def _kind(desk: Desk, read: ReplyRead, known: bool) -> tuple[ReplyKind, str]:
    """What kind of return it is, and why a person has to look at it."""
    if read.kind == "unreadable" or read.letter_id is None:
        return "unreadable", read.problem or "Nothing on it says which letter it answers."
    if not known:
        return "other-case", f"There is no letter {read.letter_id} here. Is it another laboratory’s form?"
    if read.kind != "form":
        return read.kind, read.problem
    earlier = [row for row in desk.store.read.replies_to(read.letter_id) if row.kind in ("form", "again")]
    if earlier:
        same = any(_same_answers(row.content, _content(read)) for row in earlier)
        what = "with the same answers" if same else "with other answers"
        return "again", f"This form came back before, {what}. Nothing is taken by itself: look at both."
    if not any(query.state == "open" for query in desk.store.read.queries_in(read.letter_id)):
        return "form", "Everything that it asks was answered meanwhile."
    return "form", ""


def _content(read: ReplyRead) -> dict[str, Any]:
    """What was read, to be kept as it was."""
    return {
        "answers": {str(query_id): _plain(filled) for query_id, filled in read.answers.items()},
        "agreed": {str(answer_id): _plain(filled) for answer_id, filled in read.agreed.items()},
        "name": read.name,
        "role": read.role,
        "date": read.date,
    }


def _plain(filled: Filled) -> dict[str, Any]:
    return {"choice": filled.choice, "text": filled.text, "other": filled.other, "problem": filled.problem}


def _same_answers(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return all(one.get(part) == other.get(part) for part in ("answers", "agreed"))


def _told(row: ReplyRow) -> str:
    letter = f"The reply to letter {row.letter_id}" if row.letter_id else row.source_name
    return f"{letter}: {row.problem or KINDS[row.kind]}"
