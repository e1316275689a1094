"""Every fault of a manifest, each with the very sentence that the user sees."""

import re
from functools import partial

import pytest

from tests.conftest import EXAMPLE_SOLVED as SOLUTION
from tests.manifests import GRID, SOUND, WITH_ROWS, M, P, head, puzzle, told, write


@pytest.fixture
def pack(tmp_path):
    return partial(write, tmp_path / "harbour")


# --- each field alone -------------------------------------------------------------------------

ALONE = [
    # Fields that are missing, unknown or of the wrong kind.
    (head(title=None), "1: pack.title: is missing; add a line `title: ...`"),
    (head(title=""), "2: pack.title: has no value; write one"),
    (head(title="null"), "2: pack.title: has no value; write one"),
    (head(theme="~"), "5: pack.theme: has no value; write one, or leave the line out"),
    (head(needs="[null]"), "5: pack.needs[1]: has no value; write a technique of the "
                           "ladder (and quote the word null where it is meant)"),
    (head(title="' '"), "2: pack.title: is blank; write a line of text"),
    (head(title="[a]"), "2: pack.title: holds a list; write a line of text"),
    (head(title="{a: b}"), "2: pack.title: holds a group of fields; write a line of text"),
    (head(licens="x"), "5: pack.licens: unknown field; did you mean 'licence'?"),
    (head(xyz="x"), "5: pack.xyz: unknown field; write one of: title, issue, byline, theme, "
                    "cover, foreword, needs, ladder, assume-unique, paper, layout, order, "
                    "sampler, link, entry, "
                    "questions, creep, archive, licence"),
    (SOUND + "titel: x\n", "11: titel: unknown field; write one of: pack, puzzles"),
    (SOUND + "title: x\n", "11: title: unknown field; it belongs under `pack:`"),
    (SOUND + "'a\\nb \u00e9': x\n", "11: 'a\\\\nb \u00e9': unknown field; write one of: pack, "
                                    "puzzles"),
    (SOUND.replace("promise:", "promises:"),
     f"9: {P}.promises (lamp-room): unknown field; did you mean 'promise'?"),
    (SOUND.replace("grade:", "garde:"),
     f"10: {P}.promise.garde (lamp-room): unknown field; did you mean 'grade'?"),
    (SOUND.replace("grade: 1", "no_notes: 1"),
     f"10: {P}.promise.no_notes (lamp-room): unknown field; did you mean 'no-notes'?"),
    (puzzle(grade="1"), f"10: {P}.grade (a): unknown field; it belongs under `promise:`"),
    (SOUND + "      size: 9\n", f"11: {P}.promise.size (lamp-room): unknown field; it belongs in "
                                "the puzzle itself, not under `promise:`"),
    (puzzle(promise="3"), f"10: {P}.promise (a): is not a group of fields; write its fields "
     "below it, each on an indented line, such as `grade: ...`"),
    (puzzle(promise=""), f"10: {P}.promise (a): has no value; write its fields below it, each on "
                         "an indented line, such as `grade: ...`"),
    ("pack: x\npuzzles:\n" + SOUND.partition("puzzles:\n")[2],
     "1: pack: is not a group of fields; write its fields below it, each on an indented line, such "
     "as `title: ...`"),
    (SOUND.partition("puzzles:")[0], "1: puzzles: is missing; begin each puzzle with `- id: ...`"),
    (head().partition("puzzles:")[0] + "puzzles: []\n",
     "5: puzzles: is not a list of puzzles; begin each puzzle with `- id: ...`"),
    (head().partition("puzzles:")[0] + "puzzles: {id: a}\n",
     "5: puzzles: is not a list of puzzles; begin each puzzle with `- id: ...`"),
    (head().partition("puzzles:")[0] + "puzzles: [a]\n",
     "5: puzzles[1]: is not a group of fields; write its fields below it, each on an indented "
     "line, such as `id: ...`"),
    (SOUND.replace("  - id: lamp-room\n    title", "  - title"),
     f"6: {P}.id: is missing; add a line `id: ...`"),
    # Text that print can bear.
    (head(title="x" * 81), "2: pack.title: has 81 characters; print has room for 80: shorten it"),
    (head(theme="x" * 201), "5: pack.theme: has 201 characters; print has room for 200: "
                            "shorten it"),
    (puzzle(intro="x" * 401), f"10: {P}.intro (a): has 401 characters; print has room for 400: "
                              "shorten it"),
    (head(foreword="x" * 6001), "5: pack.foreword: has 6001 characters; print has room for 6000: "
                                "shorten it"),
    (head(title='"a\\nb"'), "2: pack.title: has more than one line; write it on one"),
    (head(title="a\u202eb"), "2: pack.title: holds the unprintable character U+202E; delete it"),
    (head(title="a\ue000b"), "2: pack.title: holds the unprintable character U+E000; delete it"),
    # Fields with few right values.
    (head(issue="2026-13"), "3: pack.issue: '2026-13' is not a month; write the year and the "
                            "month as YYYY-MM, such as 2026-12"),
    (head(issue="Dec 2026"), "3: pack.issue: 'Dec 2026' is not a month; write the year "
                              "and the month as YYYY-MM, such as 2026-12"),
    (head(issue="26-12"), "3: pack.issue: '26-12' is not a month; write the year and the month "
                          "as YYYY-MM, such as 2026-12"),
    (head(paper="A4"), "5: pack.paper: 'A4' is not a paper size; did you mean 'a4'?"),
    (head(paper="half-letter"), "5: pack.paper: 'half-letter' is not a paper size; booklets take "
     "half the paper by themselves (`--edition booklet`): write one of: a4, letter, a5"),
    (head(paper="tablet"), "5: pack.paper: 'tablet' is not a paper size; screens take it by "
     "themselves (`--edition screen`): write one of: a4, letter, a5"),
    (head(paper="foolscap"), "5: pack.paper: 'foolscap' is not a paper size; write one of: a4, "
                             "letter, a5"),
    (head(layout="../x"), "5: pack.layout: '../x' is not a layout's name; write the name of a "
                          "layout, such as one-up"),
    (head(order="easiest"), "5: pack.order: 'easiest' is not an order; did you mean "
                            "'easiest-first'?"),
    (puzzle(id="Lamp Room"), f"6: {P}.id (Lamp Room): 'Lamp Room' is not an identifier; write "
                             "lower-case letters, digits and hyphens, such as lamp-room"),
    (puzzle(id="x" * 65), f"6: {P}.id ({'x' * 37}...): has 65 characters; it may have 64"),
    (puzzle(link="example.org/a"), f"10: {P}.link (a): 'example.org/a' is not a web address; "
     "write a web address that begins with https:// or http://, without blanks or accents"),
    (puzzle(link="'javascript:alert(1)'"), f"10: {P}.link (a): 'javascript:alert(1)' is not a "
     "web address; write a web address that begins with https:// or http://, without blanks or "
     "accents"),
    (puzzle(link="https://e.org/" + "x" * 287), f"10: {P}.link (a): has 301 characters; a QR "
                                                "code in print has room for 300"),
    (puzzle(rules="diagonals"), f"10: {P}.rules (a): is not a list of rules; begin each rule with "
                                "a hyphen, such as: - diagonals"),
    # Numbers.
    (puzzle(size="3"), f"8: {P}.size (a): is 3; write a whole number from 4 to 16"),
    (puzzle(size="17"), f"8: {P}.size (a): is 17; write a whole number from 4 to 16"),
    (puzzle(size="nine"), f"8: {P}.size (a): 'nine' is not a whole number; write a whole number "
                          "from 4 to 16"),
    (puzzle(size="4.5"), f"8: {P}.size (a): '4.5' is not a whole number; write a whole number "
                         "from 4 to 16"),
    (puzzle(size="-4"), f"8: {P}.size (a): is -4; write a whole number from 4 to 16"),
    (puzzle(size="'4'"), f"8: {P}.size (a): '4' is in quotes; write the number without them"),
    (puzzle(size="9" * 5000), f"8: {P}.size (a): '{'9' * 37}...' is not a whole number; write a "
                              "whole number from 4 to 16"),
    (puzzle(promise="{no-notes: yes}"), f"10: {P}.promise.no-notes (a): 'yes' is not a whole "
                                        "number; write a whole number from 0 to 20"),
    # Promises.
    (puzzle(promise="{grade: 9}"), f"10: {P}.promise.grade (a): '9' is not a grade; write one of: "
                                   "1, 2, 3, 4, 5, 6, 7, 8, beyond"),
    (puzzle(promise="{grade: byond}"), f"10: {P}.promise.grade (a): 'byond' is not a grade; did "
     "you mean 'beyond'?"),
    (puzzle(promise="{minimal: yes}"), f"10: {P}.promise.minimal (a): 'yes' is neither true nor "
                                       "false; write true or false, without quotes"),
    (puzzle(promise="{symmetry: rotation}"), f"10: {P}.promise.symmetry (a): 'rotation' is not a "
                                             "symmetry; did you mean 'rotational'?"),
    (puzzle(promise="{needs: hidden-triple}"), f"10: {P}.promise.needs (a): is not a list; write "
                                               "it in brackets, such as [hidden-triple]"),
    (puzzle(promise="{needs: [hiden-tripel]}"), f"10: {P}.promise.needs[1] (a): 'hiden-tripel' "
     "is not a technique of the ladder; did you mean 'hidden-triple'?"),
    (head(needs="[naked-pair, '']"), "5: pack.needs[2]: '' is not a technique of the ladder; "
     "`packbuilder techniques` lists them"),
]  # fmt: skip
IDS = [re.sub(r"\W+", "-", fault)[:60] for _, fault in ALONE]


