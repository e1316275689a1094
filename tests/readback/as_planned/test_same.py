"""A file that was printed from a plan does not differ from it, and is read as a viewer reads it."""

from __future__ import annotations

import ast
import ctypes
import sys
import unicodedata
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from fontTools.ttLib import TTFont
from pypdfium2 import raw

from packbuilder.book.assembling import assemble, book_of
from packbuilder.editions import EDITIONS
from packbuilder.errors import InputError
from packbuilder.gate import check
from packbuilder.layouts.papers import PAPERS
from packbuilder.manifest import load
from packbuilder.pages import plan_book
from packbuilder.plan.imposition import sides
from packbuilder.plan.items import Tag, Text
from packbuilder.readback.as_planned import differences
from packbuilder.readback.as_planned.marks import Mark, PlannedSide
from packbuilder.typography.fonts import font_file
from tests.pages.rule_book import rule_book
from tests.pages.sample_book import sample_book
from tests.readback.as_planned.altering import with_page
from tests.readback.as_planned.plans import PRINTED, book, grid, printed, real, tiny

LAYOUTS = [path.stem for path in sorted(Path("layouts").glob("*.yaml"))]


@pytest.mark.parametrize("edition", PRINTED)
def test_every_edition_is_its_plan(edition: str) -> None:
    """Of plans by hand, of a book with every rule, and of one with grids of every kind."""
    books = (rule_book(), sample_book(layout="one-up"))
    plans = [plan_book(book_of(one, EDITIONS[edition])) for one in books]
    for plan in (tiny(edition), real(edition), *plans):
        assert list(differences(printed(plan), plan)) == []


def test_a_grid_that_is_there_twice_is_two() -> None:
    plan = tiny()
    plan = with_page(plan, 3, replace(plan.pages[3], items=(grid(3, 60.0), grid(3, 60.0))))
    assert list(differences(printed(plan), plan)) == []


@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_layout_and_paper_is_its_plan(layout: str) -> None:
    done = 0
    for paper in PAPERS:
        one = book()
        try:
            plan = plan_book(replace(one, pack=replace(one.pack, layout=layout, paper=paper)))
        except InputError:
            continue  # a layout that does not fit its paper
        assert list(differences(printed(plan), plan)) == []
        done += 1
    assert done


@pytest.mark.parametrize("name", ["night-train", "lantern-week", "cold-kettle-hill"])
def test_every_sample_pack_is_its_plan(name: str) -> None:
    whole = assemble(check(load(Path("packs") / name)))
    for edition in PRINTED:
        plan = plan_book(book_of(whole, EDITIONS[edition]))
        assert list(differences(printed(plan), plan)) == []


@pytest.mark.parametrize("name", ["SourceSansPro-Regular", "SourceSerifPro-BoldIt"])
def test_every_letter_of_a_face_is_its_plan(name: str) -> None:
    """More letters than one font of a file has codes for; marks without ink are never planned."""
    letters = map(chr, TTFont(font_file(name)).getBestCmap())
    inked = [one for one in letters if unicodedata.category(one) not in ("Cc", "Cf", "Cn")]
    assert len(inked) > 400
    lines = tuple(
        Text(60.0, 560.0 - 9.0 * k, "".join(inked[50 * k : 50 * k + 50]), name, 9.0, tag=Tag("P"))
        for k in range(-(-len(inked) // 50))
    )
    plan = with_page(tiny(), 3, replace(tiny().pages[3], items=lines))
    assert list(differences(printed(plan), plan)) == []


def test_it_shares_nothing_with_the_press_but_the_plan() -> None:
    """Nor with the pages, or with the libraries that read the file elsewhere."""
    allowed = {"packbuilder", "packbuilder.plan", "packbuilder.typography.fonts",
               "packbuilder.typography.kerning", "packbuilder.typography.names",
               "packbuilder.readback.report", "packbuilder.readback.as_planned",
               "uharfbuzz"}  # fmt: skip
    for path in sorted(Path("packbuilder/readback/as_planned").glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            names += [one.name for one in node.names] if isinstance(node, ast.Import) else []
            for name in names:
                own = name.split(".")[0] in sys.stdlib_module_names
                assert own or name in allowed or name.rpartition(".")[0] in allowed, (path, name)


# --- a viewer's own view -------------------------------------------------------------------------


Seen = tuple[str, list[float]]
"""What is seen of a mark, and places: where its text begins, or each run of its path."""


@pytest.mark.parametrize("edition", ["print", "booklet", "screen-dark"])
def test_marks_are_what_a_viewer_sees(edition: str) -> None:
    """pdfium's objects of each page, in order."""
    plan = real(edition)
    pages = pypdfium2.PdfDocument(printed(plan))
    for side, page in zip(sides(plan), pages, strict=True):
        marks = PlannedSide(side, plan.inks, tagged=plan.edition.tagged).marks
        due = [_due(mark) for mark in marks if mark.kind[0] in ("text", "path", "stamp")]
        seen = list(_seen(page))
        assert [what for what, _ in seen] == [what for what, places in due if what or places]
        places = [value for _, some in due for value in some]
        assert [value for _, some in seen for value in some] == pytest.approx(places, abs=0.02)


def _due(mark: Mark) -> Seen:
    *numbers, dx, dy = mark.numbers
    if mark.kind[0] == "stamp":
        return "the stamp", [dx, dy]
    if mark.kind[0] == "text":
        text = mark.kind[2].strip()
        return text, [numbers[0] + dx, numbers[1] + dy] if text else []
    places: list[float] = []
    for op in mark.kind[2]:
        places += [numbers[0] + dx, numbers[1] + dy] if op in "mr" else []
        del numbers[: {"m": 2, "l": 2, "c": 6, "r": 4, "h": 0}[op]]
    return "", places


def _seen(page: pypdfium2.PdfPage) -> Iterator[Seen]:
    text_page = page.get_textpage()
    for one in page.get_objects():
        matrix = one.get_matrix()
        if one.type == raw.FPDF_PAGEOBJ_TEXT:
            size = raw.FPDFTextObj_GetText(one, text_page, None, 0)
            buffer = (ctypes.c_ushort * (size // 2))()
            raw.FPDFTextObj_GetText(one, text_page, buffer, size)
            text = bytes(buffer).decode("utf-16-le").rstrip("\0").strip()
            if text:
                yield text, list(matrix.on_point(0, 0))
        elif one.type == raw.FPDF_PAGEOBJ_FORM:
            yield "the stamp", list(matrix.on_point(0, 0))
        else:
            yield "", [value for place in _runs(one) for value in matrix.on_point(*place)]


def _runs(path: pypdfium2.PdfObject) -> Iterator[tuple[float, float]]:
    """Where each run of a path begins."""
    for k in range(raw.FPDFPath_CountSegments(path)):
        segment = raw.FPDFPath_GetPathSegment(path, k)
        if raw.FPDFPathSegment_GetType(segment) == raw.FPDF_SEGMENT_MOVETO:
            x, y = ctypes.c_float(), ctypes.c_float()
            raw.FPDFPathSegment_GetPoint(segment, x, y)
            yield x.value, y.value
