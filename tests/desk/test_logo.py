"""The logo is taken into the folder of the setup, and one that is there is never overwritten."""

from dataclasses import replace

import pytest
from PIL import Image

from intake.desk.logo import LogoRefused, take_logo


@pytest.fixture
def picture(tmp_path):
    path = tmp_path / "elsewhere" / "our mark.png"
    path.parent.mkdir()
    Image.new("RGB", (40, 20), "#1f6fb4").save(path)
    return path


def test_a_picture_is_copied_under_a_name_of_its_own(desk, tmp_path, picture):
    folder = tmp_path / "lab"
    folder.mkdir()
    desk = replace(desk, folder=folder)
    assert [take_logo(desk, picture), take_logo(desk, picture)] == ["logo.png", "logo-2.png"]
    assert (folder / "logo.png").read_bytes() == picture.read_bytes()
    assert take_logo(desk, folder / "logo.png") == "logo.png", "what lies there already is taken as it is"
    assert sorted(path.name for path in folder.iterdir()) == ["logo-2.png", "logo.png"]


def test_what_is_no_picture_is_refused(desk, tmp_path):
    wrong = tmp_path / "logo.png"
    wrong.write_text("no picture")
    with pytest.raises(LogoRefused, match=r"logo\.png is no PNG or JPEG picture"):
        take_logo(replace(desk, folder=tmp_path / "lab"), wrong)
