"""Passes the tests: `python3 tests/start.py`. Words after the command are handed on to pytest.

Checks the style, the types and the directions of imports, beside the tests that need a real window on a screen in
memory; then runs most of the tests side by side without a screen, and at last, alone, those that measure a time.
"""

import os
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "demo"))

import machine

NO_TESTS = 5  # pytest's exit code when nothing was selected


def main() -> int:
    """Makes the machine ready, runs every lane even after a failure, and returns 0 when all passed."""
    machine.ready(extra="test", window=True, programs=machine.TEST_PROGRAMS if machine.LINUX else None)
    words = sys.argv[1:]
    beside = {
        "tests with a window": [*screen(), *pytest("xserver", *words)],
        "types": tool("mypy"),
        "style": tool("ruff", "check"),
        "layout of the code": tool("ruff", "format", "--check"),
        "imports": tool("lint-imports"),
    }
    alone = {
        "tests": pytest("not xserver and not benchmark", "-n", "3", "--dist", "worksteal", *words),
        # Whatever else the machine does disturbs a time: a budget that is missed is measured again, twice at most.
        "benchmarks": pytest("benchmark", "--reruns", "2", *words),
    }
    with ThreadPoolExecutor(max_workers=2) as pool:
        report = list(pool.map(lambda lane: run(*lane, narrowed=bool(words), told=subprocess.PIPE), beside.items()))
    report += [run(name, command, narrowed=bool(words)) for name, command in alone.items()]
    print("\n" + "\n".join(line for line, _ in report), flush=True)
    return 0 if all(passed for _, passed in report) else 1


def tool(name: str, *words: str) -> list[str]:
    """The command of a tool of the environment."""
    return [str(machine.script(name)), *words]


def pytest(marked: str, *words: str) -> list[str]:
    """The command that runs the tests of a mark expression."""
    return [str(machine.script("python")), "-m", "pytest", "-m", marked, *words]


def screen() -> list[str]:
    """What gives the command after it a screen: one in memory on Linux, the real one elsewhere."""
    if not machine.LINUX:
        return []
    return ["xvfb-run", "--auto-servernum", "--server-args=-screen 0 1366x768x24", "env", "QT_QPA_PLATFORM=xcb"]


def run(name: str, command: list[str], narrowed: bool, told: int | None = None) -> tuple[str, bool]:
    """Runs a lane; returns its line of the report and whether it passed.

    A lane without a test passes only when the words of the command narrowed the choice. With `told` what it says is
    kept until it is through, so that lanes beside one another are read one after the other.
    """
    if told is None:
        print(f"\n{name}: {' '.join(command)}", flush=True)
    started = time.monotonic()
    ran = subprocess.run(
        command, cwd=machine.ROOT, env=environment(), check=False, stdout=told, stderr=told and subprocess.STDOUT
    )
    if told is not None:
        print(f"\n{name}: {' '.join(command)}\n{ran.stdout.decode(errors='replace')}", flush=True)
    code = ran.returncode
    passed = code == 0 or (narrowed and code == NO_TESTS)
    return f"{name}: {'passed' if passed else 'FAILED'} ({time.monotonic() - started:.0f} s)", passed


def environment() -> dict[str, str]:
    """The environment of the lanes: the tests' own, in UTF-8, with no database or printer of the desk."""
    strange = ("PG", "CUPS_", "PYTEST_", "INTAKE_")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(strange)}
    # Thousands of tests are compiled for every lane, and the program for every one that is started, unless it is kept.
    kept.pop("PYTHONDONTWRITEBYTECODE", None)
    return kept | {"PYTHONUTF8": "1"}


if __name__ == "__main__":
    sys.exit(main())
