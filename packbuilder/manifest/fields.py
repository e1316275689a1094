"""The fields of a manifest, each with what it means: the model, and its JSON Schema.

A field's description and example are what an editor shows while a manifest is written.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field

from packbuilder.grid import MAX_SIZE, MIN_SIZE
from packbuilder.ladder.rungs import RUNGS
from packbuilder.manifest import fieldtypes as kinds
from packbuilder.manifest.fieldtypes import Techniques

DIALECT = "https://json-schema.org/draft/2020-12/schema"

_GRID = "53..7....6..195....98....6.8...6...34..8.3..17...2...6.6....28....419..5....8..79"
_SOLUTION = "534678912672195348198342567859761423426853791713924856961537284287419635345286179"


class Fields(BaseModel):
    """A group of fields. A field can be set alone and is checked as it is set."""

    model_config = ConfigDict(extra="forbid", validate_assignment=True)


class PromiseFields(Fields):
    """What is claimed of the puzzle; the gate holds every claim against computed facts."""

    grade: kinds.GradeField | None = Field(
        default=None,
        description="The rung of the hardest step that a solver needs: 1 (gentle) to "
        f"{RUNGS}, or `beyond` for a puzzle that the ladder cannot finish.",
        examples=[3],
    )
    needs: Techniques = Field(
        default_factory=list,
        description="Techniques that the puzzle turns on: it is solved with them and all that is "
        "on lower rungs, and not by the lower rungs alone.",
        examples=[["hidden-triple"]],
    )
    only: Techniques = Field(
        default_factory=list,
        description="Techniques that the puzzle needs and of which nothing else can take the "
        "place: all that is on their rung and below, without them, does not solve it.",
        examples=[["skyscraper"]],
    )
    uses: Techniques = Field(
        default_factory=list,
        description="Techniques that are on the easiest-first path, needed or not.",
        examples=[["locked-triple"]],
    )
    no_notes: kinds.Marks | None = Field(
        default=None,
        alias="no-notes",
        description="The puzzle can be solved without writing notes, holding at most so many "
        "marks in mind at a time.",
        examples=[3],
    )
    clues: kinds.ClueCount | None = Field(
        default=None, description="How many clues the grid has.", examples=[26]
    )
    symmetry: kinds.Symmetry | None = Field(
        default=None,
        description="The symmetry of the picture that the clues make. `rotational` is a half "
        "turn; `horizontal` has a horizontal axis: the top half mirrors the bottom half.",
        examples=["rotational"],
    )
    minimal: kinds.YesNo | None = Field(
        default=None,
        description="True: no clue can be left out. False claims nothing.",
        examples=[True],
    )


class PuzzleFields(Fields):
    """One puzzle: its grid, the words printed with it, and what is promised of it."""

    id: kinds.Slug = Field(
        description="The puzzle's own name in this pack, for links and messages; never printed. "
        "Lower-case letters, digits, hyphens.",
        examples=["lamp-room"],
    )
    title: kinds.Title = Field(
        description="The title printed above the grid.", examples=["The Lamp Room"]
    )
    setter: kinds.Name | None = Field(
        default=None,
        description="Who made the puzzle; where left out, the pack's byline.",
        examples=["Ada Quill"],
    )
    permission: kinds.Permission | None = Field(
        default=None,
        description="How the setter gave leave to print the puzzle: by what means, and when. "
        "Required where the setter is not the byline; kept in the record, not printed.",
        examples=["by letter, 3 October 2026"],
    )
    size: kinds.Size = Field(
        default=9,
        description=f"Cells along one side, {MIN_SIZE} to {MAX_SIZE}.",
        examples=[9],
    )
    blocks: kinds.BlocksText | None = Field(
        default=None,
        description="Rows x columns of a block (3x3); `none` for a Latin square; or a picture of "
        "irregular regions, a letter a cell, a line a row. Where left out, the usual block of "
        "the size: 2x3 for 6, 3x3 for 9, 3x4 for 12.",
        examples=["3x3"],
    )
    grid: kinds.GridText = Field(
        description="The clues, row by row. `.` or `0` is an empty cell; blanks in a line are "
        "ignored; digits past 9 are A, B, C, ... One line a row, or all cells in one line.",
        examples=[_GRID],
    )
    rules: kinds.Rules = Field(
        default_factory=list,
        description="Rules beyond rows, columns and blocks, each a name or a name with its value; "
        "`packbuilder rules` lists them all with an example.",
        examples=[["diagonals"]],
    )
    solution: kinds.GridText | None = Field(
        default=None,
        description="The full grid. Where given, it must be the only solution.",
        examples=[_SOLUTION],
    )
    promise: PromiseFields = Field(
        default_factory=PromiseFields,
        description="What is claimed of the puzzle; each claim is checked.",
        examples=[{"grade": 3, "needs": ["hidden-triple"], "symmetry": "rotational"}],
    )
    hints: kinds.HintList = Field(
        default=None,
        description="Your own words for the hints, in their order: `where` to look, which `idea`, "
        "the step `told`. What is left out keeps the computed words. `[]`: print has no hints for "
        "this puzzle.",
        examples=[[{"where": "Look where the pears are."}]],
    )
    intro: kinds.Intro | None = Field(
        default=None,
        description="A sentence or two, printed with the puzzle.",
        examples=["Begin where the light falls."],
    )
    link: kinds.Link | None = Field(
        default=None,
        description="A web address, printed as a QR code and a live link.",
        examples=["https://example.org/lamp-room"],
    )


class FileFields(Fields):
    """A puzzle in a file of its own, which holds the fields of one puzzle."""

    file: kinds.FileName = Field(
        description="The file, inside the pack's folder, its path written with /.",
        examples=["puzzles/other.yaml"],
    )


class PackFields(Fields):
    """What is printed around the puzzles."""

    title: kinds.Title = Field(
        description="The pack's title, printed on the cover.", examples=["Harbour Lights"]
    )
    issue: kinds.Issue = Field(
        description="The month of the pack, as YYYY-MM.", examples=["2026-12"]
    )
    byline: kinds.Name = Field(
        description="Who makes the pack; the setter of each puzzle that names none.",
        examples=["Ada Quill"],
    )
    theme: kinds.Theme = Field(
        default="",
        description="A sentence on what the month is about, printed on the cover.",
        examples=["Nine grids for nine evenings by the water."],
    )
    foreword: kinds.Paragraphs = Field(
        default="",
        description="A page of text before the puzzles; a blank line parts paragraphs.",
        examples=["The lamps went out one by one.\n\nWe lit them again."],
    )
    needs: Techniques = Field(
        default_factory=list,
        description="Techniques promised to be needed in every puzzle of the pack.",
        examples=[["hidden-triple"]],
    )
    ladder: kinds.LadderChanges = Field(
        default=None,
        description="Your changes to the ladder by which the grades are meant: techniques on other "
        "rungs, with other weights or names, or left out; or the name of a file with them.",
        examples=[{"naked-pair": {"rung": 3}, "chain": "off"}],
    )
    assume_unique: kinds.YesNo = Field(
        default=False,
        alias="assume-unique",
        description="True: the ladder also uses techniques that rest on the puzzle having one "
        "solution, and print names them so.",
        examples=[True],
    )
    paper: kinds.Paper = Field(default="a4", description="The size of the paper.", examples=["a4"])
    layout: kinds.Layout = Field(
        default="one-up",
        description="How the pages are laid out; `packbuilder layouts` lists what there is.",
        examples=["one-up"],
    )
    order: kinds.Order = Field(
        default="as-listed",
        description="The order of the puzzles in print.",
        examples=["easiest-first"],
    )
    sampler: kinds.SamplerCount = Field(
        default=3,
        description="How many puzzles the sampler edition holds: the first ones in print.",
        examples=[3],
    )
    creep: kinds.Thickness = Field(
        default=0.0,
        description="The thickness of the booklet's paper in millimetres (80 g paper has about "
        "0.1): pages of inner sheets move so much nearer to the fold, since inner sheets stand "
        "out when a booklet is folded.",
        examples=[0.1],
    )
    licence: kinds.Licence = Field(
        default="",
        description="What readers may do with the pack, printed in its credits.",
        examples=["For your own use and your classroom's."],
    )


class ManifestFields(Fields):
    """A pack of number-placement puzzles, ready to be proved and printed."""

    pack: PackFields = Field(description="What is printed around the puzzles.")
    puzzles: Annotated[list[PuzzleFields | FileFields], Field(min_length=1)] = Field(
        description="The puzzles, in the order in which they are listed."
    )


def schema() -> dict[str, Any]:
    """The manifest's JSON Schema (draft 2020-12), with a description of every field."""
    found = ManifestFields.model_json_schema(by_alias=True)
    return {"$schema": DIALECT, **_plain(found), "title": "packbuilder manifest"}


def _plain(part: Any) -> Any:
    """The schema without pydantic's noise: titles made of names, and `or null` of what may lack.

    A field that may be left out may not be given as null: an empty field is a fault.
    """
    if isinstance(part, list):
        return [_plain(item) for item in part]
    if not isinstance(part, dict):
        return part
    kept = {
        key: _plain(value)
        for key, value in part.items()
        if not (key == "title" and isinstance(value, str))
        and not (key == "default" and value in (None, "", [], {}))
    }
    choices = kept.get("anyOf", [])
    if {"type": "null"} in choices:
        rest = [choice for choice in choices if choice != {"type": "null"}]
        if len(rest) == 1:
            del kept["anyOf"]
            return {**rest[0], **kept}
    return kept