@pytest.mark.parametrize(("text", "fault"), ALONE, ids=IDS)
def test_each_field_alone(text, fault, pack):
    assert told(pack(text)) == [f"{M}:{fault}"]


# --- fields together --------------------------------------------------------------------------

TOGETHER = [  # what else may be wrong with a grid or its blocks: tests/test_grid.py
    # Grids: which row, which column, and the line of the file where that row stands.
    (WITH_ROWS.replace(".69 ... ...", ".69 x.. ..."),
     f"13: {P}.grid (lamp-room): row 4, column 4 is 'x'; a cell of a 9x9 grid is '.' or 1 to 9"),
    (WITH_ROWS.replace("4.. 538 .62", "4.. 538 .6"),
     f"19: {P}.grid (lamp-room): row 9 has 8 cells; it needs 9"),
    (WITH_ROWS.replace("      ... 2.. .4.\n", ""),
     f"8: {P}.grid (lamp-room): the grid has 8 rows; it needs 9"),
    (SOUND.replace(GRID, GRID[1:]),
     f"8: {P}.grid (lamp-room): the grid has 80 cells in one line; it needs 81"),
    (SOUND.replace(GRID, GRID[:20] + "?" + GRID[21:]), f"8: {P}.grid (lamp-room): row 3, column "
     "3 is '?'; a cell of a 9x9 grid is '.' or 1 to 9"),
    (puzzle(grid="|"), f"9: {P}.grid (a): the grid has 0 rows; it needs 4"),
    (puzzle(grid="[1, 2]"), f"9: {P}.grid (a): holds a list; write the cells, '.' for an empty "
                            "one"),
    # Solutions.
    (SOUND + f"    solution: {SOLUTION[:-1]}\n",
     f"11: {P}.solution (lamp-room): the grid has 80 cells in one line; it needs 81"),
    (SOUND + f"    solution: {SOLUTION[:-1]}.\n", f"11: {P}.solution (lamp-room): row 9, column "
     "9 is empty; a solution gives every cell, or leave the solution out"),
    # Blocks against the size.
    (puzzle(size="7", grid="." * 49), f"6: {P}.blocks (a): a grid of size 7 has no usual block; "
     "write none for a Latin square, or draw its regions as a picture"),
    (puzzle(blocks="2x3"), f"10: {P}.blocks (a): blocks of 2x3 hold 6 cells, in a grid of size "
                           "4; write 2x2, or size: 6"),
    (puzzle(blocks="[2, 2]"), f"10: {P}.blocks (a): holds a list; write rows x columns (such as "
                              "3x3), none, or a picture"),
    # Pictures of regions.
    (puzzle(blocks="|\n      aabb\n      aabb\n      ccd\n      ccdd"),
     f"13: {P}.blocks (a): row 3 of the regions picture has 3 letters; it needs 4"),
    (puzzle(blocks="|\n      aabb\n      aab.\n      ccdd\n      ccdd"),
     f"12: {P}.blocks (a): row 2, column 4 of the picture is '.'; write a letter for the region "
     "of the cell"),
    # Promises.
    (puzzle(promise="{clues: 17}"), f"10: {P}.promise.clues (a): is 17; a 4x4 grid has 16 cells: "
                                    "write how many of them are clues"),
    (puzzle(promise="{needs: [naked-pair, naked-pair]}"),
     f"10: {P}.promise.needs[2] (a): 'naked-pair' is given twice; keep one"),
    (head(needs="[naked-pair, naked-pair]"),
     "5: pack.needs[2]: 'naked-pair' is given twice; keep one"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "fault"), TOGETHER, ids=[re.sub(r"\W+", "-", fault)[:70] for _, fault in TOGETHER]
)
def test_fields_together(text, fault, pack):
    assert told(pack(text)) == [f"{M}:{fault}"]


