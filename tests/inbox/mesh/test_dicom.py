"""Meshes in DICOM files: Encapsulated STL and OBJ (DICOM PS3.3 A.85, C.35.1; UIDs in PS3.6 table A-1)."""

import warnings
import zlib

import numpy as np
import pydicom
import pytest

from intake.inbox.mesh.formats import HEAD, is_mesh, read_mesh
from intake.inbox.mesh.mesh import MeshRefused
from tests.scans import writers
from tests.scans.arches import arch
from tests.scans.writers import OBJ_CLASS, STL_CLASS, dicom

ARCH = arch("upper", 1_500)
STL, OBJ = writers.stl(ARCH), writers.obj(ARCH)


def refused(content):
    with pytest.raises(MeshRefused) as caught:
        read_mesh(content)
    return str(caught.value)


def test_the_classes_are_those_of_the_standard():
    """The names that pydicom has from PS3.6, table A-1."""
    assert pydicom.uid.UID(STL_CLASS).name == "Encapsulated STL Storage"
    assert pydicom.uid.UID(OBJ_CLASS).name == "Encapsulated OBJ Storage"


@pytest.mark.parametrize(
    ("content", "sop_class"),
    [
        (STL, STL_CLASS),
        (writers.stl(ARCH, header=b"solid upper"), STL_CLASS),
        (writers.stl_text(ARCH), STL_CLASS),
        (writers.stl_text(ARCH, name="upper"), STL_CLASS),
        (OBJ, OBJ_CLASS),
        (OBJ + b"\n", OBJ_CLASS),
    ],
)
def test_the_mesh_in_a_file_is_read_with_its_unit(content, sop_class):
    packed = dicom(content, sop_class)
    assert is_mesh(packed[:HEAD], len(packed)) == "dicom"
    read = read_mesh(packed)
    assert (read.format, read.unit, read.remarks) == ("dicom", "mm", ())
    assert np.allclose(read.mesh.vertices[read.mesh.faces], ARCH.vertices[ARCH.faces], atol=1e-5)


@pytest.mark.parametrize(
    ("code", "unit"), [("um", "um"), ("mm", "mm"), ("cm", "cm"), ("m", "m"), ("[in_i]", "inch"), ("[ft_i]", "foot")]
)
def test_units_are_ucum_codes(code, unit):
    """The first four are CID 7063, Model Scale Unit, of PS3.16; inch and foot are UCUM's own codes."""
    assert read_mesh(dicom(STL, unit=code)).unit == unit


def test_the_units_of_the_context_group_are_all_known():
    """CID 7063 as pydicom has it from PS3.16."""
    from pydicom.sr.codedict import codes

    for name in codes.CID7063.dir():
        assert read_mesh(dicom(STL, unit=getattr(codes.CID7063, name).value)).unit is not None


def test_a_file_that_states_no_unit_or_an_unknown_one_is_read_with_a_remark():
    read = read_mesh(dicom(STL, unit=None))
    assert read.unit is None
    assert read.remarks == ("The DICOM file states no unit, although the standard requires one.",)
    read = read_mesh(dicom(STL, unit="[fur_us]"))
    assert read.unit is None
    assert read.remarks == ("The DICOM file does not state a unit that is known: '[fur_us]'.",)


def test_what_is_odd_about_the_mesh_inside_is_said():
    read = read_mesh(dicom(writers.stl(ARCH, says=7)))
    assert read.remarks[0].startswith("The file says 7 triangles")
    assert "was cut short" in refused(dicom(STL[:-100]))


def test_no_patient_is_named_in_a_refusal():
    packed = dicom(STL)
    assert b"Invented^Patient" in packed
    for content in (dicom(b"solid\n"), packed[:900], packed.replace(b"UL\x04\x00", b"UL\xff\xff")):
        assert "Invented" not in refused(content)


@pytest.mark.parametrize("sop_class", [STL_CLASS[:-1] + last for last in ("1", "2", "5", "30")])
def test_a_dicom_file_of_something_else_is_refused(sop_class):
    packed = dicom(STL, sop_class)
    assert is_mesh(packed[:HEAD], len(packed)) is None
    assert refused(packed) == "The file is a DICOM file of something else, not a mesh."


def test_a_file_without_its_mesh_is_refused():
    assert refused(dicom(b"")) == "The DICOM file holds no mesh."


@pytest.mark.parametrize("keep", [140, 300, 600, 900, -20_000, -1])
def test_a_truncated_file_is_refused(keep):
    sentence = refused(dicom(STL)[:keep])
    assert "DICOM" in sentence or "cut short" in sentence


def test_a_compressed_data_set_is_refused_before_it_is_unpacked():
    """Deflated Explicit VR Little Endian, 1.2.840.10008.1.2.1.99 (PS3.5, A.5): it could be a bomb."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        head = dicom(STL, STL_CLASS).replace(b"UI\x14\x001.2.840.10008.1.2.1\0", b"UI\x16\x001.2.840.10008.1.2.1.99")
    bomb = head[:400] + zlib.compress(bytes(50_000_000))
    assert "is compressed" in refused(bomb)
