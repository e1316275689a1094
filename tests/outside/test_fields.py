"""Cells that are typed into: filled by pypdf, then looked at in poppler's and pdfium's pictures."""

from __future__ import annotations

import ctypes
import io
import re
from functools import cache
from pathlib import Path

import numpy as np
import pypdf
import pypdfium2
import pypdfium2.raw as raw
import pytest

from packbuilder.reader.fields import fields
from tests.outside.pixels import Grey, cells, pdfium, poppler
from tests.outside.prints import FILLABLE, Printed, Prints, edited, grids, pdf

DPI = 150


def _typed(name: str) -> dict[str, str]:
    """What is typed: the true digit into the first, the middle and the last empty cell of two, and
    notes, few and many, into these and into a cell without a digit."""
    typed = {}
    for entry in edited(name).entries[1:4:2]:
        empty = [cell for cell, clue in enumerate(entry.puzzle.clues) if not clue]
        for cell in (empty[0], empty[len(empty) // 2], empty[-1]):
            row, column = divmod(cell, entry.puzzle.size)
            field = f"p{entry.number}-r{row + 1}c{column + 1}"
            typed[field] = str(entry.solution[cell])
            typed[f"{field}-notes"] = "123456789"[: 1 + 2 * row]
        row, column = divmod(empty[1], entry.puzzle.size)
        typed[f"p{entry.number}-r{row + 1}c{column + 1}-notes"] = "58"
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
                cell, puzzle = f"row {row}, column {column}", f"Puzzle {entry.number}"
                wanted[f"p{entry.number}-r{row}c{column}"] = f"{puzzle}, {cell}"
                wanted[f"p{entry.number}-r{row}c{column}-notes"] = f"{puzzle}, notes in {cell}"
    assert {key: field["/TU"] for key, field in fields.items()} == wanted
    assert not any(field.get("/V") for field in fields.values())
    for notes in (False, True):
        asked = [key for key in wanted if key.endswith("-notes") is notes]
        assert [key for key in fields if key.endswith("-notes") is notes] == asked


@pytest.mark.parametrize("name", FILLABLE)
def test_the_tab_key_goes_along_the_rows_of_one_puzzle_after_the_other(name: str) -> None:
    names = [
        str(annotation.get_object()["/T"])
        for page in pypdf.PdfReader(io.BytesIO(pdf(name))).pages
        for annotation in page.get("/Annots", ())
        if annotation.get_object()["/Subtype"] == "/Widget"
    ]
    places = [(int(one[1 : one.index("-")]), "notes" in one, *map(int, re.findall(r"\d+", one)))
              for one in names]  # fmt: skip
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
            strip = len(part) // 4
            for some, key in ((part[:strip], f"{field}-notes"), (part[strip:], field)):
                assert (some.mean() > 0.005) == (key in typed), key
                assert some.any() == (key in typed), key
            if field in typed:
                _is_central(part[strip:])
            part[:] = False
        assert not _others(changed, one, name).any()


@pytest.mark.parametrize("name", FILLABLE)
def test_a_click_and_typing_reach_the_field_that_is_meant(name: str) -> None:
    """As in a browser that draws by pdfium: a second digit is not taken, notes take nine."""
    one = grids(pdf(name), "puzzle", edited(name), DPI)[1]
    document = pypdfium2.PdfDocument(pdf(name))
    document.init_forms()
    page, form = document[one.page], document.formenv.raw
    n, clues = one.entry.puzzle.size, one.entry.puzzle.clues
    cell = clues.index(0)
    boxes = {field.name: field.box for field in fields(pdf(name))[one.page + 1]}
    for kind, typed in (("", "52"), ("-notes", "1379")):
        left, bottom, right, top = boxes[
            f"p{one.entry.number}-r{cell // n + 1}c{cell % n + 1}{kind}"
        ]
        x, y = (left + right) / 2, (bottom + top) / 2
        raw.FORM_OnMouseMove(form, page.raw, 0, x, y)
        raw.FORM_OnLButtonDown(form, page.raw, 0, x, y)
        raw.FORM_OnLButtonUp(form, page.raw, 0, x, y)
        for letter in typed:
            raw.FORM_OnChar(form, page.raw, ord(letter), 0)
        raw.FORM_ForceToKillFocus(form)
    found = {}
    for k in range(raw.FPDFPage_GetAnnotCount(page.raw)):
        note = raw.FPDFPage_GetAnnot(page.raw, k)
        told = {}
        for key, ask in (
            ("T", raw.FPDFAnnot_GetFormFieldName),
            ("V", raw.FPDFAnnot_GetFormFieldValue),
        ):
            size = ask(form, note, None, 0)
            room = (ctypes.c_ushort * (size // 2 + 1))()
            ask(form, note, room, size)
            told[key] = bytes(room)[: max(size - 2, 0)].decode("utf-16-le")
        raw.FPDFPage_CloseAnnot(note)
        if told["V"]:
            found[told["T"]] = told["V"]
    assert found == {
        f"p{one.entry.number}-r{cell // n + 1}c{cell % n + 1}": "5",
        f"p{one.entry.number}-r{cell // n + 1}c{cell % n + 1}-notes": "1379",
    }


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
