"""Fields that a PDF viewer fills in, laid over boxes and lines that are printed and a pen can fill.

A field has no ground and no frame of its own: an empty form looks, and is printed, like paper (ISO 32000-1, 12.7).
"""

from dataclasses import dataclass

from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFStream, PDFString
from reportlab.pdfgen.canvas import Canvas

BoxOf = tuple[float, float, float, float]
PRINTED, HIDDEN = 4, 2
"""Flags of an annotation (table 165)."""
READ_ONLY, MULTILINE, RADIO, COMBO, EDIT = 1, 1 << 12, 1 << 15, 1 << 17, 1 << 18
"""Flags of a field (tables 221, 226, 228 and 230)."""
TYPE = "/Helv 0 Tf 0 g"
"""Black, and as large as the line allows."""
TICK = ((0.18, 0.52, "m"), (0.42, 0.2, "l"), (0.86, 0.84, "l"))
"""The corners of a tick, in parts of its box."""


@dataclass(frozen=True)
class TextField:
    """A line to write on, or several; `says` is what a screen reader reads out."""

    name: str
    says: str
    lines: bool = False


@dataclass(frozen=True)
class MenuField:
    """A menu of (what the field keeps, what is shown), in which something else may be written too."""

    name: str
    says: str
    options: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class TickField:
    """A box to tick; boxes of one name are radio buttons, of which the ticked one gives its value."""

    name: str
    says: str
    value: str
    radio: bool = True


Field = TextField | MenuField | TickField


class FormWriter:
    """Puts fields on the pages of a document as they are drawn."""

    def __init__(self, canvas: Canvas, page_height: float) -> None:
        self._canvas, self._height = canvas, page_height
        self._document = canvas._doc
        self._drawn = PDFArray([])
        self.fields: dict[str, str] = {}
        """The names of all fields so far, each with the value that is kept in it, if one is."""
        self._rows: dict[str, tuple[object, PDFArray]] = {}
        """Rows of radio buttons by name: the field, and its buttons so far, on whichever page each stands."""
        self._marks: dict[tuple[float, float, bool], object] = {}
        fonts = {"Helv": _font("Helvetica", Encoding=PDFName("WinAnsiEncoding")), "ZaDb": _font("ZapfDingbats")}
        resources = PDFDictionary({"Font": PDFDictionary(fonts)})
        form = {"Fields": self._drawn, "DR": resources, "DA": PDFString(TYPE)}
        self._document.Catalog.AcroForm = PDFDictionary(form)

    def put(self, what: Field, box: BoxOf) -> None:
        """Put a field over a box of (left, top, width, height) on the page that is being drawn."""
        match what:
            case TextField():
                self._add(what, box, FT=PDFName("Tx"), Ff=MULTILINE * what.lines, DA=PDFString(TYPE))
            case MenuField():
                options = PDFArray([PDFArray([PDFString(kept), PDFString(shown)]) for kept, shown in what.options])
                self._add(what, box, FT=PDFName("Ch"), Ff=COMBO | EDIT, Opt=options, DA=PDFString(TYPE))
            case TickField(radio=True):
                row, buttons = self._rows.get(what.name) or self._new_row(what)
                buttons.sequence.append(self._widget(box, Parent=row, **self._tick(what.value, box)))
            case TickField():
                self._add(what, box, FT=PDFName("Btn"), V=PDFName("Off"), **self._tick(what.value, box))

    def keep(self, name: str, value: str) -> None:
        """Keep a value that no viewer shows and nobody changes, on the page that is being drawn."""
        kept = TextField(name, "")
        self._add(kept, (0, 0, 0, 0), FT=PDFName("Tx"), Ff=READ_ONLY, V=PDFString(value), F=HIDDEN)
        self.fields[name] = value

    def _add(self, what: Field, box: BoxOf, **entries: object) -> None:
        """A field that is its own widget. Raises ValueError for a name that is there already."""
        self._drawn.sequence.append(self._widget(box, **self._named(what), **entries))

    def _new_row(self, what: TickField) -> tuple[object, PDFArray]:
        buttons = PDFArray([])
        kind = {"FT": PDFName("Btn"), "Ff": RADIO, "V": PDFName("Off"), "Kids": buttons}
        row = self._document.Reference(PDFDictionary({**kind, **self._named(what)}))
        self._drawn.sequence.append(row)
        self._rows[what.name] = row, buttons
        return row, buttons

    def _named(self, what: Field) -> dict[str, object]:
        if what.name in self.fields:
            raise ValueError(f"the form has a field {what.name} already")
        self.fields[what.name] = ""
        return {"T": PDFString(what.name), **({"TU": PDFString(what.says)} if what.says else {})}

    def _widget(self, box: BoxOf, **entries: object) -> object:
        x, top, width, height = box
        low = self._height - top - height
        common = {
            "Type": PDFName("Annot"),
            "Subtype": PDFName("Widget"),
            "Rect": PDFArray([round(n, 2) for n in (x, low, x + width, low + height)]),
            "P": self._document.thisPageRef(),
            "F": PRINTED,
        }
        widget = PDFDictionary({**common, **entries})
        self._canvas._addAnnotation(widget)
        return self._document.Reference(widget)

    def _tick(self, value: str, box: BoxOf) -> dict[str, object]:
        """How a button looks: nothing, or a tick."""
        looks = {value: self._mark(box[2], box[3]), "Off": self._mark(box[2], box[3], drawn=False)}
        style = PDFDictionary({"CA": PDFString("4")})  # a viewer that draws by itself takes this ZapfDingbats tick
        look = PDFDictionary({"N": PDFDictionary(looks)})
        return {"AP": look, "AS": PDFName("Off"), "MK": style, "DA": PDFString("/ZaDb 0 Tf 0 g")}

    def _mark(self, width: float, height: float, drawn: bool = True) -> object:
        """A tick that fills its box, as a picture of its own; the same for all boxes of a size."""
        key = (round(width, 2), round(height, 2), drawn)
        if key not in self._marks:
            line = " ".join(f"{width * x:.2f} {height * y:.2f} {step}" for x, y, step in TICK)
            kind = {"Type": PDFName("XObject"), "Subtype": PDFName("Form"), "BBox": PDFArray([0, 0, *key[:2]])}
            stream = PDFStream(PDFDictionary(kind), f"q 0 G {width / 7:.2f} w {line} S Q" if drawn else "")
            self._marks[key] = self._document.Reference(stream)
        return self._marks[key]


def _font(name: str, **entries: object) -> PDFDictionary:
    return PDFDictionary({"Type": PDFName("Font"), "Subtype": PDFName("Type1"), "BaseFont": PDFName(name), **entries})
