"""Makes a machine ready to run Intake from a checkout, with nothing but Python: system packages, then `.venv`.

Shared by `demo/start.py` and `tests/start.py`, which run before anything is installed: plain standard library only.
"""

from __future__ import annotations

import ctypes
import glob
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

if sys.version_info < (3, 11):  # noqa: UP036 - an older Python gets a sentence instead of a traceback
    sys.exit("Intake needs Python 3.11 or newer; this is {}.{}.".format(*sys.version_info[:2]))

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
STAMP = VENV / "made-for.txt"
LINUX = sys.platform.startswith("linux")

# Shared libraries that the PySide6 wheel expects of the system, each with the Debian package that brings it.
# Debian 13 renamed some (libcups2t64); those provide the old name, so apt-get takes it on either release.
QT_LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libX11.so.6": "libx11-6",
    "libcups.so.2": "libcups2",
}
WINDOW_LIBRARIES = {
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
# What the tests start beside Intake: a print server, a database server and a screen in memory.
TEST_PROGRAMS = {
    "/usr/sbin/cupsd": "cups-daemon",
    "/usr/bin/lp": "cups-client",
    "/usr/lib/cups/filter/pdftopdf": "cups-filters",
    "/usr/lib/postgresql/*/bin/postgres": "postgresql",
    "/usr/bin/Xvfb": "xvfb",
    "/usr/bin/xauth": "xauth",
}


def ready(extra: str = "", window: bool = False, programs: dict[str, str] | None = None) -> Path:
    """Makes the machine ready and says each step that it takes.

    Args:
        extra: the extra of pyproject.toml that is wanted beside the program itself, such as `test`.
        window: whether a real window is going to be opened.
        programs: further programs, as file patterns with the Debian package that brings each.

    Returns:
        The Python of the environment; `script` gives a program beside it.
    """
    if LINUX:
        install(missing_packages(window, programs or {}))
    make_environment(extra)
    return script("python")


def has_display() -> bool:
    """Whether a window can be shown here."""
    return not LINUX or bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def script(name: str) -> Path:
    """A program of the environment, by its name."""
    return VENV / "Scripts" / f"{name}.exe" if os.name == "nt" else VENV / "bin" / name


def missing_packages(window: bool, programs: dict[str, str]) -> list[str]:
    """The Debian packages whose library or program is not here, in alphabetical order."""
    libraries = QT_LIBRARIES | (WINDOW_LIBRARIES if window else {})
    missing = [package for library, package in libraries.items() if not loads(library)]
    missing += [package for pattern, package in programs.items() if not glob.glob(pattern)]
    if not all(importlib.util.find_spec(module) for module in ("venv", "ensurepip")):
        missing.append("python3-venv")
    return sorted(missing)


def loads(library: str) -> bool:
    """Whether the system's loader finds a shared library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def install(packages: list[str]) -> None:
    """Installs Debian packages, or says which ones somebody has to install."""
    if not packages:
        return
    command = " ".join(["apt-get install", *packages])
    if not shutil.which("apt-get"):
        sys.exit(f"Intake needs what Debian calls these packages; please install your system's own:\n    {command}")
    if os.geteuid() != 0 and not shutil.which("sudo"):
        sys.exit(f"Intake needs these packages; please install them as root, then start this again:\n    {command}")
    say(f"Installing system packages: {' '.join(packages)}")
    apt_get("update")
    if apt_get("install", "--yes", "--no-install-recommends", *packages) != 0:
        sys.exit(f"The packages could not be installed; please install them, then start this again:\n    {command}")


def apt_get(*words: str) -> int:
    """Runs apt-get as root without questions, and shows what it says only when it fails."""
    command = ["env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "-q", "-o", "DPkg::Lock::Timeout=120", *words]
    if os.geteuid() != 0:
        command = ["sudo", *([] if sys.stdin.isatty() else ["-n"]), *command]
    return run_quietly(command)


def make_environment(extra: str) -> None:
    """Makes `.venv`, or uses the one that is complete and was made for this pyproject.toml and this Python."""
    wanted = {f"python {sys.version}", f"pyproject {digest(ROOT / 'pyproject.toml')}", f"at {ROOT}"}
    present = set(STAMP.read_text("utf-8").splitlines()) if STAMP.exists() else set()
    if wanted <= present and (not extra or f"extra {extra}" in present):
        return
    say("Making the Python environment .venv with Intake's packages (once; a few hundred megabytes)")
    STAMP.unlink(missing_ok=True)
    must_run([sys.executable, "-m", "venv", *([] if wanted <= present else ["--clear"]), str(VENV)])
    project = f"{ROOT}[{extra}]" if extra else str(ROOT)
    # What is used is compiled when it is first imported; to compile all of it takes as long as to install it.
    quick = ["--quiet", "--disable-pip-version-check", "--no-compile"]
    pip = [str(script("python")), "-m", "pip", "install", *quick]
    must_run([*pip, "--editable", project])
    must_run([str(script("python")), "-c", "import PySide6.QtWidgets, PySide6.QtPrintSupport"])
    STAMP.write_text("\n".join(sorted(wanted | ({f"extra {extra}"} if extra else set()))) + "\n", "utf-8")


def digest(file: Path) -> str:
    """The SHA-256 of a file, in hexadecimal."""
    return hashlib.sha256(file.read_bytes()).hexdigest()


def must_run(command: list[str]) -> None:
    """Runs a step without which nothing works."""
    if run_quietly(command) != 0:
        sys.exit(f"This step failed; the reason stands above:\n    {' '.join(command)}")


def run_quietly(command: list[str]) -> int:
    """Runs a command, shows what it wrote only when it fails, and returns its exit code."""
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, stdin=None, check=False)
    if done.returncode != 0:
        sys.stderr.write(done.stdout.decode("utf-8", "replace"))
    return done.returncode


def say(step: str) -> None:
    """One line for a step."""
    print(step, flush=True)
