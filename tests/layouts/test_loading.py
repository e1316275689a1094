"""Layouts: what is shipped works, and each fault is told with file, line, field and the mend."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from packbuilder.errors import InputError
from packbuilder.layouts import MM, PAPERS, available, cell_size, load
from tests.layouts.files import changed
from tests.pages.sample_book import sample_book
from tests.printing import print_book

NAMES = ["four-up", "gift-card", "large-print", "one-up", "screen", "two-up", "worksheet"]


def test_the_shipped_layouts() -> None:
    assert [one.name for one in available()] == NAMES
    assert all(one.about for one in available())


def test_the_papers() -> None:
    # ISO 216: A4 is 210 x 297 mm, halved twice with whole millimetres; ANSI/ASME Y14.1: 8.5 x 11 in
    inches = {"letter": (8.5, 11), "half-letter": (5.5, 8.5)}
    millimetres = {"a4": (210, 297), "a5": (148, 210), "a6": (105, 148), "tablet": (160, 213)}
    due = {name: (w * 72, h * 72) for name, (w, h) in inches.items()}
    due |= {name: (w / 25.4 * 72, h / 25.4 * 72) for name, (w, h) in millimetres.items()}
    assert {k: pytest.approx(v) for k, v in due.items()} == PAPERS


@pytest.mark.parametrize(
    ("paper", "layout", "least", "most"),
    [
        # millimetres, from print practice: 18 for one grid on a large page, 13 for two, never
        # under 9 for four
        ("a4", "one-up", 18, 18), ("letter", "one-up", 18, 18), ("a5", "one-up", 13, 13),
        ("half-letter", "one-up", 12.4, 13), ("a6", "one-up", 8, 9),
        # a hand-printed character is 4 x 5 mm; 20 mm hold candidates of 18 points
        ("a4", "worksheet", 11, 12), ("letter", "worksheet", 11, 12.3),
        ("a4", "gift-card", 7, 9), ("letter", "gift-card", 7, 9),
        ("a4", "large-print", 20, 20.2), ("letter", "large-print", 19, 20.2),
        ("tablet", "screen", 15, 15),
        ("a4", "two-up", 12.9, 13.1), ("letter", "two-up", 11, 13),
        ("a4", "four-up", 9, 9.5), ("letter", "four-up", 9, 9.5),
    ],
)  # fmt: skip
def test_cells_of_a_9x9(paper: str, layout: str, least: float, most: float) -> None:
    found = load(layout).for_paper(paper)
    cell = cell_size(found, paper, sample_book().entries[0].puzzle) / MM
    assert least - 0.02 <= cell <= most + 0.02


def test_a_layout_of_ones_own_needs_no_code(tmp_path: Path) -> None:
    folder = changed(tmp_path, "two-up", ("about: two grids", "about: my two grids"),
                     ("frame: 2}", "frame: 2.4}"))  # fmt: skip
    assert [one.name for one in available(folder)] == sorted(["mine", *NAMES])
    out = io.BytesIO()
    print_book(sample_book("a4", "mine"), out, layouts_folder=folder)
    assert out.getvalue().startswith(b"%PDF-1.7")


def test_an_unknown_face(tmp_path: Path) -> None:
    folder = changed(tmp_path, "one-up", ("greys:", "faces: {title: Bookish}\n\ngreys:"))
    with pytest.raises(InputError, match=r"faces.title: 'Bookish' is not a face; write one of: S"):
        load("mine", folder)


def test_all_faults_at_once(tmp_path: Path) -> None:
    folder = changed(tmp_path, "one-up", ("label: 9", "label: 8"), ("shade: 0.9", "shade: 2"))
    with pytest.raises(InputError) as caught:
        load("mine", folder)
    assert len(str(caught.value).splitlines()) == 2


def test_an_unknown_layout() -> None:
    with pytest.raises(InputError) as caught:
        load("two-ups")
    assert str(caught.value) == "no layout 'two-ups'; did you mean 'two-up'?"
    with pytest.raises(InputError) as caught:
        load("brochure")
    assert str(caught.value) == f"no layout 'brochure'; write one of: {', '.join(NAMES)}"


@pytest.mark.parametrize("name", ["../secret", "/etc/passwd", "", "one-up.yaml"])
def test_a_name_is_no_path(name: str) -> None:
    with pytest.raises(InputError, match="no layout"):
        load(name)


def test_a_paper_that_the_layout_is_not_made_for() -> None:
    with pytest.raises(InputError) as caught:
        print_book(sample_book("a5", "two-up"), io.BytesIO())
    assert str(caught.value) == (
        "pack: paper 'a5': the layout two-up is made for a4, letter; choose one of them, or "
        "another layout"
    )


def test_a_grid_larger_than_the_layout_goes() -> None:
    with pytest.raises(InputError) as caught:
        print_book(sample_book("a4", "four-up", True), io.BytesIO())
    assert str(caught.value).endswith(
        "four-up.yaml: cells: the layout four-up stops at grids of size 12 on a4 paper, and the "
        "16x16 grid of puzzle 'sixteen-fathoms' is larger; take another layout or larger paper, or "
        "give this one a line `up_to: 16`"
    )
