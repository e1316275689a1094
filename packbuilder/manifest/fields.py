"""The fields of a manifest, each with what it means, and their JSON Schema."""

from __future__ import annotations

from typing import Any

from packbuilder import symmetry
from packbuilder.grid import MAX_SIZE, MIN_SIZE
from packbuilder.ladder.hints import MOST
from packbuilder.ladder.rungs import RUNGS
from packbuilder.manifest import values
from packbuilder.manifest.ladders import LADDER
from packbuilder.manifest.rules import RULES
from packbuilder.puzzle import DESIGNS, HintWords, Promise
from packbuilder.yamlfields.groups import Either, Field, Group, ListOf, MapOf, document_schema
from packbuilder.yamlfields.values import (
    YES_NO,
    line,
    number,
    one_of,
    paragraphs,
    prose,
    whole,
)

_GRID = "12.973..6..8.4...3.5...1....69......7..1.2..5......42....2...4.5...1.7..4..538.62"
_SOLUTION = "124973856978645213356821974269754381743182695815369427631297548582416739497538162"

# Tables. Each field: what it may hold, what it means, an example, what it is where left out.
# fmt: off
PROMISE = Group(
    "PromiseFields",
    "What is claimed of the puzzle; the gate holds every claim against computed facts.",
    {
        "grade": Field(values.GRADE,
            f"The rung of the hardest step that a solver needs: 1 (gentle) to {RUNGS}, or `beyond` "
            "for a puzzle that the ladder cannot finish.", 3, default=None),
        "needs": Field(values.TECHNIQUES,
            "Techniques that the puzzle turns on: it is solved with them and all that is on lower "
            "rungs, and not by the lower rungs alone.", ["hidden-triple"], default=()),
        "only": Field(values.TECHNIQUES,
            "Techniques that the puzzle needs and of which nothing else can take the place: all "
            "that is on their rung and below, without them, does not solve it.",
            ["skyscraper"], default=()),
        "uses": Field(values.TECHNIQUES,
            "Techniques that are on the easiest-first path, needed or not.",
            ["locked-triple"], default=()),
        "no-notes": Field(whole(0, 20),
            "The puzzle can be solved without writing notes, holding at most so many marks in mind "
            "at a time.", 3, default=None),
        "clues": Field(whole(0, MAX_SIZE**2), "How many clues the grid has.", 26, default=None),
        "symmetry": Field(one_of(symmetry.NAMES, "a symmetry"),
            "The symmetry of the picture that the clues make. `rotational` is a half turn; "
            "`horizontal` has a horizontal axis: the top half mirrors the bottom half.",
            "rotational", default=None),
        "minimal": Field(YES_NO,
            "True: no clue can be left out. False claims nothing.", True, default=None),
    },
    Promise,
    lambda name: "it belongs in the puzzle itself, not under `promise:`"
    if name in PUZZLE.fields else "",
)

HINT = Group(
    "HintFields",
    "Your own words for a hint; what is left out keeps the computed words.",
    {
        "where": Field(prose(120), "Where to look.", "Look where the pears are.", default=None),
        "idea": Field(prose(160), "Which idea.", "Two cells share two digits.", default=None),
        "told": Field(prose(400), "The step.", "So r1c2 is 5.", default=None),
    },
    HintWords,
)

