"""The reply slip: what was agreed, and for each case a barcode and its questions to tick and to fill in; who answers.

It is a form that a PDF viewer fills in, wherever its letter has a form's number and its questions have ids.
"""

from collections.abc import Sequence

from intake.documents.blocks import Block, row, rows, rule, stack, whole
from intake.documents.code_128 import QUIET_MODULES, barcode
from intake.documents.fill_in import to_fill, to_tick
from intake.documents.flow import Group
from intake.documents.form_fields import MenuField, TextField, TickField
from intake.documents.letter_content import AgreedAnswer, AgreedCase, Letter, LetterCase, LetterQuestion
from intake.documents.letter_sheet import BODY, SMALL, WIDTH
from intake.documents.letter_text import (
    MOST_WHOLE,
    agreed_source,
    agreed_words,
    case_divider,
    case_heading,
    caution,
    continued,
    spaced,
)
from intake.documents.paper import MM, Pen, Style
from intake.documents.slip_answers import answers, packed_cells
from intake.documents.text import at_right, lines, packed, written
from intake.domain.printed.papers import LetterWords
from intake.domain.reply_fields import (
    DATE,
    NAME,
    ROLE,
    ROLES_TO_TICK,
    agreed_key,
    asks,
    menu_field,
    one_each,
    other_field,
    own_asks,
    question_key,
    words_asked,
)

TITLE = Style(15, leading=1.2).bold
BESIDE = 6 * MM
"""Where what stands beside the numbers of the questions begins."""


def letter_slip(letter: Letter, module: float) -> list[Group]:
    """The groups of the slip, which begins on a page of its own; `module` is the barcodes' narrowest bar in points."""
    return_to = "  ·  ".join(part for part in (letter.lab, *letter.lab_address, letter.telephone, letter.email) if part)
    opening = (
        *lines(letter.words.slip, TITLE, WIDTH),
        *spaced(lines(letter.slip, BODY, WIDTH), 2 * MM),
        *spaced(lines(letter.words.return_to.format(address=return_to), SMALL, WIDTH), 1.5 * MM),
    )
    return [
        Group("the opening of the slip", opening),
        *(_agreed(case, letter, module) for case in letter.agreed),
        *(_case(case, letter.words, module) for case in letter.cases),
        _signature(letter),
    ]


def _case(case: LetterCase, words: LetterWords, module: float) -> Group:
    blocks = [
        *_heading(case, words, module),
        *(block for i, question in enumerate(case.questions, 1) for block in _question(i, question, words)),
    ]
    return Group(f"the slip of {case.patient}", tuple(blocks), continued(case.patient, words), case_divider())


def _agreed(case: AgreedCase, letter: Letter, module: float) -> Group:
    """What was agreed about a case, each answer with a box for yes and one for no."""
    words = letter.words
    asked = (block for answer in case.answers for block in _to_confirm(answer, letter))
    blocks = (*_heading(case, words, module), *asked)
    return Group(f"what was agreed for {case.patient}", blocks, continued(case.patient, words), case_divider())


def _heading(case: LetterCase | AgreedCase, words: LetterWords, module: float) -> tuple[Block, ...]:
    """Whose case it is, beside the barcode of its job."""
    bars = _bars(case, module)
    room = WIDTH - bars.width - 2 * QUIET_MODULES * module
    heading = case_heading(case, room, ())
    if isinstance(case, AgreedCase):
        heading += lines(words.by_word_of_mouth, BODY, room)
    if len(case.numbers) > 1:
        heading += packed([words.jobs.format(number=case.numbers[0]), *case.numbers[1:]], "  ·  ", SMALL, room)
    return spaced(rows((0, whole(heading, MOST_WHOLE)), (WIDTH - bars.width, [bars])), 3 * MM)


