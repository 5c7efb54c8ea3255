"""A mesh that travels in a DICOM file: Encapsulated STL and Encapsulated OBJ (DICOM PS3.3, A.85), with its unit.

The unit is in the Measurement Units Code Sequence (PS3.3, C.35.1), a UCUM code that every such file must have. Nothing
else is read: what names a patient is passed over unread.
"""

import re
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

from intake.inbox.mesh.lines import plain
from intake.inbox.mesh.mesh import MeshRefused, Unit
from intake.inbox.mesh.obj import read_obj
from intake.inbox.mesh.stl import is_text, is_whole, read_stl, read_stl_text
from intake.inbox.mesh.surface import HEAD, Surface

if TYPE_CHECKING:
    from pydicom import Dataset

STL, OBJ = "1.2.840.10008.5.1.4.1.1.104.3", "1.2.840.10008.5.1.4.1.1.104.4"
"""SOP classes (PS3.6, table A-1)."""
_DEFLATED = b"1.2.840.10008.1.2.1.99"
"""The transfer syntax whose data set is compressed: it could unpack to anything."""
_HOLDS_A_MESH = re.compile(rb"1\.2\.840\.10008\.5\.1\.4\.1\.1\.104\.[34](?![0-9.])")
_UNITS: dict[str, Unit] = {"um": "um", "mm": "mm", "cm": "cm", "m": "m", "[in_i]": "inch", "[ft_i]": "foot"}
"""UCUM codes: the first four are those of CID 7063, Model Scale Unit."""
_TAGS = ["SOPClassUID", "MeasurementUnitsCodeSequence", "EncapsulatedDocument", "EncapsulatedDocumentLength"]


def is_dicom(head: bytes) -> bool:
    """Whether a file is a DICOM file (PS3.10, 7.1), of whatever kind."""
    return head[128:132] == b"DICM"


def holds_a_mesh(head: bytes) -> bool:
    """Whether a DICOM file says at its beginning that it holds an STL or OBJ file."""
    return is_dicom(head) and _HOLDS_A_MESH.search(head[:4_096]) is not None


def read_dicom(content: bytes) -> Surface:
    """Reads the mesh out of a DICOM file.

    Raises:
        MeshRefused: and nothing else, whatever the file holds.
    """
    if _DEFLATED in content[:4_096]:
        raise MeshRefused("The DICOM file is compressed, which is not read here. Ask for it uncompressed.")
    try:
        from pydicom import dcmread  # slow to import, and seldom needed

        dataset = dcmread(BytesIO(content), specific_tags=list(_TAGS))
        kind, mesh, code = str(dataset.get("SOPClassUID", "")), _document(dataset), _unit_code(dataset)
    except (MeshRefused, MemoryError):
        raise
    except Exception as error:  # the DICOM reader raises whatever it likes on a damaged file
        raise MeshRefused(f"The DICOM file is damaged and cannot be read ({type(error).__name__}).") from None
    surface = _surface(kind, mesh)
    unit = _UNITS.get(code)
    remarks = () if unit else (f"The DICOM file does not state a unit that is known: {code!a}.",)
    if not code:
        remarks = ("The DICOM file states no unit, although the standard requires one.",)
    return replace(surface, unit=unit, remarks=surface.remarks + remarks)


def _document(dataset: "Dataset") -> bytes:
    """The file inside, without the byte that makes its length even."""
    document = dataset.get("EncapsulatedDocument")
    if not isinstance(document, bytes) or not document:
        raise MeshRefused("The DICOM file holds no mesh.")
    length = dataset.get("EncapsulatedDocumentLength")
    return document[:length] if isinstance(length, int) and len(document) - 1 <= length <= len(document) else document


def _unit_code(dataset: "Dataset") -> str:
    """The UCUM code of the unit; empty where there is none."""
    for item in dataset.get("MeasurementUnitsCodeSequence") or ():
        if str(item.get("CodingSchemeDesignator", "")).strip() == "UCUM":
            return str(item.get("CodeValue", "")).strip()[:16]
    return ""


def _surface(kind: str, mesh: bytes) -> Surface:
    if kind not in (STL, OBJ):
        raise MeshRefused("The DICOM file holds no mesh.")
    if kind == STL and (is_whole(mesh[:HEAD], len(mesh)) or not is_text(mesh[:HEAD])):
        return read_stl(mesh)
    text, remarks = plain(mesh)
    surface = read_obj(text) if kind == OBJ else read_stl_text(text)
    return replace(surface, remarks=surface.remarks + remarks)