PUZZLE: Group[dict[str, Any]] = Group(
    "PuzzleFields",
    "One puzzle: its grid, the words printed with it, and what is promised of it.",
    {
        "id": Field(values.IDENTIFIER,
            "The puzzle's own name in this pack, for links and messages; never printed. Lower-case "
            "letters, digits, hyphens.", "lamp-room"),
        "title": Field(line(80), "The title printed above the grid.", "The Lamp Room"),
        "setter": Field(line(80),
            "Who made the puzzle; where left out, the pack's byline.", "Ada Quill", default=None),
        "permission": Field(prose(400),
            "How the setter gave leave to print the puzzle: by what means, and when. Required "
            "where the setter is not the byline. It stays in the manifest: it is neither printed "
            "nor released.", "by letter, 3 October 2026", default=None),
        "size": Field(whole(MIN_SIZE, MAX_SIZE),
            f"Cells along one side, {MIN_SIZE} to {MAX_SIZE}.", 9, default=9),
        "blocks": Field(values.BLOCKS,
            "Rows x columns of a block (3x3); `none` for a Latin square; or a picture of irregular "
            "regions, a letter a cell, a line a row. Where left out, the usual block of the size: "
            "2x3 for 6, 3x3 for 9, 3x4 for 12.", "3x3", default=None),
        "grid": Field(values.CELLS,
            "The clues, row by row. `.` or `0` is an empty cell; blanks in a line are ignored; "
            "digits past 9 are A, B, C, ... One line a row, or all cells in one line.", _GRID),
        "rules": Field(RULES,
            "Rules beyond rows, columns and blocks, each a name or a name with its value; "
            "`packbuilder rules` lists them all with an example.", ["diagonals"], default=[]),
        "solution": Field(values.CELLS,
            "The full grid. Where given, it must be the only solution.", _SOLUTION, default=None),
        "promise": Field(PROMISE,
            "What is claimed of the puzzle; each claim is checked.",
            {"grade": 3, "needs": ["hidden-triple"], "symmetry": "rotational"}, default=Promise()),
        "hints": Field(
            ListOf(HINT, f"a list of at most {MOST} hints", "begin each with a hyphen", most=MOST),
            "Your own words for the hints, in their order: `where` to look, which `idea`, the step "
            "`told`. What is left out keeps the computed words. `[]`: print has no hints for this "
            "puzzle.", [{"where": "Look where the pears are."}], default=None),
        "entry": Field(YES_NO,
            "True: letters stand in some cells of the printed grid, chosen by the program, and "
            "whoever has solved it can send in the digits of these cells "
            "(`packbuilder entries`).", True, default=False),
        "answers": Field(MapOf(values.IDENTIFIER, prose(200), "write each on a line `name: ...`"),
            "What the setter says to the pack's `questions:`, by their names; printed beside the "
            "puzzle.", {"time": "two evenings"}, default={}),
        "spoil": Field(YES_NO,
            "Whether the page may name the technique that the puzzle is promised to turn on.",
            True, default=True),
        "intro": Field(prose(400),
            "A sentence or two, printed with the puzzle.",
            "Begin where the light falls.", default=None),
        "link": Field(values.LINK,
            "A web address, printed as a QR code and a live link.",
            "https://example.org/lamp-room", default=None),
    },
    dict,
    lambda name: "it belongs under `promise:`" if name in PROMISE.fields else "",
)

FILE: Group[dict[str, Any]] = Group(
    "FileFields",
    "A puzzle in a file of its own, which holds the fields of one puzzle.",
    {
        "file": Field(line(200),
            "The file, inside the pack's folder, its path written with /.", "puzzles/other.yaml"),
    },
    dict,
    lambda _name: "a puzzle in a file of its own has all its other fields in that file",
)

COVER: Group[dict[str, Any]] = Group(
    "CoverFields",
    "A picture of your own for the cover, with the line that explains it and a small riddle.",
    {
        "picture": Field(line(200),
            "The file, a PNG or an SVG inside the pack's folder, its path written with /. It is "
            "printed in black: what is darker than half.", "art/lantern.svg"),
        "about": Field(prose(160), "What the picture is.", "The ferry steps, on Sunday evening."),
        "riddle": Field(prose(160), "What your readers may look for in it.",
            "How many lanterns burn?"),
        "answer": Field(prose(120), "What is printed among the answers.", "Seven."),
    },
    dict,
)

