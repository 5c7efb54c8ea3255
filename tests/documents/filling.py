"""Filling in forms with other programs: pypdf writes fields, pdfium clicks and types as in its viewer; pypdf reads."""

import ctypes
from collections.abc import Mapping
from io import BytesIO

import pypdfium2
from PIL import Image
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject
from pypdfium2 import raw


def fields_of(pdf: bytes) -> dict[str, str]:
    """The value of every field by its name, as pypdf reads it; nothing ticked is “/Off”, nothing written is empty."""
    fields = PdfReader(BytesIO(pdf)).get_fields() or {}
    return {name: str(field.get("/V", "")) for name, field in fields.items()}


def filled_by_pypdf(pdf: bytes, values: Mapping[str, str]) -> bytes:
    """The form with fields written by pypdf; the value of a button begins with a stroke."""
    writer = PdfWriter(clone_from=BytesIO(pdf))
    for page in writer.pages:
        here = {name for name in map(_name, page.annotations or ()) if name in values}
        if here:
            given = {name: NameObject(v) if (v := values[name]).startswith("/") else v for name in here}
            writer.update_page_form_field_values(page, given)
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def _name(annotation) -> str:
    widget = annotation.get_object()
    return str(widget.get("/T") or widget["/Parent"]["/T"])


class Viewer:
    """Pdfium's own form engine: the one inside a widely used browser. Use it as a context."""

    def __init__(self, pdf: bytes) -> None:
        self._document = pypdfium2.PdfDocument(pdf)
        self._document.init_forms()
        self._form = self._document.formenv.raw
        self._pages = [self._document[i] for i in range(len(self._document))]
        self._where = _widgets(pdf)

    def __enter__(self) -> "Viewer":
        return self

    def __exit__(self, *problem: object) -> None:
        self._document.close()

    def click(self, name: str, value: str = "") -> None:
        """A press of the left button on a field, or on the button of a row that has this value."""
        page, x, y = self._place(name, value)
        raw.FORM_OnMouseMove(self._form, page, 0, x, y)
        raw.FORM_OnLButtonDown(self._form, page, 0, x, y)
        raw.FORM_OnLButtonUp(self._form, page, 0, x, y)

    def write(self, name: str, text: str) -> None:
        """A click on a field, then a key for each character of the basic plane."""
        self.click(name)
        for character in text:
            raw.FORM_OnChar(self._form, self._place(name)[0], ord(character), 0)
        raw.FORM_ForceToKillFocus(self._form)

    def paste(self, name: str, text: str) -> None:
        """A click on a field, then a text from the clipboard."""
        self.click(name)
        wide = ctypes.create_string_buffer(text.encode("utf-16-le") + b"\0\0")
        pointer = ctypes.cast(wide, ctypes.POINTER(ctypes.c_ushort))
        raw.FORM_ReplaceSelection(self._form, self._place(name)[0], pointer)
        raw.FORM_ForceToKillFocus(self._form)

    def choose(self, name: str, index: int) -> None:
        """A click on a menu, then its item of that place."""
        self.click(name)
        assert raw.FORM_SetIndexSelected(self._form, self._place(name)[0], index, True)
        raw.FORM_ForceToKillFocus(self._form)

    def saved(self) -> bytes:
        """The document as the viewer saves it."""
        out = BytesIO()
        self._document.save(out)
        return out.getvalue()

    def seen(self, dpi: int = 110) -> list[Image.Image]:
        """The pages as the viewer shows them, fields and all."""
        return [page.render(scale=dpi / 72, may_draw_forms=True).to_pil() for page in self._pages]

    def _place(self, name: str, value: str = "") -> tuple[object, float, float]:
        number, x, y = self._where[name, value]
        return self._pages[number].raw, x, y


def _widgets(pdf: bytes) -> dict[tuple[str, str], tuple[int, float, float]]:
    """The page and the middle of every widget, by its field's name and, for the buttons of a row, its value."""
    places = {}
    for number, page in enumerate(PdfReader(BytesIO(pdf)).pages):
        for annotation in page.annotations or ():
            widget = annotation.get_object()
            left, low, right, high = map(float, widget["/Rect"])
            looks = widget["/AP"]["/N"] if "/Parent" in widget else {}
            value = next((look.removeprefix("/") for look in looks if look != "/Off"), "")
            places[_name(annotation), value] = number, (left + right) / 2, (low + high) / 2
    return places
