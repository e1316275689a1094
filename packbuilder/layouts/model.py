"""The fields of a layout, each with what it means: the model, and its JSON Schema.

A field's description and example are what an editor shows while a layout is written. Lengths are in
millimetres, type sizes and line weights in points, as the trade has them. The figures that bound
them come from print practice: 10 mm that a home printer may not reach, 9 pt for anything that is
read, greys that still have 7:1 contrast (WCAG 1.4.6).
"""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from packbuilder.editions import OWN_PAPERS
from packbuilder.errors import InputError
from packbuilder.grid import MAX_SIZE, MIN_SIZE
from packbuilder.layouts.papers import SAFE, Paper

DIALECT = "https://json-schema.org/draft/2020-12/schema"

LEAST_TEXT, LEAST_FURNITURE, LEAST_SMALL = 9.0, 7.0, 5.0
"""Points: the smallest type of what is read, of running heads and feet, and of text in grids."""

Words = Annotated[str, StringConstraints(pattern=r"^\S(.*\S)?$", max_length=120)]
Label = Annotated[str, StringConstraints(pattern=r"^\S(.*\S)?$", max_length=16)]

CHANGEABLE = ("grids", "cells", "digit", "writing", "cards", "lines", "type", "hints", "answers")
"""What may be different on one paper."""


class Part(BaseModel):
    """A group of fields. Unknown ones are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class Margins(Part):
    """From the paper's edge to the text."""

    inner: float = Field(ge=SAFE, le=100, description="On the side of the spine.", examples=[20])
    outer: float = Field(ge=SAFE, le=100, description="On the other side.", examples=[16])
    top: float = Field(
        ge=SAFE, le=100, description="Above the text; the running head stands in it.", examples=[21]
    )
    bottom: float = Field(
        ge=SAFE, le=100, description="Below the text; the page number stands in it.", examples=[18]
    )


class Grids(Part):
    """How puzzle grids share a page, and the room kept with them."""

    across: int = Field(ge=1, le=4, description="Puzzles side by side.", examples=[1])
    down: int = Field(ge=1, le=4, description="Puzzles one under another.", examples=[2])
    gap_across: float = Field(
        default=0,
        ge=0,
        le=60,
        description="Between puzzles side by side; and between a grid and the notes beside it.",
        examples=[8],
    )
    gap_down: float = Field(
        default=0, ge=0, le=60, description="Between puzzles one under another.", examples=[5]
    )
    caption: float = Field(
        ge=6, le=24, description="Room above a grid for number and title.", examples=[10]
    )
    notes: Literal["below", "beside"] = Field(
        default="below",
        description="Where setter, intro, page references and lines to write on stand.",
        examples=["beside"],
    )
    notes_room: float = Field(
        ge=10, le=150, description="The height kept for them below, or the width beside.",
        examples=[38],
    )  # fmt: skip


class Cells(Part):
    """Cell sizes of grids up to a size."""

    up_to: int = Field(
        ge=MIN_SIZE, le=MAX_SIZE, description="The largest grid that this is for.", examples=[9]
    )
    aim: float = Field(ge=4, le=40, description="The cell size to aim at.", examples=[18])
    minimum: float = Field(
        ge=4,
        le=40,
        description="The least cell size that may be printed; a grid that would get less is "
        "refused. A band of clues outside a grid counts as a row of cells.",
        examples=[11],
    )


class Writing(Part):
    """What a solver or a giver writes on, besides the cells."""

    labels: tuple[Label, ...] = Field(
        default=("Time", "Date"),
        max_length=4,
        description="Words with a line to write on after each; `[]` for none.",
        examples=[["For", "From"], []],
    )
    ruled: float | None = Field(
        default=None,
        ge=5,
        le=15,
        description="Distance of ruled lines that fill what the notes leave free; left out: none.",
        examples=[8],
    )


class Cards(Part):
    """Each puzzle on a card to cut out and give away."""

    padding: float = Field(
        ge=3, le=15, description="From the card's edge to what stands on it.", examples=[5]
    )
    ribbon: float = Field(
        default=0,
        ge=0,
        le=25,
        description="Height at the head of a card for a ribbon with a bow; 0 for none, else 8 or "
        "more.",
        examples=[12],
    )
    guides: bool = Field(
        default=True, description="Whether dashed lines show where to cut.", examples=[True]
    )


class Lines(Part):
    """Line weights in points. Small grids get lighter lines in the same proportion."""

    cell: float = Field(ge=0.25, le=1.5, description="Lines between cells.", examples=[0.6])
    border: float = Field(
        ge=0.75,
        le=5,
        description="Borders of blocks and regions: 3 times the cell lines or more.",
        examples=[2],
    )
    frame: float = Field(
        ge=0.75, le=5, description="The frame: 3 times the cell lines or more.", examples=[2.2]
    )


