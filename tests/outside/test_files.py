"""The files as qpdf and poppler see them: sound, with every font in them, of the right paper."""

from __future__ import annotations

import io
import re
from itertools import product

import pypdf
import pytest

from packbuilder.editions import EDITIONS
from tests.outside.pixels import run
from tests.outside.prints import PDFS, Prints, edited, printed

MM = 72 / 25.4

# Widths and heights in millimetres. A sizes: ISO 216:2007, clause 4, main series (tolerance from
# 2007 clause 5: +-1.5 mm up to 150 mm, far above ours). Letter: ANSI/ASME Y14.1, size A, 8.5 x 11
# inches; half of it, cut across. Tablet: the house style, no standard. All from memory.
PAPER = {
    "a4": (210, 297),
    "a5": (148, 210),
    "a6": (105, 148),
    "letter": (215.9, 279.4),
    "half-letter": (139.7, 215.9),
    "tablet": (160, 213),
}

LAYOUT = {"a5": "one-up"}
"""The layout for papers that the pack's own is not made for."""

INSTEAD = {("large-print", "a5"): "a4"}
"""Half a sheet does not hold a grid in large print."""


@pytest.mark.parametrize(("name", "which"), [*product(PDFS, ["small"]), ("print", "night-train")])
def test_qpdf_finds_nothing_wrong(prints: Prints, name: str, which: str) -> None:
    told = run("qpdf", "qpdf", "--check", prints.file(name, which))
    assert "No syntax or stream encoding errors found" in told
    assert "WARNING" not in told


@pytest.mark.parametrize("name", PDFS)
def test_every_font_is_embedded_and_subset_and_of_our_families(prints: Prints, name: str) -> None:
    rows = run("pdffonts", "poppler-utils", prints.file(name)).splitlines()[2:]
    assert rows
    for row in rows:
        face, embedded, subset, searchable = _font(row)
        assert re.fullmatch(r"[A-Z]{6}\+Source(Sans|Serif)Pro-\w+", face), row
        assert (embedded, subset, searchable) == ("yes", "yes", "yes"), row


def _font(row: str) -> tuple[str, str, str, str]:
    """Name, and the columns emb, sub and uni, of a row of ``pdffonts``."""
    found = re.fullmatch(r"(\S+) .*? (yes|no) +(yes|no) +(yes|no) +\d+ +\d+\s*", row)
    assert found, row
    return found[1], found[2], found[3], found[4]


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
@pytest.mark.parametrize("name", PDFS)
def test_pages_have_the_size_of_their_standard(prints: Prints, name: str, paper: str) -> None:
    form = EDITIONS[name]
    made = edited(name, paper=paper, layout=LAYOUT.get(paper, "two-up"))
    data = printed(made)
    width, height = PAPER[form.paper or INSTEAD.get((name, paper), paper)]
    if form.folded:
        width, height = height, width  # on its side
    around = 10 if form.bleed else 0  # the house style: room for crop marks
    file = prints.other(data, f"{name}-{paper}")
    boxes = _boxes(run("pdfinfo", "poppler-utils", "-box", "-f", "1", "-l", "9999", file))
    assert len(boxes["MediaBox"]) == len(pypdf.PdfReader(io.BytesIO(data)).pages)
    for box in boxes["MediaBox"]:
        _is_of(box, width + 2 * around, height + 2 * around)
    if form.bleed:
        for box in boxes["TrimBox"]:
            _is_of(box, width, height)
        for box in boxes["BleedBox"]:
            _is_of(box, width + 2 * form.bleed, height + 2 * form.bleed)


def _boxes(told: str) -> dict[str, list[tuple[float, ...]]]:
    boxes: dict[str, list[tuple[float, ...]]] = {}
    for kind, numbers in re.findall(r"^Page +\d+ (\w+Box): +(.+)$", told, re.MULTILINE):
        boxes.setdefault(kind, []).append(tuple(map(float, numbers.split())))
    return boxes


def _is_of(box: tuple[float, ...], width: float, height: float) -> None:
    """The box has these millimetres, to a thirtieth of one."""
    assert box[2] - box[0] == pytest.approx(width * MM, abs=0.1)
    assert box[3] - box[1] == pytest.approx(height * MM, abs=0.1)
