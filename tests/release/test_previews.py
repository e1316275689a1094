"""Previews: made from the released file alone, whole, the same twice, and no answer to be read."""

from __future__ import annotations

import errno
import io
import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from packbuilder import cli
from packbuilder.errors import Exit
from packbuilder.pictures.page_ink import RESOLUTION
from packbuilder.pictures.released_pages import ReleasedFile
from tests.conftest import EXAMPLE
from tests.release.test_build import SMALL, listing, run_leaving_nothing

WritePack = Callable[..., Path]

WIDTH = 400


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pack of two puzzles to a page, released once for this module."""
    return released(tmp_path_factory.mktemp("packs") / "tea-house", SMALL)


def released(folder: Path, puzzles: str, *editions: str) -> Path:
    folder.mkdir()
    head = (
        "pack:\n  title: The Tea House\n  issue: 2026-12\n  byline: Ada Quill\n  layout: two-up\n"
    )
    lines = "\n".join("  " + line for line in puzzles.strip("\n").splitlines())
    (folder / "manifest.yaml").write_text(f"{head}puzzles:\n{lines}\n", encoding="utf-8")
    names = editions or ("print",)
    args = ["build", str(folder), *(word for name in names for word in ("--edition", name))]
    assert cli.run(args) == Exit.GOOD
    return folder


def pictures(folder: Path, out: Path, *more: str) -> dict[str, Image.Image]:
    args = ["previews", str(folder), "--out", str(out), "--width", str(WIDTH), *more]
    assert cli.run(args) == Exit.GOOD
    return {p.stem.removeprefix(f"{folder.name}-"): Image.open(p) for p in out.glob("*.png")}


def grey(picture: Image.Image) -> NDArray[np.int16]:
    return np.asarray(picture.convert("L")).astype(np.int16)


def dark(picture: Image.Image) -> NDArray[np.bool_]:
    return grey(picture) < 160


def sections(folder: Path, name: str) -> list[int]:
    """The pages of a section, by the file's bookmarks as pypdf finds them."""
    pypdf = pytest.importorskip("pypdf")
    reader = pypdf.PdfReader(folder / "out" / f"{folder.name}-print.pdf")
    tops = [one for one in reader.outline if not isinstance(one, list)]
    starts = [reader.get_destination_page_number(one) + 1 for one in tops]
    ends = [*starts[1:], len(reader.pages) + 1]
    return next(
        list(range(start, end))
        for one, start, end in zip(tops, starts, ends, strict=True)
        if one.title == name
    )


def first_puzzle(folder: Path) -> int:
    """The page of the first puzzle, by its named place."""
    pypdf = pytest.importorskip("pypdf")
    reader = pypdf.PdfReader(folder / "out" / f"{folder.name}-print.pdf")
    places = {name.lstrip("/"): place for name, place in reader.named_destinations.items()}
    return int(reader.get_destination_page_number(places["puzzle-1"]) + 1)


