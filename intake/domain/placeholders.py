"""Texts with places in braces that are filled in when they are written: which are known, and what is wrong."""

from collections.abc import Collection, Iterator
from string import Formatter


def odd_placeholders(text: str, known: Collection[str]) -> Iterator[str]:
    """What is wrong with the braces of a text, a sentence without its full stop each.

    Args:
        text: The text, such as `Please send the {arch} arch`.
        known: The names that can stand in braces.
    """
    try:
        braces = [brace for brace in Formatter().parse(text) if brace[1] is not None]
    except ValueError:
        yield f"“{text}” has a brace too many or too few"
        return
    for _, name, more, conversion in braces:
        if name not in known:
            others = f"known are {', '.join(sorted(known))}" if known else "nothing can stand in braces"
            yield f"“{{{name}}}” is not known here; {others}"
        elif more or conversion:
            yield f"between the braces of “{{{name}}}” stands the name alone"
