"""A mesh as the bytes of each format that scans come in, and of the variants that are met."""

import zipfile
from io import BytesIO

import numpy as np

from intake.inbox.mesh.mesh import Mesh

FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
IDENTITY = "1 0 0 0 1 0 0 0 1 0 0 0"
STL_CLASS, OBJ_CLASS = "1.2.840.10008.5.1.4.1.1.104.3", "1.2.840.10008.5.1.4.1.1.104.4"
"""Encapsulated STL and Encapsulated OBJ Storage (DICOM PS3.6, table A-1)."""
CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"


def stl(mesh: Mesh, header: bytes = b"", says: int | None = None, attribute: int = 0) -> bytes:
    """Binary STL; `says` is how many triangles its header is to say instead of the truth."""
    facets = np.zeros(len(mesh.faces), FACET)
    facets["corners"] = mesh.vertices[mesh.faces]
    facets["attribute"] = attribute
    count = len(facets) if says is None else says
    return header[:80].ljust(80, b"\0") + count.to_bytes(4, "little") + facets.tobytes()


def stl_text(mesh: Mesh, name: str = "arch", end: str = "\n") -> bytes:
    """Text STL, with numbers that give a float32 back as it was."""
    lines = [f"solid {name}"]
    for corners in mesh.vertices[mesh.faces].astype(np.float32):
        lines += ["  facet normal 0 0 0", "    outer loop"]
        lines += [f"      vertex {x:.9g} {y:.9g} {z:.9g}" for x, y, z in corners]
        lines += ["    endloop", "  endfacet"]
    return end.join([*lines, f"endsolid {name}", ""]).encode()


def ply(
    mesh: Mesh,
    order: str = "<",
    number: str = "float",
    index: str = "int",
    count: str = "uchar",
    extra: bool = False,
    end: str = "\n",
) -> bytes:
    """PLY: `order` is "<", ">" or "" for text; `extra` adds colours, a quality, and an element that is no surface."""
    kind = {"<": "binary_little_endian", ">": "binary_big_endian", "": "ascii"}[order]
    header = ["ply", f"format {kind} 1.0", "comment made for a test", f"element vertex {len(mesh.vertices)}"]
    header += [f"property {number} {axis}" for axis in "xyz"]
    header += [f"property uchar {colour}" for colour in ("red", "green", "blue")] if extra else []
    header += [f"element face {len(mesh.faces)}", *(["property float quality"] if extra else [])]
    header += [f"property list {count} {index} vertex_indices"]
    header += ["property list uchar float texcoord", "element edge 2", "property int vertex1"] if extra else []
    types = {"float": "f4", "double": "f8", "int": "i4", "uint": "u4", "ushort": "u2", "uchar": "u1"}
    at = [(axis, order + types[number]) for axis in "xyz"] + ([("colour", "u1", (3,))] if extra else [])
    vertices = np.zeros(len(mesh.vertices), at)
    for axis, column in zip("xyz", mesh.vertices.T, strict=True):
        vertices[axis] = column
    columns = [("count", order + types[count]), ("corners", order + types[index], (3,))]
    if extra:
        columns = [("quality", order + "f4"), *columns, ("long", "u1"), ("texcoord", order + "f4", (6,))]
    faces = np.zeros(len(mesh.faces), columns)
    faces["count"], faces["corners"] = 3, mesh.faces
    if extra:
        faces["long"] = 6
    head = "".join(line + end for line in [*header, "end_header"]).encode()
    if order:
        edges = np.zeros(2, order + "i4") if extra else np.zeros(0)
        return head + vertices.tobytes() + faces.tobytes() + edges.tobytes()
    rows = [_words(row) for row in vertices] + [_words(row) for row in faces] + (["0", "0"] if extra else [])
    return head + "".join(row + end for row in rows).encode()


def _words(row: np.void) -> str:
    return " ".join(np.format_float_positional(number, trim="-") for field in row for number in np.atleast_1d(field))


