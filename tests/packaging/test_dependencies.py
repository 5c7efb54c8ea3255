"""What the program imports, it asks for: a package that only the tests bring would be missing elsewhere."""

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def imported(source: Path) -> set[str]:
    """The top-level packages that a module imports, at its top or inside a function."""
    tree = ast.parse(source.read_text("utf-8"))
    names = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    names |= {
        node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and not node.level and node.module
    }
    return {name.partition(".")[0] for name in names}


def normal(name: str) -> str:
    """A distribution's name as the packaging specification normalises it (PyPA, “Names and normalization”)."""
    return re.sub(r"[-_.]+", "-", name).lower()


def test_every_imported_package_is_a_declared_dependency():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    asked = project["dependencies"] + project["optional-dependencies"]["postgresql"]
    declared = {normal(re.split(r"[\[<>=!~; ]", line, maxsplit=1)[0]) for line in asked}
    brought_by = packages_distributions()
    foreign = set().union(*(imported(source) for source in (ROOT / "intake").rglob("*.py")))
    foreign -= {*sys.stdlib_module_names, "intake"}
    assert "pydantic" in foreign
    undeclared = {name for name in foreign if not declared & {normal(one) for one in brought_by.get(name, [name])}}
    assert undeclared == set()


def test_what_runs_before_anything_is_installed_imports_the_standard_library_only():
    for source in ("demo/start.py", "demo/machine.py", "tests/start.py"):
        assert imported(ROOT / source) <= {*sys.stdlib_module_names, "machine"}
