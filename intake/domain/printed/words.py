"""All fixed words of what is printed and sent, by the paper that they stand on."""

from intake.domain.case import Frozen
from intake.domain.practice import Words
from intake.domain.printed.dates import DateWords
from intake.domain.printed.form import FormWords, NeedWords
from intake.domain.printed.papers import LetterWords, NoteWords
from intake.domain.printed.ticket import TicketWords
from intake.domain.printed.work import ContentWords, ItemWords, SeenWords, SpeakerWords, WorkWords


class LabelWords(Frozen):
    """What stands on the labels of the lab's own codes."""

    sticker: Words = "To {lab}"
    bench: Words = "Scan this, then the tickets"
    box: Words = "Box {number}"


class PrintedWords(Frozen):
    """The fixed words; what stands in braces in one of the lab's own is what stands so in the word it replaces."""

    dates: DateWords = DateWords()
    ticket: TicketWords = TicketWords()
    letter: LetterWords = LetterWords()
    form: FormWords = FormWords()
    needs: NeedWords = NeedWords()
    note: NoteWords = NoteWords()
    labels: LabelWords = LabelWords()
    work: WorkWords = WorkWords()
    items: ItemWords = ItemWords()
    contents: ContentWords = ContentWords()
    seen: SeenWords = SeenWords()
    speakers: SpeakerWords = SpeakerWords()
