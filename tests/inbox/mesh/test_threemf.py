"""3MF as it comes, whole and damaged: 3MF Core Specification 1.3 and its example of a package."""

import random
import zipfile
import zlib
from io import BytesIO

import numpy as np
import pytest

from intake.inbox.mesh.formats import HEAD, is_mesh, read_mesh
from intake.inbox.mesh.mesh import Mesh, MeshRefused
from tests.scans.arches import arch
from tests.scans.writers import model, one_part, threemf

ARCH = arch("lower", 1_500)
# A tetrahedron of volume 1 / 6, its outside outward.
TETRAHEDRON = Mesh(
    np.array([(0.0, 0, 0), (1, 0, 0), (0, 1, 0), (0, 0, 1)]),
    np.array([(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)], np.int32),
)


def volume(mesh):
    a, b, c = mesh.vertices[mesh.faces.T]
    return (np.cross(a, b) * c).sum() / 6


def refused(content):
    with pytest.raises(MeshRefused) as caught:
        read_mesh(content)
    return str(caught.value)


@pytest.mark.parametrize(
    ("stated", "unit"),
    [
        ('unit="micron"', "um"),
        ('unit="millimeter"', "mm"),
        ('unit="centimeter"', "cm"),
        ('unit="inch"', "inch"),
        ('unit="foot"', "foot"),
        ('unit="meter"', "m"),
        ("", "mm"),
    ],
)
def test_the_unit_that_a_file_states_is_read_and_millimetres_where_it_states_none(stated, unit):
    """Section 3.4: the values of `unit`, and its default."""
    read = read_mesh(one_part(ARCH, stated))
    assert read.unit == unit
    assert np.array_equal(read.mesh.vertices[read.mesh.faces], ARCH.vertices[ARCH.faces])


def test_a_part_stands_where_its_matrix_puts_it():
    """Section 3.3: row by row, for points as rows; the last three numbers are the shift."""
    item = '<item objectid="1" transform="0 2 0 -1 0 0 0 0 3 10 20 30"/>'
    mesh = read_mesh(threemf(model(TETRAHEDRON), item)).mesh
    expected = TETRAHEDRON.vertices @ [[0, 2, 0], [-1, 0, 0], [0, 0, 3]] + [10, 20, 30]
    assert np.array_equal(mesh.vertices[mesh.faces], expected[TETRAHEDRON.faces])


def test_components_are_placed_within_what_places_them():
    """Section 4.2: the matrix of a component acts first, then that of whatever holds it."""
    shifted, turned = "1 0 0 0 1 0 0 0 1 5 0 0", "0 1 0 -1 0 0 0 0 1 0 0 0"
    pair = f'<component objectid="1"/><component objectid="1" transform="{shifted}"/>'
    objects = model(TETRAHEDRON) + f'<object id="2"><components>{pair}</components></object>'
    whole = f'<component objectid="2" transform="{turned}"/>'
    objects += f'<object id="3"><components>{whole}</components></object>'
    mesh = read_mesh(threemf(objects, '<item objectid="3" transform="2 0 0 0 2 0 0 0 2 0 0 1"/>')).mesh
    assert len(mesh.faces) == 8
    assert volume(mesh) == pytest.approx(2 * 8 / 6)
    assert mesh.vertices.min(axis=0).tolist() == [-2, 0, 1]
    assert mesh.vertices.max(axis=0).tolist() == [0, 12, 3]


def test_a_mirrored_part_is_not_inside_out():
    """Section 3.3: a negative determinant must not change the sign of the volume."""
    mesh = read_mesh(threemf(model(TETRAHEDRON), '<item objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/>')).mesh
    assert mesh.vertices[:, 0].min() == -1
    assert volume(mesh) == pytest.approx(1 / 6)


def test_only_what_is_built_counts():
    """Section 3.4.3: what no item references must not be output."""
    other = Mesh(TETRAHEDRON.vertices + 50, TETRAHEDRON.faces)
    mesh = read_mesh(threemf(model(TETRAHEDRON) + model(other, 2), '<item objectid="1"/>')).mesh
    assert mesh.vertices.max() == 1
    assert refused(threemf(model(TETRAHEDRON), "")) == "The file holds no triangles."


