"""The wheel, installed into an environment of its own far from the checkout, brings all that Intake needs."""

import json
import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CASE = {
    "format": "intake-case/1",
    "practice": {"name": "Harbour Street Practice", "telephone": "01632 960 001"},
    "prescriber": "Dr R. Ashdown",
    "patient": {"label": "J.T.", "reference": "20418", "under_18": False},
    "appliances": [{"type": "occlusal-splint-hard", "arch": "upper", "options": {"thickness_mm": 3.0}}],
    "items": [{"item": "impression", "arch": "upper", "material": "addition-silicone"}],
    "hygiene": "disinfected",
    "appointment": "2026-12-10T09:30",
    "arrived": "2026-11-25T08:40",
}
pytestmark = [pytest.mark.slow, pytest.mark.timeout(240), pytest.mark.xdist_group("wheel")]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(ROOT))
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def elsewhere(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of programs of a new environment that has the wheel.

    The packages that it depends on come from the environment of the tests, which has them by the same pyproject.toml.
    """
    folder = tmp_path_factory.mktemp("elsewhere") / "environment"
    venv.create(folder, with_pip=False)
    programs = folder / ("Scripts" if os.name == "nt" else "bin")
    run(sys.executable, "-m", "pip", f"--python={folder}", "install", "--quiet", "--no-deps", "--no-index", str(wheel))
    import_from = [path for path in sys.path if path.endswith("site-packages")]
    (site,) = folder.glob("**/site-packages")
    (site / "packages_of_the_tests.pth").write_text("\n".join(import_from) + "\n", "utf-8")
    return programs


def run(*command: str, cwd: Path | None = None, expected: int = 0) -> str:
    """What a command writes, run without the checkout on its path."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"} | {"PYTHONUTF8": "1"}
    done = subprocess.run(
        command, cwd=cwd, env=environment, capture_output=True, encoding="utf-8", timeout=200, check=False
    )
    assert done.returncode == expected, done.stdout + done.stderr
    return done.stdout


def files(folder: str) -> set[str]:
    """The files under a folder of the checkout, relative to it, but for what Python left behind."""
    found = (path.relative_to(ROOT / folder) for path in (ROOT / folder).rglob("*") if path.is_file())
    return {path.as_posix() for path in found if "__pycache__" not in path.parts}


@pytest.mark.parametrize(
    ("folder", "inside"), [("intake", "intake"), ("resources", "intake/_resources"), ("demo", "intake/_demo")]
)
def test_the_wheel_has_every_file_and_nothing_that_python_left_behind(wheel, folder, inside):
    with zipfile.ZipFile(wheel) as archive:
        names = {name for name in archive.namelist() if not name.endswith("/")}
    assert files(folder)
    assert {f"{inside}/{name}" for name in files(folder)} <= names
    assert not [name for name in names if "__pycache__" in name or name.endswith(".pyc")]


def test_the_wheel_brings_its_licence(wheel):
    with zipfile.ZipFile(wheel) as archive:
        (licence,) = [name for name in archive.namelist() if name.endswith("LICENSE.txt") and "dist-info" in name]
        assert b"MIT License" in archive.read(licence)


def test_the_installed_program_tells_its_version(elsewhere, tmp_path):
    from intake import __version__

    assert __version__ in run(str(elsewhere / "intake"), "--version", cwd=tmp_path)


def test_the_installed_program_checks_a_case_with_the_resources_it_brought(elsewhere, tmp_path):
    place = run(str(elsewhere / "python"), "-c", "import intake; print(intake.__file__)", cwd=tmp_path)
    assert str(elsewhere.parent) in place
    (tmp_path / "case.json").write_text(json.dumps(CASE), "utf-8")
    said = run(
        str(elsewhere / "intake"), "check", "--json", "--today", "2026-11-25", "case.json", cwd=tmp_path, expected=1
    )
    verdict = json.loads(said.splitlines()[0])
    assert verdict["state"] == "held"
    assert {"opposing-arch", "bite-record"} <= {finding["requirement"] for finding in verdict["findings"]}