class Type(Part):
    """Type sizes in points."""

    cover: float = Field(
        ge=18, le=96, description="The title on the cover, where it fits.", examples=[62]
    )
    section: float = Field(ge=12, le=60, description="Titles of sections.", examples=[32])
    title: float = Field(ge=9, le=48, description="Titles of puzzles.", examples=[24])
    title_least: float = Field(
        ge=9, le=48, description="How far a long title of a puzzle may shrink.", examples=[13]
    )
    prose: float = Field(ge=9, le=36, description="Running text.", examples=[10.5])
    small: float = Field(ge=9, le=36, description="Text beside grids.", examples=[9.5])
    label: float = Field(ge=9, le=36, description="Labels and page references.", examples=[9])
    furniture: float = Field(ge=7, le=24, description="Running heads and feet.", examples=[8])


class Least(Part):
    """The least type sizes in points that this layout promises; the edition may ask for more."""

    text: float = Field(
        default=LEAST_TEXT, ge=LEAST_TEXT, le=24, description="Of all that is read.", examples=[18]
    )
    furniture: float = Field(
        default=LEAST_FURNITURE,
        ge=LEAST_FURNITURE,
        le=24,
        description="Of running heads and feet.",
        examples=[18],
    )
    small: float = Field(
        default=LEAST_SMALL,
        ge=LEAST_SMALL,
        le=24,
        description="Of text in grids and round them: candidates in hints up to 9x9, sums in "
        "corners, letters on edges, clues outside.",
        examples=[18],
    )
    digits: float = Field(
        default=LEAST_TEXT,
        ge=LEAST_TEXT,
        le=40,
        description="Of the digits in puzzle grids.",
        examples=[28],
    )


class Faces(Part):
    """Type faces of Source Serif Pro and Source Sans Pro. Digits in grids are the house's own."""

    title: str = Field(
        default="SourceSerifPro-Semibold", description="Titles.", examples=["SourceSerifPro-Bold"]
    )
    prose: str = Field(
        default="SourceSerifPro-Regular", description="Text.", examples=["SourceSansPro-Regular"]
    )
    italic: str = Field(
        default="SourceSerifPro-It", description="Leads, setters.", examples=["SourceSansPro-It"]
    )
    label: str = Field(
        default="SourceSansPro-Regular",
        description="Labels and page references.",
        examples=["SourceSansPro-Regular"],
    )
    strong: str = Field(
        default="SourceSansPro-Semibold",
        description="Numbers of puzzles, headings.",
        examples=["SourceSansPro-Bold"],
    )


class Greys(Part):
    """Greys from 0, black, to 1, white."""

    quiet: float = Field(
        ge=0, le=0.34, description="Quiet text; 0.34 has 7:1 on white.", examples=[0.33]
    )
    rule: float = Field(
        ge=0, le=0.58, description="Thin rules; 0.58 has 3:1 on white.", examples=[0.5]
    )
    shade: float = Field(
        ge=0.85, le=0.97, description="Fill of cells that a hint speaks of.", examples=[0.9]
    )


class Columns(Part):
    """Answers, many to a page: as many columns as fit."""

    cell: float = Field(ge=5.3, le=30, description="Least cell size of a 9x9 grid.", examples=[5.3])
    gap: float = Field(ge=3, le=30, description="Between columns.", examples=[9])


class HintColumns(Part):
    """Hint grids, several to a page: as many columns as fit."""

    cell: float = Field(
        ge=7,
        le=30,
        description="Least cell size of a 9x9 grid: it must hold candidates.",
        examples=[7.8],
    )
    gap: float = Field(ge=3, le=30, description="Between columns.", examples=[14])


