"""The text of a query letter: the opening, each case with its questions, the caution and the closing."""

from collections.abc import Sequence
from dataclasses import replace

from intake.documents.blocks import Block, rows, rule, whole
from intake.documents.flow import Group
from intake.documents.fonts import printable, text_width
from intake.documents.letter_content import AgreedAnswer, AgreedCase, Letter, LetterCase, LetterQuestion
from intake.documents.letter_sheet import BODY, SMALL, WIDTH
from intake.documents.paper import MM, Style
from intake.documents.text import at_right, lines, packed
from intake.domain.printed.papers import LetterWords

SUBJECT = Style(12).bold
PATIENT = Style(11).bold
BESIDE = 34 * MM
"""Where what stands beside the labels begins."""
ROOM = WIDTH - BESIDE
MOST_WHOLE = 70 * MM
"""A question or a heading is parted between two pages only if it is higher."""


def letter_text(letter: Letter) -> list[Group]:
    """The groups of the letter itself, without the slip."""
    opening = (
        *lines(letter.subject, SUBJECT, WIDTH),
        *spaced(lines(letter.reminder, BODY.bold, WIDTH), 3 * MM),
        *spaced(lines(letter.opening, BODY, WIDTH), 3 * MM),
    )
    groups = [
        Group("the opening", opening),
        Group("what was agreed", spaced(lines(letter.agreed_opening, BODY, WIDTH), 5 * MM) if letter.agreed else ()),
        *(_agreed(case, letter.words) for case in letter.agreed),
        *(_case(case, letter.words) for case in letter.cases),
        Group("the caution", caution(letter), divider=(rule(WIDTH).after(5 * MM),)),
        Group("the closing", spaced(lines(f"{letter.closing}\n{letter.lab}", BODY, WIDTH), 4 * MM)),
    ]
    return [group for group in groups if group.blocks]


def spaced(blocks: Sequence[Block], space: float) -> tuple[Block, ...]:
    """The blocks with that much space above the first."""
    return (replace(blocks[0], space=space), *blocks[1:]) if blocks else ()


def caution(letter: Letter) -> tuple[Block, ...]:
    """Who decides: printed under the cases and on the slip."""
    return spaced(lines(letter.caution, BODY, WIDTH), 2 * MM)


def case_heading(case: LetterCase | AgreedCase, width: float, numbers: Sequence[str]) -> list[Block]:
    """Whose case it is and what is to be made; job numbers at the right."""
    right = [at_right(number, BODY.bold, width, beside=BODY if i else PATIENT) for i, number in enumerate(numbers)]
    widest = max((text_width(printable(n), BODY.bold.font, BODY.size) + 6 * MM for n in numbers), default=0)
    patient = lines(case.patient, PATIENT, width - widest)
    to_make = case.appliances if isinstance(case, LetterCase) else ()
    return rows((0, [*patient, *packed(to_make, "  ·  ", BODY, width - widest)]), (0, right))


def continued(patient: str, words: LetterWords) -> tuple[Block, ...]:
    """What heads the rest of a case that had to be parted."""
    return tuple(lines(words.continued.format(what=patient), SMALL.bold, WIDTH))


def case_divider() -> tuple[Block, ...]:
    """What parts a case from what stands above it."""
    return (rule(WIDTH).after(5 * MM),)


def agreed_words(answer: AgreedAnswer) -> str:
    """What was agreed, in a line: `Upper hard occlusal splint, thickness: 1.5 mm`."""
    return f"{answer.about}: {answer.says}" if answer.about else answer.says


def agreed_source(answer: AgreedAnswer) -> str:
    """Who said so, and when."""
    return ", ".join(filter(None, (answer.by, answer.on)))


def _agreed(case: AgreedCase, words: LetterWords) -> Group:
    """What was agreed about a case, before anything is asked."""
    heading = spaced(whole(case_heading(case, WIDTH, case.numbers), MOST_WHOLE), 2 * MM)
    blocks = [*heading, *(block for answer in case.answers for block in _agreed_answer(answer, words))]
    return Group(f"what was agreed for {case.patient}", tuple(blocks), continued(case.patient, words), case_divider())


def _agreed_answer(answer: AgreedAnswer, words: LetterWords) -> tuple[Block, ...]:
    said = [*lines(agreed_words(answer), BODY, ROOM), *lines(agreed_source(answer), SMALL, ROOM)]
    return _beside(lines(words.agreed, SMALL, BESIDE - 4 * MM, beside=BODY), said)


def _case(case: LetterCase, words: LetterWords) -> Group:
    appointment = words.appointment.format(appointment=case.appointment)
    facts = [appointment if case.appointment else words.no_appointment]
    facts += [words.arrived.format(arrived=case.arrived)] if case.arrived else []
    heading = [*case_heading(case, WIDTH, case.numbers), *packed(facts, "  ·  ", SMALL, WIDTH)]
    blocks = [
        *spaced(whole(heading, MOST_WHOLE), 2 * MM),
        *(block for question in case.questions for block in _question(question, words)),
        *_reply_by(case, words),
    ]
    return Group(f"the case of {case.patient}", tuple(blocks), continued(case.patient, words), case_divider())


def _question(question: LetterQuestion, words: LetterWords) -> tuple[Block, ...]:
    """The level at the left; the question and, in smaller type, why it is asked."""
    level = SMALL.bold if question.level == "stops" else SMALL
    asked = lines(question.question, BODY, ROOM)
    why = lines(question.reason, SMALL, ROOM)
    return _beside(lines(getattr(words, question.level), level, BESIDE - 4 * MM, beside=BODY), [*asked, *why])


def _reply_by(case: LetterCase, words: LetterWords) -> tuple[Block, ...]:
    label = lines(words.reply_by if case.reply_by else words.otherwise, SMALL, BESIDE, beside=BODY)
    said = [*lines(case.reply_by, BODY.bold, ROOM), *lines(case.otherwise, BODY, ROOM)]
    return _beside(label, said) if said else ()


def _beside(label: list[Block], said: list[Block]) -> tuple[Block, ...]:
    return spaced(whole(rows((0, label), (BESIDE, said)), MOST_WHOLE), 2.4 * MM)
