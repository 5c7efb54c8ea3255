"""The door to the files that come with the program."""

import importlib.util
import shutil

import intake.resources
from intake.resources import demo, resource


def test_a_checkout_finds_its_resources_beside_the_package():
    assert resource("fonts", "OFL.txt").is_file()
    assert demo() == resource().parent / "demo"


def test_an_installed_package_finds_them_inside_itself(tmp_path):
    package = tmp_path / "intake"
    (package / "_resources" / "fonts").mkdir(parents=True)
    (package / "_demo").mkdir()
    shutil.copy(intake.resources.__file__, package / "resources.py")
    found = importlib.util.spec_from_file_location("installed_resources", package / "resources.py")
    installed = importlib.util.module_from_spec(found)
    found.loader.exec_module(installed)
    assert installed.resource("fonts") == (package / "_resources" / "fonts").resolve()
    assert installed.demo() == (package / "_demo").resolve()
