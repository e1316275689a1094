"""Cells that are typed into: filled by pypdf, then looked at in poppler's and pdfium's pictures."""

from __future__ import annotations

import io
import re
from functools import cache
from pathlib import Path

import numpy as np
import pypdf
import pytest

from tests.outside.pixels import Grey, cells, pdfium, poppler
from tests.outside.prints import FILLABLE, Printed, Prints, edited, grids, pdf

DPI = 150


def _typed(name: str) -> dict[str, str]:
    """What is typed: the true digit into the first, the middle and the last empty cell of two."""
    typed = {}
    for entry in edited(name).entries[1:4:2]:
        empty = [cell for cell, clue in enumerate(entry.puzzle.clues) if not clue]
        for cell in (empty[0], empty[len(empty) // 2], empty[-1]):
            row, column = divmod(cell, entry.puzzle.size)
            field = f"p{entry.number}-r{row + 1}c{column + 1}"
            typed[field] = str(entry.solution[cell])
    return typed


@cache
def _filled(name: str) -> bytes:
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(pdf(name)))
    for page in writer.pages:
        writer.update_page_form_field_values(page, _typed(name), auto_regenerate=False)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


@pytest.mark.parametrize("name", FILLABLE)
def test_fields_are_the_empty_cells_row_by_row_and_each_says_where_it_is(name: str) -> None:
    # a field's tooltip (TU) is its name to a screen reader: ISO 32000-1, 12.7.3.1, table 220
    fields = pypdf.PdfReader(io.BytesIO(pdf(name))).get_fields() or {}
    wanted = {}
    for entry in edited(name).entries:
        for cell, clue in enumerate(entry.puzzle.clues):
            row, column = (k + 1 for k in divmod(cell, entry.puzzle.size))
            if not clue:
                told = f"Puzzle {entry.number}, row {row}, column {column}"
                wanted[f"p{entry.number}-r{row}c{column}"] = told
    assert {key: field["/TU"] for key, field in fields.items()} == wanted
    assert not any(field.get("/V") for field in fields.values())
    assert list(fields) == list(wanted)


@pytest.mark.parametrize("name", FILLABLE)
def test_the_tab_key_goes_along_the_rows_of_one_puzzle_after_the_other(name: str) -> None:
    names = [
        str(annotation.get_object()["/T"])
        for page in pypdf.PdfReader(io.BytesIO(pdf(name))).pages
        for annotation in page.get("/Annots", ())
        if annotation.get_object()["/Subtype"] == "/Widget"
    ]
    places = [tuple(map(int, re.findall(r"\d+", one))) for one in names]
    assert places == sorted(places)
    assert len(places) > 100


@pytest.mark.parametrize("name", FILLABLE)
def test_what_is_typed_is_kept_and_the_neighbours_stay_empty(name: str) -> None:
    fields = pypdf.PdfReader(io.BytesIO(_filled(name))).get_fields() or {}
    kept = {key: field["/V"] for key, field in fields.items() if field.get("/V")}
    assert kept == _typed(name)


@pytest.mark.parametrize("name", FILLABLE)
@pytest.mark.parametrize("renderer", ["pdfium", "poppler"])
def test_what_is_typed_is_seen_in_its_cell_and_nowhere_else(
    prints: Prints, name: str, renderer: str
) -> None:
    file = prints.other(_filled(name), f"filled-{name}")
    typed = _typed(name)
    before = prints.file(name)
    for one in grids(pdf(name), "puzzle", edited(name), DPI)[1:4:2]:
        old, new = (_drawn(renderer, path, one.page) for path in (before, file))
        changed = np.abs(old.astype(int) - new.astype(int)) > 60
        n = one.entry.puzzle.size
        for k, box in enumerate(cells(one.frame, n, 0.04)):
            field = f"p{one.entry.number}-r{k // n + 1}c{k % n + 1}"
            part = box.of(changed)
            assert (part.mean() > 0.01) == (field in typed), field
            assert part.any() == (field in typed), field
            if field in typed:
                _is_central(part)
            part[:] = False
        assert not _others(changed, one, name).any()


def _drawn(renderer: str, file: Path, page: int) -> Grey:
    if renderer == "poppler":
        return poppler(file, page, DPI)
    (drawn,) = pdfium(file.read_bytes(), [page], DPI, fields=True)
    return drawn


def _is_central(part: np.ndarray) -> None:
    """The digit stands in the middle of its cell, a sixth of it aside at most."""
    rows, columns = np.nonzero(part)
    height, width = part.shape
    assert (rows.min() + rows.max()) / 2 / height == pytest.approx(0.5, abs=1 / 6)
    assert (columns.min() + columns.max()) / 2 / width == pytest.approx(0.5, abs=1 / 6)


def _others(changed: np.ndarray, one: Printed, name: str) -> np.ndarray:
    """What has changed outside the puzzles that were typed into."""
    rest = np.array(changed)
    for other in grids(pdf(name), "puzzle", edited(name), DPI):
        if other.page == one.page and other is not one:
            other.frame.of(rest)[:] = False
    return rest
