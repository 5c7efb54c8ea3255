"""The whole check of a scan, and of two arches: read, measured and pictured, from files."""

import logging
from pathlib import Path
from traceback import extract_tb

from intake.domain.scan_judging import ScanLook, jaw_of, unit_of
from intake.domain.scan_rules import ScanRules
from intake.inbox.mesh.checked import CheckedArches, CheckedMesh, Placed
from intake.inbox.mesh.figures import mesh_figures
from intake.inbox.mesh.formats import read_mesh
from intake.inbox.mesh.mesh import Mesh, MeshRefused
from intake.inbox.mesh.occlusion import bite_figures, pair_figures
from intake.inbox.mesh.picture import occlusal_picture, pair_pictures

_log = logging.getLogger(__name__)
NO_MEMORY = "The mesh needs more memory than this machine has."


def check_mesh(path: Path, name: str, rules: ScanRules) -> CheckedMesh:
    """Reads, measures and pictures one mesh; never raises, whatever is in the file.

    What nobody foresaw goes to the log, and the mesh cannot be read: the next one can.

    Args:
        path: Where it is.
        name: What it was called, which may say its jaw.
        rules: By which its unit is told, for the scale of the picture.
    """
    try:
        return _checked(path, name, rules)
    except MeshRefused as refused:
        return CheckedMesh(None, str(refused))
    except MemoryError:
        return CheckedMesh(None, NO_MEMORY)
    except Exception as error:
        _log.exception("A scan could not be checked")
        return CheckedMesh(None, _unforeseen(error))


def _checked(path: Path, name: str, rules: ScanRules) -> CheckedMesh:
    read = read_mesh(path)
    figures = mesh_figures(read.mesh)
    look = ScanLook(name, figures, unit_stated=read.unit)
    return CheckedMesh(
        figures,
        format=read.format,
        unit=read.unit,
        left_out=read.not_finite,
        remarks=read.remarks,
        png=occlusal_picture(read.mesh, jaw_of(look).jaw, unit_of(look, rules).millimetres),
    )


def check_arches(upper: Placed, lower: Placed, bite: Placed | None) -> CheckedArches | str:
    """Measures how two arches stand to one another, in mm, and pictures them together; why not, where it cannot."""
    try:
        return _arches(upper, lower, bite)
    except MeshRefused as refused:
        return str(refused)
    except MemoryError:
        return NO_MEMORY
    except Exception as error:
        _log.exception("Two arches could not be measured")
        return _unforeseen(error)


def _arches(upper: Placed, lower: Placed, bite: Placed | None) -> CheckedArches:
    arches = in_mm(upper), in_mm(lower)
    of_bite = bite_figures(in_mm(bite), *arches) if bite is not None else None
    return CheckedArches(pair_figures(*arches), of_bite, pair_pictures(*arches, 1.0))


def in_mm(placed: Placed) -> Mesh:
    """A mesh in mm. Raises MeshRefused."""
    path, millimetres = placed
    mesh = read_mesh(path).mesh
    return mesh if millimetres == 1 else Mesh(mesh.vertices * millimetres, mesh.faces)


def _unforeseen(error: Exception) -> str:
    """What went wrong in the program, so far that whoever mends it finds the place; nothing of the file."""
    frame = extract_tb(error.__traceback__)[-1]
    at = f"{Path(frame.filename).name}, line {frame.lineno}"
    return f"It could not be checked, because of a fault in Intake ({type(error).__name__} in {at})."
