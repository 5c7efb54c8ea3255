"""How what was typed was understood, in a line: “Whitening tray, arrived Thu 12 Nov 2026, from Marlowe House”."""

from collections.abc import Iterable, Sequence

from intake.domain.wanted import At, Came, Late, Leaves, Made, Part, Reading, Sent, Standing, Wanted
from intake.domain.written_dates import short_day
from intake.store.folding import squash, words_of
from intake.store.rows import JobRow

_ORDER = (Made, Standing, Late, Came, Leaves, At, Sent)


def understood(wanted: Wanted, jobs: Sequence[JobRow], left_out: Sequence[str] = ()) -> str:
    """What the jobs that were found fit; empty where every word is one of a name or a number, as it was typed."""
    parts = [part for part in wanted.parts if part.typed not in left_out]
    meant = [(part, reading) for part in parts if (reading := _meant(part, jobs))]
    meant.sort(key=lambda each: _ORDER.index(type(each[1])))
    if not meant:
        return ""
    said = [_said(part, reading, jobs) for part, reading in meant]
    named = [part for part in parts if part not in [each for each, _ in meant]]
    line = ", ".join([*said, *_names(named, jobs)])
    return line[:1].upper() + line[1:]


def read_as(read: Iterable[tuple[str, str]], job: JobRow) -> str:
    """What was mistyped in what was typed: “Ashdown for “ashdwon””."""
    return ", ".join(f"{_as_written(word, job) or short_day(job.arrived)} for “{typed}”" for typed, word in read)


def _meant(part: Part, jobs: Sequence[JobRow]) -> Reading | None:
    """What a part means, unless the jobs that were found all have it as words of a name."""
    if not part.readings or (part.words and jobs and all(_is_named(part, job) for job in jobs)):
        return None
    return part.readings[0]


def _said(part: Part, reading: Reading, jobs: Sequence[JobRow]) -> str:
    others = [each.said for each in part.readings if each is not reading]
    if part.words and any(_is_named(part, job) for job in jobs):
        others.append(f"“{part.typed}” as a name or a number")
    return " or ".join((reading.said, *(other[:1].lower() + other[1:] for other in others)))


def _names(parts: Sequence[Part], jobs: Sequence[JobRow]) -> list[str]:
    """The words of names: the practice in full where it is one and the same."""
    practices = {job.practice_name for job in jobs}
    of_practice = [p for p in parts if len(practices) == 1 and _fits(p, words_of(jobs[0].practice_name))]
    others = [f"“{part.typed}”" for part in parts if part not in of_practice]
    return [*([f"from {jobs[0].practice_name}"] if of_practice else []), *others]


def _is_named(part: Part, job: JobRow) -> bool:
    return _fits(part, frozenset().union(*(words_of(text) for text in _texts(job))))


def _fits(part: Part, words: frozenset[str]) -> bool:
    return all(any(word.startswith(squash(typed)) for word in words) for typed in part.words)


def _as_written(word: str, job: JobRow) -> str:
    """A folded word as the job has it."""
    texts = (token.strip(",.;()") for text in _texts(job) for token in text.split())
    return next((text for text in texts if squash(text) == word), word)


def _texts(job: JobRow) -> tuple[str, ...]:
    return (job.patient_label, job.patient_reference, job.practice_name, job.practice_code or "", job.prescriber)
