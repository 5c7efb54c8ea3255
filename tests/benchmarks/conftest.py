"""Gathers the figures of the benchmarks, prints them, and writes them to a page where `--figures PAGE` asks for it."""

import os
import platform
from datetime import datetime
from pathlib import Path

import pytest

MANY, USUAL = 100_000, 10_000
"""Cases of a store that has been in use for long, where figures are written, and in a usual run."""
FIGURES = pytest.StashKey[dict[str, list[tuple[str, object]]]]()
COMMAND = "python3 tests/start.py tests/benchmarks --figures docs/figures.md"
UNITS = {"ms": "ms", "seconds": "s", "mb": "MB", "kb": "kB"}
HEAD = """# Figures

Measured on {day} by

    {command}

on a machine of {machine}

The tests behind them are in `tests/benchmarks`; each fails on this command where its budget is not kept (in the usual
run of the tests where it takes twice as long), and the name of most says the budget. A figure holds for the machine it
was measured on, and for what else that machine was doing.

| what | figures |
| --- | --- |
"""


@pytest.fixture(scope="session")
def strict(request):
    """Whether figures are written: then all is measured whole, else with less, so that the tests are done sooner."""
    return request.config.getoption("--figures", None) is not None


@pytest.fixture(scope="session")
def allowed(strict):
    """How long something may take that has a budget.

    The page of figures is written only where every budget itself is kept. In a usual run, beside whatever else the
    machine does or on a slower one, a time may be twice its budget: more is no chance any more.
    """
    return lambda budget: budget if strict else 2 * budget


@pytest.fixture(scope="session")
def many_cases(tmp_path_factory, strict):
    """The file of a SQLite store with many cases, filled once; each module works on a copy of its own."""
    from intake.store.opening import Store  # slow to import, and most runs need none
    from tests.store.many import fill

    file = tmp_path_factory.mktemp("many") / "intake.sqlite"
    store = Store.open(file)
    fill(store, MANY if strict else USUAL)
    store.close()
    return file


def pytest_addoption(parser):
    parser.addoption("--figures", metavar="PAGE", help="write the benchmarks' figures to this page")


def pytest_configure(config):
    config.stash[FIGURES] = {}


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    report = yield
    if report.when == "call" and report.passed and report.user_properties and item.get_closest_marker("benchmark"):
        item.config.stash[FIGURES][item.name] = report.user_properties
    return report


def pytest_terminal_summary(terminalreporter, exitstatus, config):
    figures = config.stash.get(FIGURES, {})
    if not figures:
        return
    rows = [f"| {sentence(name)} | {', '.join(figure(*each) for each in said)} |" for name, said in figures.items()]
    terminalreporter.section("figures")
    terminalreporter.write_line("\n".join(rows))
    page = config.getoption("--figures", None)
    if page and exitstatus != pytest.ExitCode.OK:
        terminalreporter.write_line(f"{page} is as it was, since a budget was not kept.")
    elif page:
        day = f"{datetime.now():%d %B %Y}".removeprefix("0")
        head = HEAD.format(day=day, command=COMMAND, machine=machine())
        Path(page).write_text(head + "\n".join(rows) + "\n", encoding="utf-8")


def sentence(name):
    """A test's name as a sentence: `test_a_case_is_saved[sqlite]` is “A case is saved (sqlite)”."""
    words, _, case = name.removeprefix("test_").partition("[")
    told = words.replace("_", " ")
    return f"{told[0].upper()}{told[1:]}{f' ({case[:-1]})' if case else ''}"


def figure(name, value):
    """A figure with its unit: `p95_ms` of 8.2 is “p95 8.2 ms”."""
    words, _, unit = name.rpartition("_")
    if unit in UNITS:
        return f"{words.replace('_', ' ')} {value} {UNITS[unit]}".strip()
    return f"{value} {name.replace('_', ' ')}"


def machine():
    from PySide6 import __version__ as qt  # imported here, since most runs print nothing

    from intake.store.engine import sqlite

    cores, system = os.cpu_count(), f"{platform.system()} {platform.machine()}"
    return f"{cores} cores, {system}; Python {platform.python_version()}, SQLite {sqlite.sqlite_version}, PySide6 {qt}."