def test_the_usual_pictures_in_their_shapes(folder: Path, tmp_path: Path) -> None:
    found = pictures(folder, tmp_path / "out")
    first, how = first_puzzle(folder), sections(folder, "How to play")[0]
    assert set(found) == {
        f"print-{name}{end}"
        for name in ("cover", f"page-{first}", f"page-{how}")
        for end in ("", "-square", "-wide")
    } | {"print-contact"}
    for name, picture in found.items():
        if name.endswith("-square"):
            assert picture.size == (WIDTH, WIDTH)
        elif name.endswith("-wide"):
            assert picture.size == (WIDTH, WIDTH * 9 // 16)
        else:
            assert picture.width == WIDTH
    assert abs(found["print-cover"].height - WIDTH * 297 / 210) < 1.5  # ISO 216


def test_crops_are_centred_on_bare_ground(folder: Path, tmp_path: Path) -> None:
    for name, picture in pictures(folder, tmp_path / "out").items():
        if not name.endswith(("-square", "-wide")):
            continue
        rows, columns = dark(picture).nonzero()
        high, wide = picture.height, picture.width
        rim = 0.04 * high
        assert rows.min() > rim
        assert rows.max() < high - rim
        assert columns.min() > rim
        assert columns.max() < wide - rim
        assert abs(rows.min() + rows.max() - high) < 0.02 * high, name
        if f"page-{first_puzzle(folder)}" in name:  # a paragraph may end early
            assert abs(columns.min() + columns.max() - wide) < 0.02 * wide, name


def test_a_square_of_puzzles_shows_the_first_one_whole_and_a_wide_one_two(
    folder: Path, tmp_path: Path
) -> None:
    """A frame is a long dark run: two levels for a grid, at one left edge; two grids have two."""
    first = first_puzzle(folder)
    found = pictures(folder, tmp_path / "out")
    square = dark(found[f"print-page-{first}-square"])
    runs = square.sum(axis=0)
    upright = np.flatnonzero(runs > 0.8 * runs.max())
    assert upright[-1] - upright[0] > 0.6 * WIDTH
    lines = np.flatnonzero(np.diff(upright, prepend=-9) > 2)
    assert len(lines) == 10  # a 9x9 grid has ten lines down
    wide = dark(found[f"print-page-{first}-wide"])
    inked = np.flatnonzero(wide.any(axis=0))
    assert (np.diff(inked) > 10).sum() == 1  # two grids, and bare ground between them


def test_what_is_cut_by_a_box_is_taken_in_whole() -> None:
    """A line of text and a box that ends in the middle of it (reportlab measures the text)."""
    from reportlab.pdfgen.canvas import Canvas

    data = io.BytesIO()
    canvas = Canvas(data, (400, 300), invariant=1)
    canvas.drawString(10, 290, "The cover")
    canvas.bookmarkPage("a")
    canvas.addOutlineEntry("Answers", "a", 0)
    canvas.setFont("Helvetica", 18)
    canvas.drawString(50, 100, "Vanishing 12345")
    end = 50 + canvas.stringWidth("Vanishing 12345", "Helvetica", 18)
    canvas.drawString(end + 30, 100, "aside")
    canvas.save()
    from packbuilder.editions import PRINT

    with ReleasedFile(data.getvalue(), PRINT) as file:
        left, bottom, right, top = file.ink(1).uncut((49, 105, 120, 130))
        assert 49 - 1 / RESOLUTION <= left <= 51.5
        assert end - 3 <= right <= end + 3
        assert bottom < 97  # the tail of the g
        assert top <= 131


def test_the_same_file_gives_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    pictures(folder, tmp_path / "one")
    pictures(folder, tmp_path / "two")
    assert listing(tmp_path / "one") == listing(tmp_path / "two")


# --- what is not for posting ---------------------------------------------------------------------


@pytest.mark.parametrize("section", ["Third hints", "Answers"])
def test_pages_that_give_a_puzzle_away_are_refused(
    section: str, folder: Path, tmp_path: Path, capsys: Any
) -> None:
    page, out = str(sections(folder, section)[0]), tmp_path / "out"
    args = ["previews", str(folder), "--out", str(out), "--page", page]
    run_leaving_nothing(args, out, Exit.REFUSED)
    err = capsys.readouterr().err
    assert f"page {page} is of the section {section}" in err
    assert "--with-answers" in err
    assert f"print-page-{page}-square" in pictures(folder, out, "--page", page, "--with-answers")


def thumbnails(picture: Image.Image, pages: int) -> list[NDArray[np.int16]]:
    """The pages of a contact sheet, inside their frames: found by the frames' own grey."""
    found = grey(picture)
    frame = found == 150
    across, down = frame.sum(axis=0), frame.sum(axis=1)
    rows, columns = (np.flatnonzero(n > 0.2 * n.max()) for n in (down, across))
    tops, bottoms = rows[::2], rows[1::2]
    lefts, rights = columns[::2], columns[1::2]
    boxes = [
        found[top + 1 : bottom, left + 1 : right]
        for top, bottom in zip(tops, bottoms, strict=True)
        for left, right in zip(lefts, rights, strict=True)
    ]
    assert len(boxes) >= pages
    return boxes[:pages]


def test_answers_on_a_contact_sheet_do_not_depend_on_the_answers(
    folder: Path, tmp_path: Path
) -> None:
    """The same grids with their digits renamed: other answers, and pixel for pixel the same veil.

    Not a digit can be told from a picture that is the same for all of them.
    """
    renamed = SMALL
    for line in (EXAMPLE, "2..6...31..4.....61.....3..24...5..1"):
        renamed = renamed.replace(line, line.translate(str.maketrans("123456", "234561")))
    other = released(tmp_path / "tea-house", renamed)
    answers = [k - 1 for k in sections(folder, "Answers")]
    assert answers == [k - 1 for k in sections(other, "Answers")]
    sheets = []
    for n, pack in enumerate((folder, other)):
        for more in ((), ("--with-answers",)):
            out = tmp_path / f"out{n}{len(more)}"
            sheets.append(pictures(pack, out, "--width", "1600", *more)["print-contact"])
    count = sections(folder, "Credits")[-1]
    veiled, shown, also_veiled, also_shown = (thumbnails(sheet, count) for sheet in sheets)
    for k in answers:
        assert (veiled[k] == also_veiled[k]).all()
        assert (shown[k] != also_shown[k]).any()
        assert (shown[k] != veiled[k]).any()
    puzzles = [k - 1 for k in sections(folder, "Puzzles")]
    assert all((veiled[k] == shown[k]).all() for k in puzzles)


def test_a_veiled_page_has_nothing_finer_than_a_tile(folder: Path, tmp_path: Path) -> None:
    """Third hints tell a step in words; a tile is wider than any of their letters."""
    picture = pictures(folder, tmp_path / "out", "--width", "3000")["print-contact"]
    small = thumbnails(picture, sections(folder, "Credits")[-1])
    for k in sections(folder, "Third hints"):
        page = small[k - 1]
        changes = np.flatnonzero((np.diff(page, axis=1) != 0).any(axis=0))
        assert len(changes) < 16
        assert len(np.unique(page)) <= 13
        tile = page.shape[1] / 16
        assert tile * 210 / page.shape[1] > 13  # millimetres of an A4 page: a line has under 5


def test_the_contact_sheet_has_every_page_under_its_folio(folder: Path, tmp_path: Path) -> None:
    picture = pictures(folder, tmp_path / "out", "--width", "1600")["print-contact"]
    count = sections(folder, "Credits")[-1]
    boxes = thumbnails(picture, count)
    assert {box.shape for box in boxes} == {boxes[0].shape}
    assert all((box < 160).any() for box in boxes[: sections(folder, "Third hints")[0] - 1])


# --- from the released file, all or none ---------------------------------------------------------


def test_a_file_that_is_not_as_released_is_refused(tmp_path: Path, capsys: Any) -> None:
    pack = released(tmp_path / "tea-house", SMALL)
    path = pack / "out" / "tea-house-print.pdf"
    path.write_bytes(path.read_bytes() + b"\n")
    run_leaving_nothing(["previews", str(pack)], pack / "out", Exit.MISMATCH)
    assert "is not the file that was released" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--edition", "booklet"], "the booklet edition has no pages as a reader sees them"),
        (["--edition", "text"], "take pictures of another: print"),
        (["--edition", "screen"], "tea-house-screen.pdf: is not released; build it first"),
        (["--edition", "prin"], "did you mean 'print'"),
        (["--page", "999"], "there is no page 999: the edition has pages 1 to"),
        (["--page", "0"], "is not in the range"),
        (["--width", "9" * 9], "is not in the range"),
        (["--release", "nowhere"], "is not released"),
    ],
)
def test_what_cannot_be_had_is_a_sentence(
    more: list[str], words: str, folder: Path, tmp_path: Path, capsys: Any
) -> None:
    out = tmp_path / "out"
    run_leaving_nothing(["previews", str(folder), "--out", str(out), *more], out, Exit.USAGE)
    assert words in capsys.readouterr().err


