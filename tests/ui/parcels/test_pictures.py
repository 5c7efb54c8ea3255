"""Photographs of a parcel: from a file, pasted, dropped; small and large; kept with it."""

from types import SimpleNamespace

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QGuiApplication, QImage
from PySide6.QtWidgets import QApplication, QFileDialog

from intake.desk.parcels import open_parcels, parcel_card
from intake.ui.parcels import camera
from intake.ui.parcels.picture_dialog import PictureDialog
from tests.ui.parcels.conftest import LABEL


def image(width=300, height=200):
    made = QImage(width, height, QImage.Format.Format_RGB32)
    made.fill(Qt.GlobalColor.darkGreen)
    return made


@pytest.fixture
def files(tmp_path):
    """Two photographs and a text on the disk."""
    paths = [tmp_path / "bag.png", tmp_path / "tray.JPG"]
    for path in paths:
        assert image().save(str(path), "PNG" if path.suffix == ".png" else "JPEG")
    (tmp_path / "words.txt").write_text("no picture")
    return [*paths, tmp_path / "words.txt"]


def drop(widget, paths):
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(widget, QDragEnterEvent(QPoint(5, 5), Qt.DropAction.CopyAction, mime, left, none))
    QApplication.sendEvent(widget, QDropEvent(QPointF(5, 5), Qt.DropAction.CopyAction, mime, left, none))


def kept(desk):
    return parcel_card(desk, open_parcels(desk)[0].parcel_id).photographs


def test_dropped_photographs_are_shown_small_and_kept_with_the_parcel(person, desk, files):
    person.scan("parcel", LABEL)
    drop(person.parcels, files)
    person.wait()
    small = [button for button in person.form.pictures._small if button.isVisible()]
    assert [button.accessibleName() for button in small] == ["Photograph 1, bag.png", "Photograph 2, tray.JPG"]
    assert all(not button.icon().isNull() for button in small)
    person.press("Ctrl+D")
    assert [each.name for each in kept(desk)] == ["bag.png", "tray.JPG"]
    assert [each.path.read_bytes() for each in kept(desk)] == [path.read_bytes() for path in files[:2]]


def test_a_photograph_is_pasted_from_the_clipboard(person, desk):
    person.scan("parcel", LABEL)
    QGuiApplication.clipboard().setImage(image())
    person.press("Ctrl+Shift+V", "Ctrl+D")
    (photograph,) = kept(desk)
    assert photograph.name == "photograph 1.png"
    assert QImage(str(photograph.path)).size() == image().size()


def test_an_empty_clipboard_is_told(person):
    QGuiApplication.clipboard().clear()
    person.press("Ctrl+Shift+V")
    assert "no photograph on the clipboard" in person.news


def test_photographs_are_chosen_from_files_by_a_key(person, files):
    person.press("Ctrl+O")
    dialog = person.parcels.findChild(QFileDialog)
    assert dialog.isVisible()
    dialog.filesSelected.emit([str(path) for path in files[:1]])
    dialog.close()
    person.wait()
    assert [picture.name for picture in person.form.pictures.pictures] == ["bag.png"]


def test_a_photograph_of_a_kept_parcel_is_added_on_its_card_and_taken_out_and_put_back(person, desk, files):
    person.scan("parcel", LABEL)
    person.press("Ctrl+D", "F6", "Return")
    drop(person.parcels, files[:1])
    person.wait()
    assert [each.name for each in kept(desk)] == ["bag.png"]
    person.keys.action("photo-out").trigger()
    person.wait()
    assert kept(desk) == ()
    person.press("F8")
    assert [each.name for each in kept(desk)] == ["bag.png"]


def test_a_photograph_is_looked_at_large_and_page_down_goes_on(person, files):
    drop(person.parcels, files)
    person.wait().press("Ctrl+L")
    dialog = person.dialog
    assert isinstance(dialog, PictureDialog)
    assert dialog.sheet.image.size() == image().size()
    assert dialog.sheet.accessibleName() == "Photograph 1, bag.png"
    person.press("PgDown")
    assert dialog.sheet.accessibleName() == "Photograph 2, tray.JPG"
    person.press("Esc")
    assert person.dialog is None


def test_a_large_photograph_is_made_no_larger_than_it_is_shown(person, tmp_path):
    large = tmp_path / "large.jpg"
    assert image(4000, 3000).save(str(large), "JPEG")
    drop(person.parcels, [large])
    person.wait()
    (small,) = person.form.pictures._images.values()
    assert max(small.width(), small.height()) <= 256


def test_what_is_no_picture_is_said_and_the_parcel_is_kept_all_the_same(person, desk, tmp_path):
    broken = tmp_path / "broken.png"
    broken.write_bytes(b"no picture at all")
    person.scan("parcel", LABEL)
    drop(person.parcels, [broken])
    person.wait()
    assert person.form.pictures._small[0].text() == "1: no picture"
    person.press("Ctrl+D")
    assert "broken.png" in person.news
    assert kept(desk) == ()


def test_a_photograph_in_the_form_is_taken_out_again(person, files):
    drop(person.parcels, files)
    person.wait()
    person.keys.action("photo-out").trigger()
    assert [picture.name for picture in person.form.pictures.pictures] == ["tray.JPG"]


def test_the_camera_is_offered_only_where_its_part_of_qt_is_installed(person, monkeypatch):
    monkeypatch.setattr(camera, "MULTIMEDIA", "no_such_module_of_qt")
    person.parcels.photographing.look_for_a_camera()
    assert not camera.camera_there()
    assert not person.keys.action("photo-camera").isVisible()
    assert not person.form.pictures.buttons["photo-camera"].isVisible()


@pytest.mark.parametrize(("cameras", "offered"), [([], False), (["one"], True)])
def test_and_only_where_a_camera_is_there(person, monkeypatch, cameras, offered):
    multimedia = SimpleNamespace(QMediaDevices=SimpleNamespace(videoInputs=lambda: cameras))
    monkeypatch.setattr(camera, "import_module", lambda _: multimedia)
    person.parcels.photographing.look_for_a_camera()
    QApplication.processEvents()
    assert person.keys.action("photo-camera").isVisible() is offered
    assert person.form.pictures.buttons["photo-camera"].isVisible() is offered