def polygons_ply(points: np.ndarray, polygons: list[list[int]], order: str = "<") -> bytes:
    """PLY with polygons of any number of corners."""
    kind = {"<": "binary_little_endian", ">": "binary_big_endian", "": "ascii"}[order]
    head = f"ply\nformat {kind} 1.0\nelement vertex {len(points)}\nproperty double x\nproperty double y\n"
    head += f"property double z\nelement face {len(polygons)}\nproperty list uchar int vertex_index\nend_header\n"
    if not order:
        rows = [" ".join(map(repr, map(float, point))) for point in points]
        rows += [" ".join(map(str, [len(polygon), *polygon])) for polygon in polygons]
        return (head + "\n".join(rows) + "\n").encode()
    lists = [bytes([len(polygon)]) + np.array(polygon, order + "i4").tobytes() for polygon in polygons]
    return head.encode() + np.asarray(points).astype(order + "f8").tobytes() + b"".join(lists)


def obj(mesh: Mesh, slashes: str = "", backward: bool = False, end: str = "\n") -> bytes:
    """OBJ: `slashes` follows each corner ("/1/1", "//1"); `backward` counts them from the newest vertex."""
    lines = ["# made for a test", "mtllib ../../nowhere.mtl", "o arch"]
    lines += [f"v {x!r} {y!r} {z!r}" for x, y, z in mesh.vertices.tolist()]
    lines += ["vt 0 0", "vn 0 0 1"] if slashes else []
    first = -len(mesh.vertices) if backward else 1
    lines += ["f " + " ".join(f"{row + first}{slashes}" for row in face) for face in mesh.faces.tolist()]
    return end.join([*lines, ""]).encode()


def model(mesh: Mesh, name: int = 1) -> str:
    """An object of a 3MF model."""
    vertices = "".join(f'<vertex x="{x!r}" y="{y!r}" z="{z!r}"/>' for x, y, z in mesh.vertices.tolist())
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in mesh.faces.tolist())
    inside = f"<vertices>{vertices}</vertices><triangles>{faces}</triangles>"
    return f'<object id="{name}" type="model"><mesh>{inside}</mesh></object>'


def threemf(
    objects: str,
    items: str,
    unit: str = 'unit="millimeter"',
    before: str = "",
    part: str = "3D/a.model",
    packing: int = zipfile.ZIP_DEFLATED,
) -> bytes:
    """3MF of the XML of its objects and build items."""
    xml = f'<?xml version="1.0" encoding="UTF-8"?>{before}<model {unit} xmlns="{CORE}"><resources>{objects}</resources>'
    related = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w", packing) as package:
        package.writestr(
            "[Content_Types].xml",
            '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="model" '
            'ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>',
        )
        package.writestr(
            "_rels/.rels",
            '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
            f'<Relationship Target="/{part}" Id="rel0" Type="{related}"/></Relationships>',
        )
        package.writestr(part, f"{xml}<build>{items}</build></model>")
    return packed.getvalue()


def one_part(mesh: Mesh, unit: str = 'unit="millimeter"') -> bytes:
    """3MF of one mesh where it stands."""
    return threemf(model(mesh), '<item objectid="1"/>', unit)


def dicom(document: bytes, sop_class: str = STL_CLASS, unit: str | None = "mm") -> bytes:
    """A DICOM file with a mesh in it, and with a UCUM code for its unit."""
    from pydicom.dataset import Dataset, FileDataset, FileMetaDataset
    from pydicom.uid import ExplicitVRLittleEndian, generate_uid

    meta = FileMetaDataset()
    meta.MediaStorageSOPClassUID, meta.MediaStorageSOPInstanceUID = sop_class, generate_uid(entropy_srcs=["a test"])
    meta.TransferSyntaxUID = ExplicitVRLittleEndian
    file = FileDataset("", {}, file_meta=meta, preamble=b"\0" * 128)
    file.SOPClassUID, file.SOPInstanceUID = meta.MediaStorageSOPClassUID, meta.MediaStorageSOPInstanceUID
    file.PatientName, file.PatientID = "Invented^Patient", "A 1"
    file.MIMETypeOfEncapsulatedDocument = "model/stl" if sop_class == STL_CLASS else "model/obj"
    file.EncapsulatedDocument = document + b"\0" * (len(document) % 2)
    file.EncapsulatedDocumentLength = len(document)
    if unit is not None:
        code = Dataset()
        code.CodeValue, code.CodingSchemeDesignator, code.CodeMeaning = unit, "UCUM", "a unit"
        file.MeasurementUnitsCodeSequence = [code]
    written = BytesIO()
    file.save_as(written, enforce_file_format=True)
    return written.getvalue()
