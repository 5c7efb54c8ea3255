"""Text that a spreadsheet takes for text, and never for a formula.

OWASP ASVS 5.0, 1.2.10: a cell that begins with `=`, `+`, `-`, `@`, a tab or NUL gets a single quote in front, in CSV
and in XLSX alike. Carriage return, line feed and the full-width forms of the signs, which some spreadsheets take for
the same, are treated so too (OWASP's page on CSV injection, from memory).
"""

import re

_LIVE = re.compile(r"\s*'*\s*[=+\-@\t\r\n\x00\uff1d\uff0b\uff0d\uff20]")
_CANNOT_BE_KEPT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ufffe\uffff\ud800-\udfff]")
"""What XML 1.0 cannot hold (W3C recommendation, 2.2), and the one control sign more that it advises against."""
_LONGEST = 32_767
"""So many characters a cell of a spreadsheet holds (Microsoft's limits of Excel, from memory)."""


def guarded(text: str) -> str:
    """A text as it is written to a cell: never a formula, with line feeds alone, short enough."""
    if text.isprintable() and text[:1].isalnum() and len(text) < _LONGEST:
        return text  # most are so, and this is told soon
    plain = _CANNOT_BE_KEPT.sub("\ufffd", text.replace("\r\n", "\n").replace("\r", "\n"))[: _LONGEST - 1]
    return f"'{plain}" if _LIVE.match(plain) else plain


def unguarded(text: str) -> str:
    """A text as it was before it was guarded, but for what a cell cannot hold."""
    return text[1:] if text.startswith("'") and _LIVE.match(text[1:]) else text