def test_an_id_used_twice_is_told_with_both_lines(pack):
    folder = pack(puzzle("  - {id: a, title: B, size: 4, grid: ................}\n"))
    assert told(folder) == [
        f"{M}:10: puzzles[2].id (a): 'a' is already used at {M}:6; give each puzzle an id of its "
        "own"
    ]


def test_an_id_used_twice_across_files(pack):
    other = f"title: Other\nid: a\ngrid: {GRID}\n"
    text = puzzle("  - file: b.yaml\n  - file: b.yaml\n")
    assert told(pack(text, {"b.yaml": other})) == [
        f"b.yaml:2: puzzles[2].id (a): 'a' is already used at {M}:6; give each puzzle an id of "
        "its own",
        f"b.yaml:2: puzzles[3].id (a): 'a' is already used at {M}:6; give each puzzle an id of "
        "its own",
    ]
    only = head().partition("puzzles:")[0] + "puzzles:\n  - file: b.yaml\n  - file: b.yaml\n"
    assert told(pack(only, {"b.yaml": other})) == [
        "b.yaml:2: puzzles[2].id (a): the file is listed twice in the manifest; list it once"
    ]


def test_every_fault_is_told_sorted_by_file_and_line(pack):
    text = (
        "pack:\n  tilte: x\n  issue: 2026\n  byline: B\npuzzles:\n"
        "  - file: b.yaml\n"
        "  - id: c\n    title: C\n    size: 4\n    grid: |\n      1...\n      ..9.\n"
        "      ....\n      ....\n    promise: {grade: 9, clues: 20}\n"
        "  - id: c\n    title: D\n    grid: x\n"
    )
    other = "id: b\ngrid: 1\nsize: 99\nlink: ftp://x\n"
    assert [line.partition("; ")[0] for line in told(pack(text, {"b.yaml": other}))] == [
        f"{M}:2: pack.tilte: unknown field",
        f"{M}:3: pack.issue: '2026' is not a month",
        f"{M}:12: puzzles[2].grid (c): row 2, column 3 is '9'",
        f"{M}:15: puzzles[2].promise.clues (c): is 20",
        f"{M}:15: puzzles[2].promise.grade (c): '9' is not a grade",
        f"{M}:16: puzzles[3].id (c): 'c' is already used at {M}:7",
        f"{M}:18: puzzles[3].grid (c): row 1, column 1 is 'x'",
        "b.yaml:1: puzzles[1].title (b): is missing",
        "b.yaml:3: puzzles[1].size (b): is 99",
        "b.yaml:4: puzzles[1].link (b): 'ftp://x' is not a web address",
    ]