class Layout(Part):
    """How a pack is set: a file of its own, whose name is the layout's."""

    name: str
    file: Path
    about: Words = Field(
        description="A sentence for the list of layouts.",
        examples=["one grid to a page, in cells that hold pencil notes"],
    )
    margins: dict[Paper, Margins] = Field(
        min_length=1,
        description="Margins on each paper that the layout is made for: `a4`, `letter`, `a5`, "
        "`half-letter` and `a6` (booklets are folded to them), `tablet` (the screen's).",
        examples=[{"a4": {"inner": 25, "outer": 20, "top": 21, "bottom": 20}}],
    )
    grids: Grids = Field(
        description="Puzzles to a page.",
        examples=[{"across": 1, "down": 1, "caption": 13, "notes_room": 38}],
    )
    cells: tuple[Cells, ...] = Field(
        min_length=1,
        description="Cell sizes, the smallest grids first; larger grids than the last `up_to` are "
        "refused.",
        examples=[[{"up_to": 9, "aim": 18, "minimum": 11}]],
    )
    digit: float = Field(
        ge=0.5, le=0.75, description="Type size of a digit, as a part of the cell.", examples=[0.6]
    )
    writing: Writing = Field(
        default=Writing(), description="Room to write in.", examples=[{"labels": ["Name", "Date"]}]
    )
    cards: Cards | None = Field(
        default=None,
        description="Puzzles stand on cards to cut out; left out: they do not.",
        examples=[{"padding": 5, "ribbon": 12}],
    )
    lines: Lines = Field(
        description="Line weights.", examples=[{"cell": 0.6, "border": 2, "frame": 2.2}]
    )
    type: Type = Field(
        description="Type sizes.",
        examples=[
            {"cover": 62, "section": 32, "title": 24, "title_least": 13, "prose": 10.5,
             "small": 9.5, "label": 9, "furniture": 8}
        ],
    )  # fmt: skip
    least: Least = Field(
        default=Least(), description="Least type sizes.", examples=[{"text": 18, "digits": 28}]
    )
    faces: Faces = Field(
        default=Faces(), description="Type faces.", examples=[{"title": "SourceSerifPro-Bold"}]
    )
    greys: Greys = Field(
        description="Greys.", examples=[{"quiet": 0.33, "rule": 0.5, "shade": 0.9}]
    )
    hints: HintColumns = Field(
        description="Grids of third hints.", examples=[{"cell": 7.8, "gap": 14}]
    )
    answers: Columns = Field(description="Grids of answers.", examples=[{"cell": 5.3, "gap": 9}])
    narrow_strip: bool = Field(
        default=False,
        description="Whether a strip under each answer shows where its solve is narrow.",
        examples=[True],
    )
    on: dict[Paper, dict[str, Any]] = Field(
        default={},
        description="What is different on a paper: any of the groups above, or some fields of one.",
        examples=[{"a6": {"grids": {"caption": 9}, "hints": {"cell": 8}}}],
    )

    @cached_property
    def _by_paper(self) -> dict[str, Layout]:
        own = {name: getattr(self, name) for name in type(self).model_fields if name != "on"}
        return {
            paper: Layout.model_validate(changed(own, change)) for paper, change in self.on.items()
        }

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
        return self._by_paper.get(paper, self)

    def line_for(self, size: int) -> tuple[int, Cells] | None:
        """The line of ``cells`` that holds for a grid's size, and its place in the list."""
        return next(((k, rule) for k, rule in enumerate(self.cells) if size <= rule.up_to), None)

    def cell_rule(self, size: int) -> tuple[int, Cells]:
        """The same; the last line for grids that are too large (see `fitting.misfit`)."""
        return self.line_for(size) or (len(self.cells) - 1, self.cells[-1])


def changed(own: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    """The fields of a layout with what is different on a paper: groups field by field."""
    return own | {name: _merged(own.get(name), value) for name, value in change.items()}


def _merged(own: Any, change: Any) -> Any:
    if isinstance(own, Part):
        own = own.model_dump()
    return own | change if isinstance(own, dict) and isinstance(change, dict) else change


def schema() -> dict[str, Any]:
    """The JSON Schema of layouts (draft 2020-12), with a description of every field."""
    found = Layout.model_json_schema()
    parts = found["$defs"]
    for name in ("name", "file"):
        del found["properties"][name]
        found["required"].remove(name)
    groups = {name: field for name, field in found["properties"].items() if name in CHANGEABLE}
    properties: dict[str, Any] = {}
    for name, field in groups.items():
        ref = str(field.get("$ref", "")).rpartition("/")[2]
        field = {key: value for key, value in field.items() if key != "default"}
        if ref:
            parts[f"{ref}Change"] = {k: v for k, v in parts[ref].items() if k != "required"}
            field["$ref"] = f"#/$defs/{ref}Change"
        properties[name] = field
    parts["Change"] = {
        "type": "object",
        "description": "What is different on a paper.",
        "properties": properties,
        "additionalProperties": False,
    }
    found["properties"]["on"]["additionalProperties"] = {"$ref": "#/$defs/Change"}
    return {"$schema": DIALECT, **_plain(found), "title": "packbuilder layout"}


def _plain(part: Any) -> Any:
    """The schema without pydantic's noise: titles made of names, and `or null` of what may lack."""
    if isinstance(part, list):
        return [_plain(item) for item in part]
    if not isinstance(part, dict):
        return part
    kept = {
        key: _plain(value)
        for key, value in part.items()
        if not (key == "title" and isinstance(value, str))
        and not (key == "default" and (value is None or isinstance(value, dict)))
    }
    choices = kept.get("anyOf", [])
    if {"type": "null"} in choices:
        (rest,) = (choice for choice in choices if choice != {"type": "null"})
        del kept["anyOf"]
        return {**rest, **kept}
    return kept
