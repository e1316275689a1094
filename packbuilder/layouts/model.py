"""The fields of a layout, each with what it means, and their JSON Schema.

A field's description and example are what an editor shows while a layout is written. Lengths are in
millimetres, type sizes and line weights in points, as the trade has them. The figures that bound
them come from print practice: 10 mm that a home printer may not reach, 9 pt for anything that is
read, greys that still have 7:1 contrast (WCAG 1.4.6).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from packbuilder.editions import OWN_PAPERS
from packbuilder.errors import InputError
from packbuilder.grid import MAX_SIZE, MIN_SIZE
from packbuilder.layouts.papers import PAPERS, SAFE
from packbuilder.typography import fonts
from packbuilder.yamlfields.groups import Group, ListOf, MapOf, document_schema, fields_of, given
from packbuilder.yamlfields.values import YES_NO, Value, line, number, one_of, whole

LEAST_TEXT, LEAST_FURNITURE, LEAST_SMALL = 9.0, 7.0, 5.0
"""Points: the smallest type of what is read, of running heads and feet, and of text in grids."""

T = TypeVar("T")


def _mm(least: float, most: float) -> Value[float]:
    return number(least, most, "millimetres")


def _points(least: float, most: float) -> Value[float]:
    return number(least, most, "points")


# Tables. Each field: what it may hold, what it means, an example, what it is where left out.
# fmt: off
_MARGIN, _FACE = _mm(SAFE, 100), one_of(fonts.faces, "a face")
_PAPER = one_of(PAPERS, "a paper size")
_GAP = _mm(0, 60)
_LABELS = ListOf(line(16), "a list of at most 4 labels", most=4)


@dataclass(frozen=True, kw_only=True)
class Margins:
    """From the paper's edge to the text."""

    inner: float = given(_MARGIN, "On the side of the spine.", 20)
    outer: float = given(_MARGIN, "On the other side.", 16)
    top: float = given(_MARGIN, "Above the text; the running head stands in it.", 21)
    bottom: float = given(_MARGIN, "Below the text; the page number stands in it.", 18)


@dataclass(frozen=True, kw_only=True)
class Grids:
    """How puzzle grids share a page, and the room kept with them."""

    across: int = given(whole(1, 4), "Puzzles side by side.", 1)
    down: int = given(whole(1, 4), "Puzzles one under another.", 2)
    gap_across: float = given(_GAP,
        "Between puzzles side by side; and between a grid and the notes beside it.", 8, 0.0)
    gap_down: float = given(_GAP, "Between puzzles one under another.", 5, 0.0)
    caption: float = given(_mm(6, 24), "Room above a grid for number and title.", 10)
    notes: str = given(one_of(("below", "beside"), "a place for notes"),
        "Where setter, intro, page references and lines to write on stand.", "beside", "below")
    notes_room: float = given(_mm(10, 150),
        "The height kept for them below, or the width beside.", 38)


@dataclass(frozen=True, kw_only=True)
class Cells:
    """Cell sizes of grids up to a size."""

    up_to: int = given(whole(MIN_SIZE, MAX_SIZE), "The largest grid that this is for.", 9)
    aim: float = given(_mm(4, 50), "The cell size to aim at.", 18)
    minimum: float = given(_mm(4, 40),
        "The least cell size that may be printed; a grid that would get less is refused. A band of "
        "clues outside a grid counts as a row of cells.", 11)


@dataclass(frozen=True, kw_only=True)
class Writing:
    """What a solver or a giver writes on, besides the cells."""

    labels: tuple[str, ...] = given(_LABELS,
        "Words with a line to write on after each; `[]` for none.",
        ["For", "From"], ("Time", "Date"))
    ruled: float | None = given(_mm(5, 15),
        "Distance of ruled lines that fill what the notes leave free; left out: none.", 8, None)


@dataclass(frozen=True, kw_only=True)
class Cards:
    """Each puzzle on a card to cut out and give away."""

    padding: float = given(_mm(3, 15), "From the card's edge to what stands on it.", 5)
    ribbon: float = given(_mm(0, 25),
        "Height at the head of a card for a ribbon with a bow; 0 for none, else 8 or more.",
        12, 0.0)
    guides: bool = given(YES_NO, "Whether dashed lines show where to cut.", True, True)


@dataclass(frozen=True, kw_only=True)
class Lines:
    """Line weights in points. Small grids get lighter lines in the same proportion."""

    cell: float = given(_points(0.25, 1.5), "Lines between cells.", 0.6)
    border: float = given(_points(0.75, 5),
        "Borders of blocks and regions: 3 times the cell lines or more.", 2)
    frame: float = given(_points(0.75, 5), "The frame: 3 times the cell lines or more.", 2.2)


