"""What every file must come to, however it was damaged: a mesh that can be trusted, or a sentence."""

import numpy as np

from intake.inbox.mesh.formats import HEAD, is_mesh, read_mesh
from intake.inbox.mesh.mesh import Mesh, MeshRefused
from tests.scans import writers

# An octahedron: small, so that most bytes matter.
SMALL = Mesh(
    np.array([(9.5, 0, 0), (-9.5, 0, 0), (0, 8.25, 0), (0, -8.25, 0), (0, 0, 7.125), (0, 0, -7.125)]),
    np.array(
        [(0, 2, 4), (2, 1, 4), (1, 3, 4), (3, 0, 4), (2, 0, 5), (1, 2, 5), (3, 1, 5), (0, 3, 5)],
        np.int32,
    ),
)
COMPONENTS = writers.model(SMALL) + '<object id="2"><components><component objectid="1"/></components></object>'
SEEDS = {
    "stl": writers.stl(SMALL),
    "stl-text": writers.stl_text(SMALL),
    "ply": writers.ply(SMALL, extra=True),
    "ply-big-endian": writers.ply(SMALL, ">", "double"),
    "ply-text": writers.ply(SMALL, "", extra=True),
    "ply-polygons": writers.polygons_ply(SMALL.vertices, [[0, 2, 1, 3], [0, 2, 4], [1, 3, 5]]),
    "ply-polygons-text": writers.polygons_ply(SMALL.vertices, [[0, 2, 1, 3], [0, 2, 4], [1, 3, 5]], ""),
    "obj": writers.obj(SMALL, "/1/1"),
    "obj-backward": writers.obj(SMALL, backward=True).replace(b" -1", b" \\\n-1"),
    "3mf": writers.threemf(COMPONENTS, '<item objectid="2" transform="1 0 0 0 1 0 0 0 1 5 5 5"/>'),
    "3mf-stored": writers.threemf(COMPONENTS, '<item objectid="2"/>', packing=0),
    "dicom": writers.dicom(writers.stl(SMALL)),
    "dicom-obj": writers.dicom(writers.obj(SMALL), writers.OBJ_CLASS),
    "utf-16": writers.stl_text(SMALL).decode().encode("utf-16"),
}


def expect_sound_or_refused(content):
    """That a file is read into a sound mesh, or refused in a sentence that can be shown."""
    is_mesh(content[:HEAD], len(content))
    try:
        read = read_mesh(content)
    except MeshRefused as refused:
        sentence = str(refused)
        assert sentence.endswith(".")
        assert len(sentence) < 200
        assert sentence.isprintable()
        return
    vertices, faces = read.mesh.vertices, read.mesh.faces
    assert (vertices.dtype, faces.dtype) == (np.float64, np.int32)
    assert vertices.ndim == faces.ndim == 2
    assert vertices.shape[1] == faces.shape[1] == 3
    assert len(faces) > 0
    assert np.isfinite(vertices).all()
    assert faces.min() == 0
    assert faces.max() == len(vertices) - 1
    assert (faces[:, [0, 1, 2]] != faces[:, [1, 2, 0]]).all()
