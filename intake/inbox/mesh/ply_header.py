"""The header of a PLY file: which elements it holds, how many of each, and with which properties."""

import re
from dataclasses import dataclass, field
from typing import Literal

from intake.inbox.mesh.lines import shown
from intake.inbox.mesh.mesh import MeshRefused
from intake.inbox.mesh.surface import HEAD

Order = Literal["", "<", ">"]
"""The byte order; empty for text."""
_TYPES = {
    "char": "i1", "int8": "i1", "uchar": "u1", "uint8": "u1", "short": "i2", "int16": "i2", "ushort": "u2",
    "uint16": "u2", "int": "i4", "int32": "i4", "uint": "u4", "uint32": "u4", "float": "f4", "float32": "f4",
    "double": "f8", "float64": "f8",
}  # fmt: skip
"""The names of 1994 and those that say the size, as numpy writes them."""
_COUNTS = {name: type for name, type in _TYPES.items() if type[0] != "f"}
_ORDERS: dict[str, Order] = {"ascii": "", "binary_little_endian": "<", "binary_big_endian": ">"}
_HEADER = re.compile(rb"ply[ \t]*(\r\n|\n|\r)(.*?)(?<=[\r\n])end_header[ \t]*(?:\1|\r\n|\n|\r|\Z)", re.DOTALL)


@dataclass(frozen=True)
class Property:
    """A number of each element, or a list of them.

    Attributes:
        name: As the header has it.
        type: Of the number, or of those in the list, as numpy writes it, without a byte order.
        counted_in: The type of the list's length; empty where the property is one number.
    """

    name: str
    type: str
    counted_in: str = ""

    @property
    def size(self) -> int:
        """Bytes of one number."""
        return int(self.type[1])


@dataclass(frozen=True)
class Element:
    """A kind of thing, and how many of it follow."""

    name: str
    count: int
    properties: list[Property] = field(default_factory=list)

    @property
    def has_lists(self) -> bool:
        """Whether its elements differ in length."""
        return any(each.counted_in for each in self.properties)

    def place(self, *names: str, is_list: bool = False) -> int:
        """Which of its properties has one of these names.

        Raises:
            MeshRefused: where none has.
        """
        for place, each in enumerate(self.properties):
            if each.name in names and bool(each.counted_in) == is_list:
                return place
        raise MeshRefused(f"The header of the PLY file names no {names[0]} of a {self.name}.")


def read_header(content: bytes) -> tuple[Order, dict[str, Element], int]:
    """The byte order, the elements by their names and in order, and where the first begins.

    Raises:
        MeshRefused: where the header has no end, or a line that cannot be read.
    """
    found = _HEADER.match(content[:HEAD])
    if not found:
        raise MeshRefused("The header of the PLY file has no end.")
    order: Order | None = None
    elements = dict[str, Element]()
    newest = Element("", 0)
    for line in found[2].decode("latin-1").splitlines():
        match line.split():
            case [] | ["comment" | "obj_info", *_]:
                pass
            case ["format", kind, "1.0"] if kind in _ORDERS and order is None:
                order = _ORDERS[kind]
            case ["element", name, count] if re.fullmatch("[0-9]{1,18}", count) and name not in elements:
                elements[name] = newest = Element(name, int(count))
            case ["property", "list", counted_in, type, name] if counted_in in _COUNTS and type in _TYPES:
                newest.properties.append(Property(name, _TYPES[type], _COUNTS[counted_in]))
            case ["property", type, name] if type in _TYPES:
                newest.properties.append(Property(name, _TYPES[type]))
            case _:
                raise MeshRefused(
                    f"The header of the PLY file has a line that cannot be read: {shown(line.encode('latin-1'))}."
                )
    if order is None:
        raise MeshRefused("The header of the PLY file does not say how it is written.")
    return order, elements, found.end()
