"""Layouts whose boxes overlap or do not fit: each refused with file, line and field.

The figures in the sentences are worked by hand from the layouts' own: a point is 25.4/72 mm.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from packbuilder.errors import InputError
from packbuilder.layouts import load
from tests.layouts.files import changed, line_of

# what is changed in which layout, a text of the row that is named, and the sentence
FAULTS = [
    ("grid and notes too high", "screen", ("notes_room: 30", "notes_room: 54"), "up_to: 16",
     # 213 - 18 - 18 of text, less 12 of caption and 54 of notes
     "cells[7].minimum: 16 cells need 112 mm down, and on tablet paper caption and notes leave "
     "111; write 6.9 or less, or make room"),
    ("grid too wide", "screen", ("inner: 12, outer: 12", "inner: 37, outer: 12"), "up_to: 16",
     "cells[7].minimum: 16 cells need 112 mm across, and on tablet paper the page leaves 111; "
     "write 6.9 or less, or make room"),
    ("no room at all", "screen",
     ("notes: below\n  notes_room: 30", "notes: beside\n  notes_room: 140"),
     "notes_room: 140",
     "grids.notes_room: leaves no room for grids on tablet paper; write less"),
    ("title over its caption", "screen", ("title: 22", "title: 30"), "title: 30",
     # half the size from frame to baseline and three quarters above it: 37.5 points
     "type.title: is more than grids.caption holds; write 27 or less, or a caption of 13.3"),
    ("puzzles too close", "four-up", ("gap_across: 10", "gap_across: 5"), "gap_across: 5",
     # 1.7 times the 9 points of its small type
     "grids.gap_across: is too little between a puzzle and what stands beside it; write 5.4 or "
     "more"),
    ("notes too close", "two-up", ("gap_across: 8", "gap_across: 2"), "gap_across: 2",
     "grids.gap_across: is too little between a puzzle and what stands beside it; write 5.7 or "
     "more"),
    ("hints too wide", "screen", ("hints: {cell: 14", "hints: {cell: 16"), "hints:",
     "hints.cell: a 9x9 needs 144 mm, and on tablet paper the text is 136 mm wide; write 15.1 or "
     "less, or give smaller margins"),
    ("answers too wide", "screen", ("answers: {cell: 7", "answers: {cell: 16"), "answers:",
     "answers.cell: a 9x9 needs 144 mm, and on tablet paper the text is 136 mm wide; write 15.1 or "
     "less, or give smaller margins"),
    ("foot in the margin", "screen", ("bottom: 18", "bottom: 13.5"), "bottom: 13.5",
     # 10 mm that stay bare, and 1.2 times the 10 points of the page number
     "margins.tablet.bottom: is too little for furniture of 9 pt; write 14.3 or more"),
    ("type under the promise", "large-print", ("label: 18", "label: 16"), "label: 16",
     "type.label: is under least.text; write 18 or more"),
    ("furniture under the promise", "large-print", ("\n  furniture: 18", "\n  furniture: 14"),
     "furniture: 14", "type.furniture: is under least.furniture; write 18 or more"),
    ("digits under the promise", "large-print", ("minimum: 14.2", "minimum: 13"), "minimum: 13}",
     "cells[6].minimum: gives digits under 28 pt; write 13.8 or more"),
    ("candidates under the promise", "large-print", ("cell: 20.1", "cell: 19"), "hints:",
     "hints.cell: gives candidates under 18 pt; write 20.1 or more"),
    ("answers under the promise", "large-print", ("cell: 9.2", "cell: 8"), "answers:",
     "answers.cell: gives digits under 18 pt; write 8.9 or more"),
    ("a ribbon like a thread", "gift-card", ("ribbon: 8", "ribbon: 4"), "cards:",
     "cards.ribbon: is 4; write 0 for none, or 8 or more"),
    ("a label twice", "gift-card", ("[For, From]", "[For, For]"), "writing:",
     "writing.labels[2]: 'For' is given twice; keep one"),
    ("a label that cannot be printed", "gift-card", ("[For, From]", "[For, 灯]"), "writing:",
     "writing.labels[2]: the type has no glyph for '灯'; use Latin, Greek or Cyrillic letters"),
    ("small paper: a misspelt field", "one-up", ("grids: {caption: 9", "grids: {captoin: 9"),
     "captoin", "on.a6.grids.captoin: unknown field; did you mean 'caption'?"),
    ("small paper: a bound", "one-up", ("caption: 9, ", "caption: 5, "), "caption: 5",
     "on.a6.grids.caption: is 5; write millimetres from 6 to 24"),
    ("small paper: cells", "one-up", ("aim: 8.6, minimum: 7", "aim: 8.6, minimum: 8.9"),
     "minimum: 8.9", "on.a6.cells[3].minimum: is larger than the aim; write the same or less"),
    ("small paper: what may not differ", "one-up", ("  a6:\n    grids:", "  a6:\n    digit: 0.6\n"
     "    greys: {}\n    grids:"), "greys: {}", "on.a6.greys: unknown field; only grids, cells, "
     "digit, writing, cards, lines, type, hints, answers may be different on one paper; delete it"),
    ("small paper: none of its own", "one-up", ("  a6:\n    grids:", "  tablet:\n    grids:"),
     "tablet:", "on.tablet: the layout is not made for it; give margins.tablet, or delete this"),
    ("small paper: the section's title", "one-up", ("section: 24", "section: 60"), "section: 60",
     # 81 mm are 229.6 points, the longest title 6.2 times its type
     "on.a6.type.section: is wider than the text on a6 paper; write 37 or less"),
    ("a number in quotes", "screen", ("digit: 0.6 #", "digit: '0.6' #"), "digit:",
     "digit: '0.6' is in quotes; write the number without them"),
    # each field by itself, in a layout that is good
    ("a wrong word", "one-up", (" border: 2, frame", " bordr: 2, frame"),
     "bordr: 2", "lines.bordr: unknown field; did you mean 'border'?"),
    ("a missing field", "one-up", (" border: 2,", ""), "lines:",
     "lines.border: is missing; add a line `border: ...`"),
    ("text for a number", "one-up", ("down: 1", "down: two"), "down: two",
     "grids.down: 'two' is not a whole number; write a whole number from 1 to 4"),
    ("too small a margin", "one-up", ("inner: 17,", "inner: 6,"), "inner: 6",
     "margins.a5.inner: is 6; write millimetres from 10 to 100"),
    ("an unknown paper", "one-up", ("  a5: {", "  a3: {"), "a3: {", "margins.a3: 'a3' is not a "
     "paper size; write one of: a4, letter, a5, half-letter, a6, tablet"),
    ("a choice", "one-up", ("notes: below", "notes: above"), "notes: above",
     "grids.notes: 'above' is not a place for notes; write one of: below, beside"),
    ("borders like cell lines", "one-up", ("border: 2,", "border: 1,"), "border: 1",
     "lines.border: must be at least three times lines.cell, 1.8 or more"),
    ("tiny digits", "one-up", ("aim: 12, minimum: 7", "aim: 12, minimum: 4.5"), "minimum: 4.5",
     "cells[5].minimum: gives digits under 9 pt; write 5.3 or more"),
    ("cells out of order", "one-up", ("up_to: 12, aim: 15", "up_to: 9, aim: 15"), "cells:",
     "cells: must go up: give each `up_to` once, the smallest first"),
    ("minimum over aim", "one-up", ("aim: 18, minimum: 11", "aim: 10, minimum: 11"), "minimum: 11",
     "cells[3].minimum: is larger than the aim; write the same or less"),
    ("dark shade", "one-up", ("shade: 0.9", "shade: 0.5"), "shade: 0.5",
     "greys.shade: is 0.5; write a number from 0.85 to 0.97"),
    ("small type", "one-up", ("label: 9", "label: 8"), "label: 8",
     "type.label: is 8; write points from 9 to 36"),
    ("its own name", "one-up", ("about: one", "name: x\nabout: one"), "name: x",
     "name: unknown field; a layout is named by its file; delete this line"),
    ("no room for text", "one-up", ("inner: 26, outer: 22", "inner: 70, outer: 70"), "inner: 70",
     "margins.a4: inner and outer leave less than 80 mm for the text"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "change", "row", "told"), [f[1:] for f in FAULTS], ids=[f[0] for f in FAULTS]
)
def test_faults(tmp_path: Path, name: str, change: tuple[str, str], row: str, told: str) -> None:
    folder = changed(tmp_path, name, change)
    with pytest.raises(InputError) as caught:
        load("mine", folder)
    first = str(caught.value).splitlines()[0]
    assert first == f"{folder / 'mine.yaml'}:{line_of(folder, row)}: {told}"


def test_notes_too_narrow_for_a_page_reference_on_either_paper(tmp_path: Path) -> None:
    folder = changed(tmp_path, "two-up", ("notes_room: 39", "notes_room: 30"))
    with pytest.raises(InputError) as caught:
        load("mine", folder)
    told = str(caught.value).splitlines()
    assert len(told) == 2
    assert "grids.notes_room: give notes 30 mm on letter paper, and a page reference" in told[1]


def test_what_differs_on_one_paper_differs_on_no_other() -> None:
    layout = load("one-up")
    assert layout.for_paper("a6").grids.caption == 9
    assert layout.for_paper("a6").grids.across == 1  # as on all others
    assert layout.for_paper("a4").grids.caption == 13
    assert layout.for_paper("a6").cells[-1].up_to == 12
    assert layout.for_paper("a5").cells[-1].up_to == 16
