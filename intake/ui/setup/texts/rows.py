"""The rows of the list of texts, in the lab's own words or in a language."""

from intake.domain.folding import fold
from intake.domain.lab import Lab
from intake.domain.languages import in_language, to_translate, untranslated
from intake.domain.texts import Text, texts_of
from intake.ui.setup.texts.named import heading_of, name_of
from intake.ui.setup.texts.texts_list import TextRow


def rows_of(lab: Lab, language: str | None, only_open: bool) -> list[TextRow]:
    """The texts as they are listed; of a language only what practices read, or what of that is not translated."""
    told = lab.languages.get(language or "")
    texts = tuple(texts_of(lab)) if told is None else untranslated(lab, told) if only_open else to_translate(lab)
    return [_row(text, lab, language) for text in texts if told is not None or not _is_elsewhere(text)]


def _is_elsewhere(text: Text) -> bool:
    """Whether another page has the lab's own words."""
    return text.part in ("rules", "names")


def _row(text: Text, lab: Lab, language: str | None) -> TextRow:
    told, name = lab.languages.get(language or ""), name_of(text, lab)
    words = in_language(text, told.phrases) if told else text.words
    lines = (words,) if isinstance(words, str) else words
    shown = lines[0] if isinstance(words, str) else " · ".join(lines)
    missing = sum(line not in told.phrases for line in text.lines if line) if told else 0
    some = f"{missing} of {len(text.lines)} not translated" if len(text.lines) > 1 else "not translated"
    note = f"{name} · {some}" if missing else name
    found_by = fold(" ".join((heading_of(text), name, *text.lines, *lines)))
    return TextRow(text, heading_of(text), name, shown or "Empty", note, found_by, bool(missing))