PACK: Group[dict[str, Any]] = Group(
    "PackFields",
    "What is printed around the puzzles.",
    {
        "title": Field(line(80), "The pack's title, printed on the cover.", "Harbour Lights"),
        "issue": Field(values.MONTH, "The month of the pack, as YYYY-MM.", "2026-12"),
        "byline": Field(line(80),
            "Who makes the pack; the setter of each puzzle that names none.", "Ada Quill"),
        "theme": Field(prose(200),
            "A sentence on what the month is about, printed on the cover.",
            "Nine grids for nine evenings by the water.", default=""),
        "cover": Field(
            Either(one_of(DESIGNS, "a design of a cover"), COVER, lambda v: isinstance(v, dict)),
            "What the cover shows: `technique`, a step of one of the puzzles as towers or tiles; "
            "`discs`, a solved grid that is none of the pack's; `clues`, the places of one "
            "puzzle's clues; `plain`, no picture; or a picture of your own. Where left out, "
            "`technique` for a pack with `needs:`, else `discs`.", "discs", default=""),
        "foreword": Field(paragraphs(6000),
            "A page of text before the puzzles; a blank line parts paragraphs.",
            "The lamps went out one by one.\n\nWe lit them again.", default=""),
        "needs": Field(values.TECHNIQUES,
            "Techniques promised to be needed in every puzzle of the pack.",
            ["hidden-triple"], default=()),
        "ladder": Field(LADDER,
            "Your changes to the ladder by which the grades are meant: techniques on other rungs, "
            "with other weights or names, or left out; or the name of a file with them.",
            {"naked-pair": {"rung": 3}, "chain": "off"}, default={}),
        "assume-unique": Field(YES_NO,
            "True: the ladder also uses techniques that rest on the puzzle having one solution, "
            "and print names them so.", True, default=False),
        "paper": Field(values.PAPER, "The size of the paper.", "a4", default="a4"),
        "layout": Field(values.LAYOUT,
            "How the pages are laid out; `packbuilder layouts` lists what there is.",
            "one-up", default="one-up"),
        "order": Field(one_of(("as-listed", "easiest-first"), "an order"),
            "The order of the puzzles in print.", "easiest-first", default="as-listed"),
        "sampler": Field(whole(1, 1000),
            "How many puzzles the sampler edition holds, from the gentlest to the hardest.",
            3, default=3),
        "link": Field(values.LINK,
            "Where readers get the full pack; the sampler prints it as a QR code and a live link.",
            "https://example.org/packs", default=None),
        "entry": Field(whole(3, 8),
            "How many letters a puzzle with `entry: true` has.", 6, default=6),
        "questions": Field(MapOf(values.IDENTIFIER, line(80), "write each on a line `name: ...`"),
            "What you ask every setter, each question under a name of its own. Proof sheets ask "
            "it, and what a puzzle has under `answers:` is printed beside it.",
            {"time": "How long it took", "trick": "The trick to look for"}, default={}),
        "creep": Field(number(0, 0.5, "millimetres"),
            "The thickness of the booklet's paper in millimetres (80 g paper has about 0.1): pages "
            "of inner sheets move so much nearer to the fold, since inner sheets stand out when a "
            "booklet is folded.", 0.1, default=0.0),
        "archive": Field(ListOf(values.FOLDER, how="write it in brackets, such as [../last-year]",
                                unique=True),
            "Folders of earlier packs, from this one: no puzzle may be one of theirs in disguise. "
            "Packs in the same folder as this one are looked at without being named.",
            ["../../last-year"], default=()),
        "licence": Field(prose(300),
            "What readers may do with the pack, printed in its credits.",
            "For your own use and your classroom's.", default=""),
    },
    dict,
)


MANIFEST: Group[dict[str, Any]] = Group(
    "ManifestFields",
    "A pack of number-placement puzzles, ready to be proved and printed.",
    {
        "pack": Field(PACK, "What is printed around the puzzles."),
        "puzzles": Field(ListOf(Either(PUZZLE, FILE, lambda entry: "file" in entry), least=1),
            "The puzzles, in the order in which they are listed."),
    },
    dict,
    lambda name: "it belongs under `pack:`" if name in PACK.fields else "",
)
# fmt: on


def schema() -> dict[str, Any]:
    """The manifest's JSON Schema (draft 2020-12), with a description of every field."""
    return document_schema(MANIFEST, "packbuilder manifest")