def _bars(case: LetterCase | AgreedCase, module: float) -> Block:
    """The barcode, with its digits under it as far as they are a number's."""
    bars = barcode(case.barcode, module, 11 * MM)
    digits = [at_right(case.numbers[0], SMALL, bars.width)] if case.numbers else []
    both = stack([bars, *digits])
    return Block(both.height, both.draw, width=bars.width)


def _question(number: int, question: LetterQuestion, words: LetterWords) -> tuple[Block, ...]:
    """The question, its answers to tick, and a line for any other answer."""
    room, key = WIDTH - BESIDE, question_key(question.id) if question.id else ""
    asked = rows((0, [written(f"{number}", BODY)]), (BESIDE, lines(question.question, BODY, room)))
    said = [*answers(question.answers, key, question.question, room, words.line), _lines(question, words, key, room)]
    kept = [_kept(key, question.question, question.answers, question.own)] if key else []
    return spaced(whole([*asked, *_shifted(said), *kept], MOST_WHOLE), 3 * MM)


def _lines(question: LetterQuestion, words: LetterWords, key: str, room: float) -> Block:
    """A line for any other answer, and one in front of it that is a menu in the form."""
    says = question.question
    other = TextField(other_field(key), f"{says} {words.other_answer}") if key else None
    if not question.menu:
        return to_fill(words.other if question.answers else words.answer, room, other)
    half = (room - 4 * MM) / 2
    chosen = MenuField(menu_field(key), says, tuple((each, each) for each in question.menu)) if key else None
    return row([(0, to_fill(words.choose, half, chosen)), (half + 4 * MM, to_fill(words.other, half, other))])


def _to_confirm(answer: AgreedAnswer, letter: Letter) -> tuple[Block, ...]:
    """An answer that was given by word of mouth, with who gave it, to be confirmed or put right."""
    key, said = agreed_key(answer.id) if answer.id else "", agreed_words(answer)
    offered = _yes_or_no(letter.words)
    kept = [_kept(key, said, offered, _yes_or_no(letter.own) if letter.own else ())] if key else []
    blocks = [
        *lines(said, BODY, WIDTH),
        *lines(agreed_source(answer), SMALL, WIDTH),
        *answers(offered, key, said, WIDTH, letter.words.line),
        *kept,
    ]
    return spaced(whole(blocks, MOST_WHOLE), 3 * MM)


def _yes_or_no(words: LetterWords) -> tuple[str, str]:
    """What can be ticked beside an answer that is to be confirmed: the first confirms it."""
    return words.as_agreed, words.not_so


def _kept(key: str, asked: str, offered: tuple[str, ...], own: tuple[str, ...]) -> Block:
    """What was asked, kept in the form for the one who reads it when it comes back: in the lab's own words too."""

    def keep(pen: Pen, x: float, top: float) -> None:
        pen.keep(asks(key), words_asked(asked, offered))
        if own:
            pen.keep(own_asks(key), one_each(own))

    return Block(0, keep)


def _shifted(blocks: Sequence[Block]) -> list[Block]:
    return [row([(BESIDE, block)]) for block in blocks]


def _signature(letter: Letter) -> Group:
    """Name, role, signature and date, and who decides."""
    half, words = WIDTH / 2 - 4 * MM, letter.words
    name, date = TextField(NAME, words.name), TextField(DATE, words.date)
    signature = row([(0, to_fill(words.signature, half)), (WIDTH / 2 + 4 * MM, to_fill(words.date, half, date))])
    signed = stack([to_fill(words.name, WIDTH, name).after(2 * MM), *_role(words), signature.after(2 * MM)])
    return Group("the signature", (*caution(letter), signed), divider=(rule(WIDTH).after(6 * MM),))


def _role(words: LetterWords) -> list[Block]:
    """On whose word the answers rest, to tick: an answer that changes what is made has to be the prescriber's."""
    told = ((value, getattr(words, value.replace("-", "_"))) for value in ROLES_TO_TICK)
    return packed_cells([to_tick(said, BODY, TickField(ROLE, words.role, value)) for value, said in told], WIDTH)