def test_a_model_is_found_by_its_relationship_or_where_it_usually_lies():
    """Section 2.1: the part that the package relationship names."""
    for part in ("3D/3dmodel.model", "3D/upper arch.model"):
        content = threemf(model(TETRAHEDRON), '<item objectid="1"/>', part=part)
        assert is_mesh(content[:HEAD], len(content)) == "3mf"
        assert len(read_mesh(content).mesh.faces) == 4
    without = BytesIO()
    with zipfile.ZipFile(without, "w") as package, zipfile.ZipFile(BytesIO(content)) as whole:
        package.writestr("3D/3dmodel.model", whole.read("3D/upper arch.model"))
    assert len(read_mesh(without.getvalue()).mesh.faces) == 4


def test_what_an_extension_adds_is_passed_over_and_what_needs_one_is_refused():
    """Section 2.3.1: what requires an extension that is not supported must not be processed."""
    material = 'xmlns:m="http://schemas.microsoft.com/3dmanufacturing/material/2015/02"'
    colours = '<m:colorgroup id="9"><m:color color="#ffffff"/></m:colorgroup><m:vertex x="9" y="9" z="9"/>'
    content = threemf(colours + model(TETRAHEDRON), '<item objectid="1"/>', f"{material} recommendedextensions='m'")
    assert len(read_mesh(content).mesh.faces) == 4
    needing = threemf(colours + model(TETRAHEDRON), '<item objectid="1"/>', f"{material} requiredextensions='m'")
    assert refused(needing) == "The 3MF file needs an extension of 3MF that is not read here. Export it without."


ENTITIES = '<!DOCTYPE m [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;">]>'
ELSEWHERE = '<!DOCTYPE m [<!ENTITY a SYSTEM "file:///etc/hostname">]>'


@pytest.mark.parametrize(
    "before", [ENTITIES, ELSEWHERE, "<!DOCTYPE model>", '<!DOCTYPE m SYSTEM "http://example.com/m.dtd">']
)
def test_a_document_type_is_refused(before):
    """Section 2.3.2: DTD content must not be used, and should be treated as an error."""
    content = threemf(model(TETRAHEDRON), '<item objectid="1"/>', before=before)
    assert refused(content) == "The 3MF file has a document type in its XML, which 3MF does not allow."


def test_a_file_that_unpacks_to_far_more_than_it_is_is_refused():
    bomb = threemf(model(TETRAHEDRON), '<item objectid="1"/>' + " " * 50_000_000)
    assert len(bomb) < 60_000
    assert refused(bomb) == "The 3MF file unpacks to far more than a mesh can be."


@pytest.mark.parametrize("tag", ["<!--", '<metadata name="', "<?note "])
def test_a_tag_without_an_end_is_refused(tag):
    noise = random.Random(1).randbytes(6_000_000).hex()
    content = threemf(model(TETRAHEDRON), f'<item objectid="1"/>{tag}{noise}')
    assert refused(content) == "The 3MF file has a tag in its XML that is longer than any."


def test_parts_that_multiply_without_end_are_refused():
    objects = model(TETRAHEDRON)
    for name in range(2, 60):
        twice = f'<component objectid="{name - 1}"/>' * 2
        objects += f'<object id="{name}"><components>{twice}</components></object>'
    assert refused(threemf(objects, '<item objectid="59"/>')) == "The 3MF file is made of more parts than any scan."


def test_a_model_of_more_objects_than_any_scan_is_refused():
    empty = "".join(f'<object id="{name}"/>' for name in range(2, 20_000))
    sentence = "The 3MF file is made of more parts than any scan."
    assert refused(threemf(model(TETRAHEDRON) + empty, '<item objectid="1"/>')) == sentence
    content = threemf(model(TETRAHEDRON), '<item objectid="1"/>')
    entry = content[content.index(b"PK\x01\x02") :][:60]
    assert refused(content + entry * 10_001) == sentence


def test_points_that_multiply_without_triangles_are_refused():
    many = "".join(f'<vertex x="{x}" y="1" z="2"/>' for x in range(4_000))
    object_ = model(TETRAHEDRON).replace("</vertices>", many + "</vertices>")
    items = '<item objectid="1"/>' * 9_000
    assert refused(threemf(object_, items)).startswith("The file holds more than")