def test_a_pack_that_is_not_there(tmp_path: Path, capsys: Any) -> None:
    assert cli.run(["previews", str(tmp_path / "none")]) == Exit.USAGE
    assert "there is no such folder" in capsys.readouterr().err


def test_a_disk_that_fills_leaves_the_earlier_pictures(
    folder: Path, tmp_path: Path, monkeypatch: Any, capsys: Any
) -> None:
    out = tmp_path / "out"
    pictures(folder, out)
    honest, count = Image.Image.save, []

    def fills(self: Any, *args: Any, **more: Any) -> None:
        count.append(1)
        if len(count) == 3:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        honest(self, *args, **more)

    monkeypatch.setattr(Image.Image, "save", fills)
    args = ["previews", str(folder), "--out", str(out), "--width", "300"]
    run_leaving_nothing(args, out, Exit.UNFINISHED)
    assert "no previews were made" in capsys.readouterr().err


def test_pictures_of_an_earlier_release_go_and_ones_own_stay(tmp_path: Path) -> None:
    pack = released(tmp_path / "tea-house", SMALL)
    out = tmp_path / "pictures"
    pictures(pack, out, "--page", "2")
    (out / "mine.jpg").write_bytes(b"mine")
    edited = out / "tea-house-print-page-2-wide.png"
    edited.write_bytes(b"painted over")
    args = ["previews", str(pack), "--out", str(out), "--width", str(WIDTH), "--page", "3"]
    assert cli.run(args) == Exit.GOOD
    assert (out / "tea-house-print-page-2.png").exists()  # of the same release
    path = pack / "manifest.yaml"
    path.write_text(path.read_text("utf-8").replace("Saucer", "Spoon"), encoding="utf-8")
    assert cli.run(["build", str(pack)]) == Exit.GOOD
    assert cli.run(args) == Exit.GOOD
    left = {p.name for p in out.iterdir()}
    assert not any("page-2" in name for name in left - {edited.name})
    assert {"mine.jpg", edited.name, "tea-house-print-page-3.png"} <= left
    told = json.loads((out / "previews.json").read_text("utf-8"))
    assert len({line["of"] for line in told}) == 1


def test_the_dark_edition_keeps_its_ground(tmp_path: Path) -> None:
    pack = released(tmp_path / "tea-house", SMALL, "screen-dark")
    found = pictures(pack, tmp_path / "out", "--edition", "screen-dark")
    assert any(name.endswith("-square") for name in found)
    for name, picture in found.items():
        if name.endswith(("-square", "-wide")):
            rim = grey(picture)[:3]
            assert abs(rim - 0.10 * 255).max() <= 1  # the house style's ground