@dataclass(frozen=True, kw_only=True)
class Type:
    """Type sizes in points."""

    cover: float = given(_points(18, 96), "The title on the cover, where it fits.", 62)
    section: float = given(_points(12, 60), "Titles of sections.", 32)
    title: float = given(_points(9, 48), "Titles of puzzles.", 24)
    title_least: float = given(_points(9, 48), "How far a long title of a puzzle may shrink.", 13)
    prose: float = given(_points(9, 36), "Running text.", 10.5)
    small: float = given(_points(9, 36), "Text beside grids.", 9.5)
    label: float = given(_points(9, 36), "Labels and page references.", 9)
    furniture: float = given(_points(7, 24), "Running heads and feet.", 8)


@dataclass(frozen=True, kw_only=True)
class Least:
    """The least type sizes in points that this layout promises; the edition may ask for more."""

    text: float = given(_points(LEAST_TEXT, 24), "Of all that is read.", 18, LEAST_TEXT)
    furniture: float = given(_points(LEAST_FURNITURE, 24),
        "Of running heads and feet.", 18, LEAST_FURNITURE)
    small: float = given(_points(LEAST_SMALL, 24),
        "Of text in grids and round them: candidates in hints up to 9x9, sums in corners, letters "
        "on edges, clues outside.", 18, LEAST_SMALL)
    digits: float = given(_points(LEAST_TEXT, 40),
        "Of the digits in puzzle grids.", 28, LEAST_TEXT)


@dataclass(frozen=True, kw_only=True)
class Faces:
    """Type faces of Source Serif Pro and Source Sans Pro. Digits in grids are the house's own."""

    title: str = given(_FACE, "Titles.", "SourceSerifPro-Bold", "SourceSerifPro-Semibold")
    prose: str = given(_FACE, "Text.", "SourceSansPro-Regular", "SourceSerifPro-Regular")
    italic: str = given(_FACE, "Leads, setters.", "SourceSansPro-It", "SourceSerifPro-It")
    label: str = given(_FACE,
        "Labels and page references.", "SourceSansPro-Regular", "SourceSansPro-Regular")
    strong: str = given(_FACE,
        "Numbers of puzzles, headings.", "SourceSansPro-Bold", "SourceSansPro-Semibold")


@dataclass(frozen=True, kw_only=True)
class Greys:
    """Greys from 0, black, to 1, white."""

    quiet: float = given(number(0, 0.34), "Quiet text; 0.34 has 7:1 on white.", 0.33)
    rule: float = given(number(0, 0.58), "Thin rules; 0.58 has 3:1 on white.", 0.5)
    shade: float = given(number(0.85, 0.97), "Fill of cells that a hint speaks of.", 0.9)


@dataclass(frozen=True, kw_only=True)
class Columns:
    """Answers, many to a page: as many columns as fit."""

    cell: float = given(_mm(5.3, 30), "Least cell size of a 9x9 grid.", 5.3)
    gap: float = given(_mm(3, 30), "Between columns.", 9)


@dataclass(frozen=True, kw_only=True)
class HintColumns:
    """Hint grids, several to a page: as many columns as fit."""

    cell: float = given(_mm(7, 30), "Least cell size of a 9x9 grid: it must hold candidates.", 7.8)
    gap: float = given(_mm(3, 30), "Between columns.", 14)


def _group(made: type[T]) -> Group[T]:
    return Group(made.__name__, made.__doc__ or "", fields_of(made), made)


@dataclass(frozen=True, kw_only=True)
class PaperSetting:
    """What may be different on one paper."""

    grids: Grids = given(_group(Grids),
        "Puzzles to a page.", {"across": 1, "down": 1, "caption": 13, "notes_room": 38})
    cells: tuple[Cells, ...] = given(
        ListOf(_group(Cells), "a list of cell sizes", "begin each with `- up_to: ...`", least=1),
        "Cell sizes, the smallest grids first; larger grids than the last `up_to` are refused.",
        [{"up_to": 9, "aim": 18, "minimum": 11}])
    digit: float = given(number(0.5, 0.75), "Type size of a digit, as a part of the cell.", 0.6)
    writing: Writing = given(_group(Writing),
        "Room to write in.", {"labels": ["Name", "Date"]}, Writing())
    cards: Cards | None = given(_group(Cards),
        "Puzzles stand on cards to cut out; left out: they do not.",
        {"padding": 5, "ribbon": 12}, None)
    lines: Lines = given(_group(Lines), "Line weights.", {"cell": 0.6, "border": 2, "frame": 2.2})
    type: Type = given(_group(Type), "Type sizes.",
        {"cover": 62, "section": 32, "title": 24, "title_least": 13, "prose": 10.5, "small": 9.5,
         "label": 9, "furniture": 8})
    hints: HintColumns = given(_group(HintColumns),
        "Grids of third hints.", {"cell": 7.8, "gap": 14})
    answers: Columns = given(_group(Columns), "Grids of answers.", {"cell": 5.3, "gap": 9})