def test_an_object_does_not_go_on_behind_the_build():
    objects = model(TETRAHEDRON)
    late = '<item objectid="1"/><vertex x="900" y="900" z="900"/><triangle v1="0" v2="1" v3="4"/>'
    assert len(read_mesh(threemf(objects, late)).mesh.faces) == 4


def test_parts_within_parts_a_thousand_deep_are_read_or_refused_but_never_crash():
    objects = model(TETRAHEDRON)
    for name in range(2, 3_000):
        objects += f'<object id="{name}"><components><component objectid="{name - 1}"/></components></object>'
    assert refused(threemf(objects, '<item objectid="2999"/>')).startswith("The 3MF file")


@pytest.mark.parametrize(
    ("objects", "items", "sentence"),
    [
        (model(TETRAHEDRON), '<item objectid="7"/>', "The 3MF file is damaged and cannot be read (KeyError)."),
        (model(TETRAHEDRON) * 2, '<item objectid="1"/>', "The 3MF file names two objects alike."),
        (
            '<object id="1"><components><component objectid="1"/></components></object>',
            '<item objectid="1"/>',
            "The 3MF file has an object that is a part of itself.",
        ),
        (
            model(TETRAHEDRON).replace('v3="3"', 'v3="4"'),
            '<item objectid="1"/>',
            "A triangle names a point that is not in the file.",
        ),
        (
            model(TETRAHEDRON).replace('v3="3"', 'v3="1000000000000"'),
            '<item objectid="1"/>',
            "The 3MF file is damaged and cannot be read (OverflowError).",
        ),
        (
            model(TETRAHEDRON).replace('x="1.0"', 'x="1,0"'),
            '<item objectid="1"/>',
            "The 3MF file is damaged and cannot be read (ValueError).",
        ),
        (
            model(TETRAHEDRON),
            '<item objectid="1" transform="1 0 0 0 1 0"/>',
            "The 3MF file places a part by something else than twelve numbers.",
        ),
        (
            model(TETRAHEDRON),
            '<item objectid="1" transform="1 0 0 0 1 0 0 0 nan 0 0 0"/>',
            "The 3MF file places a part by something else than twelve numbers.",
        ),
        (model(TETRAHEDRON), '<item objectid="1">', "The 3MF file is damaged and cannot be read (ExpatError)."),
    ],
)
def test_what_is_wrong_in_a_file_is_said(objects, items, sentence):
    assert refused(threemf(objects, items)) == sentence


def test_an_unknown_unit_is_refused():
    assert refused(one_part(ARCH, 'unit="furlong"')) == "The 3MF file states a unit that 3MF does not have."


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.99])
def test_a_truncated_file_is_refused(share):
    content = one_part(ARCH)
    assert refused(content[: int(len(content) * share)]).startswith("The 3MF file is damaged")


def test_a_file_with_a_wrong_checksum_is_refused():
    content = one_part(ARCH)
    with zipfile.ZipFile(BytesIO(content)) as package:
        crc = package.getinfo("3D/a.model").CRC
    damaged = content.replace(crc.to_bytes(4, "little"), zlib.crc32(b"else").to_bytes(4, "little"))
    assert refused(damaged) == "The 3MF file is damaged and cannot be read (BadZipFile)."


def test_an_encrypted_file_is_refused():
    content = bytearray(one_part(TETRAHEDRON))
    at = content.index(b"PK\x01\x02", content.index(b"PK\x01\x02") + 60)
    while at >= 0:
        content[at + 8] |= 1
        at = content.find(b"PK\x01\x02", at + 4)
    assert refused(bytes(content)) == "The 3MF file is encrypted."


def test_a_package_without_a_model_is_refused():
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w") as package:
        package.writestr("3D/other.model", "<model/>")
    assert refused(packed.getvalue()) == "The file is a zip archive without a 3MF model in it."


def test_a_model_behind_a_large_picture_is_known_by_its_package():
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w") as package, zipfile.ZipFile(BytesIO(one_part(ARCH))) as whole:
        for name in ("[Content_Types].xml", "_rels/.rels"):
            package.writestr(name, whole.read(name))
        package.writestr("3D/thumbnail.png", bytes(100_000))
        package.writestr("3D/a.model", whole.read("3D/a.model"))
    assert is_mesh(packed.getvalue()[:HEAD], len(packed.getvalue())) == "3mf"
    assert len(read_mesh(packed.getvalue()).mesh.faces) == len(ARCH.faces)
