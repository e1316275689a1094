"""Pictures of layouts: one each, alike twice, all or none; and grids that are puzzles."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from packbuilder.errors import InputError
from packbuilder.layouts import available, load
from packbuilder.pictures.specimens import DPI, thumbnails
from tests.layouts.files import changed


def test_a_picture_of_each_layout_as_large_as_its_paper(tmp_path: Path) -> None:
    layouts = [load("two-up"), load("screen")]
    first = thumbnails(layouts, tmp_path / "a")
    assert [path.name for path in first] == ["two-up.png", "screen.png"]
    # A4 is 210 x 297 mm, the tablet's page 160 x 213; an inch is 25.4
    for path, (wide, high) in zip(first, ((210, 297), (160, 213)), strict=True):
        with Image.open(path) as picture:
            assert picture.size == pytest.approx((wide / 25.4 * DPI, high / 25.4 * DPI), abs=1)
            dark = sum(picture.histogram()[:64])
            assert dark > 0.002 * picture.width * picture.height  # it is no blank page
    again = thumbnails(layouts, tmp_path / "b")
    assert [p.read_bytes() for p in again] == [p.read_bytes() for p in first]


def test_all_or_none(tmp_path: Path) -> None:
    folder = changed(tmp_path, "four-up", ("  - {up_to: 9, aim: 9.5, minimum: 9}\n", ""),
                     ("  - {up_to: 12, aim: 7.2, minimum: 6}\n", ""))  # fmt: skip
    with pytest.raises(InputError, match="the layout mine stops at grids of size 6"):
        thumbnails([load("two-up"), load("mine", folder)], tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("mine")
    with pytest.raises(InputError, match="is a file; name a folder"):
        thumbnails([load("two-up")], tmp_path / "out")
    assert (tmp_path / "out").read_text() == "mine"


def test_there_is_a_picture_for_every_shipped_layout(tmp_path: Path) -> None:
    made = thumbnails(available(), tmp_path)
    assert [path.stem for path in made] == [layout.name for layout in available()]
    assert all(Image.open(io.BytesIO(path.read_bytes())).format == "PNG" for path in made)