Change = dict[str, Any]
"""Some fields of a `PaperSetting`; of a group, some of its fields in turn."""


def _elsewhere(name: str) -> str:
    may = f"only {', '.join(fields_of(PaperSetting))} may be different on one paper"
    return f"{may}; delete it" if name in fields_of(Layout) else ""


_CHANGE: Group[Change] = Group(
    "Change", "What is different on a paper.", fields_of(PaperSetting), dict, _elsewhere, True
)


@dataclass(frozen=True, kw_only=True)
class Layout(PaperSetting):
    """How a pack is set: a file of its own, whose name is the layout's."""

    name: str
    file: Path
    about: str = given(line(120),
        "A sentence for the list of layouts.",
        "one grid to a page, in cells that hold pencil notes")
    margins: Mapping[str, Margins] = given(
        MapOf(_PAPER, _group(Margins), "write a line such as `a4: {inner: 20, ...}` for each paper",
              least=1),
        "Margins on each paper that the layout is made for: `a4`, `letter`, `a5`, `half-letter` "
        "and `a6` (booklets are folded to them), `tablet` (the screen's).",
        {"a4": {"inner": 25, "outer": 20, "top": 21, "bottom": 20}})
    least: Least = given(_group(Least), "Least type sizes.", {"text": 18, "digits": 28}, Least())
    faces: Faces = given(_group(Faces), "Type faces.", {"title": "SourceSerifPro-Bold"}, Faces())
    greys: Greys = given(_group(Greys), "Greys.", {"quiet": 0.33, "rule": 0.5, "shade": 0.9})
    narrow_strip: bool = given(YES_NO,
        "Whether a strip under each answer shows where its solve is narrow.", True, False)
    on: Mapping[str, Change] = given(
        MapOf(_PAPER, _CHANGE, "write a line such as `a6: {grids: {caption: 9}}` for each paper"),
        "What is different on a paper: any of the groups above, or some fields of one.",
        {"a6": {"grids": {"caption": 9}, "hints": {"cell": 8}}}, {})

    def for_paper(self, paper: str) -> Layout:
        """The layout as it is on a paper. Raises InputError where it is not made for it."""
        if paper not in self.margins:
            papers = [name for name in self.margins if name not in OWN_PAPERS]
            forms = dict.fromkeys(OWN_PAPERS[p].name for p in self.margins if p in OWN_PAPERS)
            mend = "choose one of them, or another layout"
            if not papers:
                mend = f"choose another layout, and build with `--edition {next(iter(forms))}`"
            raise InputError(
                f"pack: paper {paper!r}: the layout {self.name} is made for "
                f"{', '.join(papers or self.margins)}; {mend}"
            )
        change = self.on.get(paper, {})
        return replace(self, **{name: self._changed(name, new) for name, new in change.items()})

    def _changed(self, name: str, change: Any) -> Any:
        """A field with what is different: of a group, field by field."""
        if not isinstance(change, dict):
            return change
        own = getattr(self, name)
        return replace(own, **change) if own else Cards(**change)

    def line_for(self, size: int) -> tuple[int, Cells] | None:
        """The line of ``cells`` that holds for a grid's size, and its place in the list."""
        return next(((k, rule) for k, rule in enumerate(self.cells) if size <= rule.up_to), None)

    def cell_rule(self, size: int) -> tuple[int, Cells]:
        """The same; the last line for grids that are too large (see `fitting.misfit`)."""
        return self.line_for(size) or (len(self.cells) - 1, self.cells[-1])


_NAMED = "a layout is named by its file; delete this line"
LAYOUT: Group[dict[str, Any]] = Group(
    "Layout", Layout.__doc__ or "", fields_of(Layout), dict,
    lambda name: _NAMED if name in ("name", "file") else "",
)
# fmt: on


def schema() -> dict[str, Any]:
    """The JSON Schema of layouts (draft 2020-12), with a description of every field."""
    return document_schema(LAYOUT, "packbuilder layout")
