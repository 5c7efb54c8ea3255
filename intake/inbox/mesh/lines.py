"""Text as files of meshes hold it: in lines, a block at a time, and the numbers in it."""

import re
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.mesh import MeshRefused

BLOCK = 250_000
"""Bytes that are worked on at a time. No line is as long: a polygon of 12,000 corners would be."""
UTF_16 = (b"\xff\xfe", b"\xfe\xff")
UTF_8 = b"\xef\xbb\xbf"
_PADDING = b"\0\x1a \t\r\n"
_NO_NUMBER = re.compile(rb"[-+]?(nan\b.*|1\.#.*)", re.DOTALL)
"""How some writers spell what is no number, or infinite."""


def plain(content: bytes) -> tuple[bytes, tuple[str, ...]]:
    """Text without its byte order mark and as UTF-8, with a remark where it was not. What is no text stays as it is."""
    if content.startswith(UTF_8):
        return content[len(UTF_8) :], ()
    if content.startswith(UTF_16):
        even = content[: len(content) // 2 * 2]
        return even.decode("utf-16", "replace").encode("utf-8", "replace"), ("The file is written in UTF-16.",)
    return content, ()


def blocks(content: bytes, start: int = 0) -> Iterator[bytes]:
    """Whole lines, a quarter of a megabyte at a time, in small letters, each line ended by a line feed alone.

    What some writers pad with, or the old end-of-file sign, is no part of the last line.

    Raises:
        MeshRefused: where a line is longer than a block.
    """
    padding = content[-BLOCK:]
    last = len(content) - len(padding) + len(padding.rstrip(_PADDING))
    while start < last:
        end = min(start + BLOCK, last)
        if end < last:
            end = max(content.rfind(b"\n", start, end), content.rfind(b"\r", start, end)) + 1
            if not end:
                raise MeshRefused(f"A line of the file is longer than {BLOCK:,} characters: this is no mesh.")
        block = content[start:end].lower()
        yield block.replace(b"\r\n", b"\n").replace(b"\r", b"\n") if b"\r" in block else block
        start = end


def floats(words: Sequence[bytes]) -> NDArray[np.float64]:
    """Words as numbers. What is spelt as no number or infinite is read as such.

    Raises:
        MeshRefused: where a word is none, with the word.
    """
    if b"_" not in b"".join(words):  # which Python would pass over in a number
        try:
            return np.fromiter(map(float, words), np.float64, len(words))
        except ValueError:
            pass
    return np.array([_float(word) for word in words])


def _float(word: bytes) -> float:
    if b"_" not in word:
        try:
            return float(word)
        except ValueError:
            pass
    if _NO_NUMBER.fullmatch(word):
        return float("nan")
    if re.fullmatch(rb"[-+]?\d+,\d+(e[-+]?\d+)?", word):
        raise MeshRefused(f"The numbers have a decimal comma ({shown(word)}). Export the mesh with decimal points.")
    raise MeshRefused(f"Where a number belongs, the file has {shown(word)}.")


def integers(words: Sequence[bytes]) -> NDArray[np.int64]:
    """Words as whole numbers.

    Raises:
        MeshRefused: where a word is none, with the word, or is larger than any count or row can be.
    """
    if b"_" not in b"".join(words):
        try:
            return np.fromiter(map(int, words), np.int64, len(words))
        except (ValueError, OverflowError):
            pass
    word = next((word for word in words if not re.fullmatch(rb"[-+]?\d{1,18}", word)), b"")
    raise MeshRefused(f"Where the number of a point belongs, the file has {shown(word)}.")


def shown(words: bytes) -> str:
    """The beginning of what stands in a file as it can stand in a sentence, whatever it holds."""
    text = ascii(words[:20].decode("latin-1"))
    return f"{text[:-1]}…{text[-1]}" if len(words) > 20 else text
