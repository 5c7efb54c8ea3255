"""PLY, text and binary of either byte order: G. Turk, The PLY Polygon File Format, 1994.

Vertices have x, y and z; faces a list of rows of the vertices. All else that the header names is passed over.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain, islice
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.lines import blocks, floats, integers
from intake.inbox.mesh.mesh import MeshRefused
from intake.inbox.mesh.ply_header import Element, read_header
from intake.inbox.mesh.surface import CUT_SHORT, MOST_POINTS, TRAILING, Points, Rows, Surface, fans, refuse_too_many

Lists = tuple[Rows, NDArray[np.int64]]
"""Lists one after another, and the length of each."""
_CUT = f"{CUT_SHORT}: its header says that it holds more than it does."
_NOTHING: Lists = (np.empty(0, np.int32), np.empty(0, np.int64))
_MOST_WORDS = 50_000
"""So many words of a text file are held at a time."""


def read_ply(content: bytes) -> Surface:
    """Reads a PLY file.

    Raises:
        MeshRefused: where its header cannot be read, it has no faces, or it holds less than its header says.
    """
    order, elements, start = read_header(content)
    _refuse_no_surface(elements)
    if max(each.count for each in elements.values()) > len(content):
        raise MeshRefused(_CUT)
    refuse_too_many(max(each.count for each in elements.values()), elements["face"].count)
    body = _Binary(content, start, order) if order else _Text(content, start)
    points: Points = np.empty((0, 3))
    faces: Rows = np.empty((0, 3), np.int32)
    for name, element in elements.items():
        if not element.count:
            continue
        if name == "vertex":
            points = body.numbers(element, [element.place(axis) for axis in "xyz"])
        elif name == "face":
            faces = fans(*body.lists(element, element.place("vertex_indices", "vertex_index", is_list=True)))
        elif element.has_lists:
            body.lists(element, None)
        else:
            body.numbers(element, [])
    return Surface(points, faces, remarks=(TRAILING,) if body.goes_on() else ())


def _refuse_no_surface(elements: dict[str, Element]) -> None:
    if "vertex" not in elements or not elements["vertex"].count:
        raise MeshRefused("The PLY file has no vertices.")
    if "face" not in elements or not elements["face"].count:
        what = "strips of triangles, which are not read" if "tristrips" in elements else "points, but no faces"
        raise MeshRefused(f"The PLY file has {what}.")
    if elements["vertex"].has_lists:
        raise MeshRefused("The PLY file has lists in its vertices, which are not read.")


@dataclass
class _Binary:
    """The elements of a binary file, one kind after another."""

    content: bytes
    at: int
    order: Literal["<", ">"]

    def goes_on(self) -> bool:
        return self.at < len(self.content)

    def numbers(self, element: Element, columns: list[int]) -> Points:
        """Some columns of an element that has no lists, (n, columns)."""
        types = [self.order + each.type for each in element.properties]
        rows = self._rows(np.dtype([(str(place), type) for place, type in enumerate(types)]), element.count)
        kept = {element.properties[column].type for column in columns}
        points = np.empty((element.count, len(columns)), np.float32 if kept <= {"f4"} else np.float64)
        for place, column in enumerate(columns):
            points[:, place] = rows[str(column)]
        return points

    def lists(self, element: Element, wanted: int | None) -> Lists:
        """The lists of one property, or nothing where none is wanted."""
        start = self.at
        if found := self._alike(element, wanted):
            return found
        self.at = start
        return self._one_by_one(element, wanted)

    def _rows(self, type: np.dtype[np.void], count: int) -> NDArray[np.void]:
        """So many elements of one length."""
        start, self.at = self.at, self.at + count * type.itemsize
        if self.at > len(self.content):
            raise MeshRefused(_CUT)
        return np.frombuffer(self.content, type, count, start) if type.itemsize else np.empty(count, type)

    def _alike(self, element: Element, wanted: int | None) -> Lists | None:
        """All lists at once, where each is as long as that of the first element; None where one is not."""
        start, fields = self.at, list[tuple[str, str, tuple[int, ...]]]()
        for place, each in enumerate(element.properties):
            length: tuple[int, ...] = ()
            if each.counted_in:
                fields.append((f"length {place}", self.order + each.counted_in, ()))
                length = (self._length(each.counted_in),)
            fields.append((str(place), self.order + each.type, length))
            self._pass_over(each.size * (length[0] if length else 1))
        self.at, type = start, np.dtype(fields)
        if element.count * type.itemsize > len(self.content) - start:
            return None
        rows = self._rows(type, element.count)
        if any((rows[name] != rows[name][0]).any() for name in type.names or () if name.startswith("length")):
            return None
        if wanted is None:
            return _NOTHING
        found = rows[str(wanted)]
        return _as_rows(found.reshape(-1)), np.full(len(rows), found.shape[1])

    def _one_by_one(self, element: Element, wanted: int | None) -> Lists:
        flat, counts = bytearray(), list[int]()
        for _ in range(element.count):
            for place, each in enumerate(element.properties):
                length = self._length(each.counted_in) if each.counted_in else 1
                start = self.at
                self._pass_over(length * each.size)
                if place == wanted:
                    flat += self.content[start : self.at]
                    counts.append(length)
        if wanted is None:
            return _NOTHING
        return _as_rows(np.frombuffer(flat, self.order + element.properties[wanted].type)), np.array(counts, np.int64)

    def _length(self, type: str) -> int:
        """The length of a list."""
        start = self.at
        self._pass_over(int(type[1]))
        order: Literal["little", "big"] = "little" if self.order == "<" else "big"
        length = int.from_bytes(self.content[start : self.at], order, signed=type[0] == "i")
        if length < 0:
            raise MeshRefused("A list in the PLY file has a negative length.")
        return length

    def _pass_over(self, size: int) -> None:
        self.at += size
        if self.at > len(self.content):
            raise MeshRefused(_CUT)


class _Text:
    """The elements of a text file: words, wherever its lines end."""

    def __init__(self, content: bytes, start: int) -> None:
        self._words: Iterator[bytes] = chain.from_iterable(block.split() for block in blocks(content, start))

    def goes_on(self) -> bool:
        return next(self._words, None) is not None

    def numbers(self, element: Element, columns: list[int]) -> Points:
        """Some columns of an element that has no lists, (n, columns)."""
        width, parts = len(element.properties), [np.empty((0, len(columns)))]
        rows = max(_MOST_WORDS // max(width, 1), 1)
        for start in range(0, element.count if width else 0, rows):
            words = self._take(min(rows, element.count - start) * width)
            if columns:
                parts.append(np.stack([floats(words[column::width]) for column in columns], axis=1))
        return np.concatenate(parts)

    def lists(self, element: Element, wanted: int | None) -> Lists:
        """The lists of one property, or nothing where none is wanted."""
        words, counts, parts = list[bytes](), list[int](), [np.empty(0, np.int32)]
        for _ in range(element.count):
            for place, each in enumerate(element.properties):
                taken = self._take(self._length() if each.counted_in else 1)
                if place == wanted:
                    words += taken
                    counts.append(len(taken))
            if len(words) > _MOST_WORDS:
                parts.append(_as_rows(integers(words)))
                words = []
        return np.concatenate([*parts, _as_rows(integers(words))]), np.array(counts, np.int64)

    def _length(self) -> int:
        (word,) = self._take(1)
        if not word.isdigit() or len(word) > 9:
            raise MeshRefused("A list in the PLY file has a length that is no number, or negative.")
        if int(word) > _MOST_WORDS:
            raise MeshRefused("A list in the PLY file is longer than any face.")
        return int(word)

    def _take(self, count: int) -> list[bytes]:
        words = list(islice(self._words, count))
        if len(words) < count:
            raise MeshRefused(_CUT)
        return words


def _as_rows(numbers: NDArray[np.generic]) -> Rows:
    """Rows of the vertices."""
    if numbers.dtype.kind == "f":
        raise MeshRefused("The PLY file numbers its vertices in fractions.")
    if len(numbers) and (numbers.min() < 0 or numbers.max() > MOST_POINTS):
        raise MeshRefused("A face names a vertex that is not in the file.")
    return numbers.astype(np.int32)
