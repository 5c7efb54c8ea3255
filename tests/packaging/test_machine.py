"""The two commands of the README say calmly what they cannot do for themselves."""

import ast
import importlib.util
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
linux = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="system packages are of Linux")


def load():
    """The module `demo/machine.py`, read anew."""
    spec = importlib.util.spec_from_file_location("machine_under_test", ROOT / "demo/machine.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def machine(tmp_path, monkeypatch):
    """The module with an environment under the test's own folder."""
    module = load()
    monkeypatch.setattr(module, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(module, "STAMP", tmp_path / ".venv/made-for.txt")
    return module


def test_an_older_python_is_refused_in_a_sentence(monkeypatch):
    monkeypatch.setattr(sys, "version_info", (3, 9, 2, "final", 0))
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or newer; this is 3\.9\."):
        load()


@pytest.mark.parametrize("source", ["demo/start.py", "demo/machine.py", "tests/start.py"])
def test_an_older_python_can_read_as_far_as_that_sentence(source):
    ast.parse((ROOT / source).read_text("utf-8"), feature_version=(3, 7))


@linux
def test_without_the_right_to_install_it_names_every_package(machine, monkeypatch):
    monkeypatch.setattr(machine.os, "geteuid", lambda: 1000)
    monkeypatch.setattr(machine.shutil, "which", lambda name: "/usr/bin/apt-get" if name == "apt-get" else None)
    with pytest.raises(SystemExit, match=r"as root(?s:.*)apt-get install libegl1 python3-venv"):
        machine.install(["libegl1", "python3-venv"])


@linux
def test_without_apt_it_names_every_package(machine, monkeypatch):
    monkeypatch.setenv("PATH", "/nowhere")
    with pytest.raises(SystemExit, match=r"your system's own(?s:.*)libegl1"):
        machine.install(["libegl1"])


@linux
def test_only_what_is_not_here_is_asked_for(machine, monkeypatch):
    monkeypatch.setattr(machine, "QT_LIBRARIES", {"libc.so.6": "libc6", "libnowhere.so.9": "libnowhere9"})
    wanted = machine.missing_packages(window=False, programs={sys.executable: "python3", "/nowhere/*": "nowhere"})
    assert [name for name in wanted if name != "python3-venv"] == ["libnowhere9", "nowhere"]


def test_an_environment_that_was_made_for_this_project_is_used_again(machine, monkeypatch):
    ran = []
    monkeypatch.setattr(machine, "must_run", lambda command: (machine.VENV.mkdir(exist_ok=True), ran.append(command)))
    machine.make_environment("test")
    made = len(ran)
    machine.make_environment("test")
    machine.make_environment("")
    assert len(ran) == made


def test_an_environment_of_another_project_file_or_without_the_tests_is_made_again(machine, monkeypatch, tmp_path):
    ran = []
    monkeypatch.setattr(machine, "must_run", lambda command: (machine.VENV.mkdir(exist_ok=True), ran.append(command)))
    machine.make_environment("")
    machine.make_environment("test")
    assert [command[-1] for command in ran if "pip" in command] == [str(machine.ROOT), f"{machine.ROOT}[test]"]
    machine.STAMP.write_text(machine.STAMP.read_text().replace("pyproject ", "pyproject 0"))
    ran.clear()
    machine.make_environment("test")
    assert "--clear" in ran[0]


def test_an_environment_that_was_not_finished_is_made_again(machine, monkeypatch):
    def fails(command):
        raise SystemExit("no network")

    machine.VENV.mkdir()
    machine.STAMP.write_text("from before")
    monkeypatch.setattr(machine, "must_run", fails)
    with pytest.raises(SystemExit):
        machine.make_environment("")
    assert not machine.STAMP.exists()
