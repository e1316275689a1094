"""The manifest: what is read, and the very sentence of every fault that the user sees."""

import os
import re
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.errors import InputError
from packbuilder.grid import parse_grid
from packbuilder.manifest import load, slug_of
from packbuilder.puzzle import BEYOND, Promise

GRID = "53..7....6..195....98....6.8...6...34..8.3..17...2...6.6....28....419..5....8..79"
SOLUTION = "534678912672195348198342567859761423426853791713924856961537284287419635345286179"

# Line numbers matter below: the head is lines 1 to 4, the first puzzle begins on line 6.
SOUND = f"""\
pack:
  title: Harbour Lights
  issue: 2026-12
  byline: Ada Quill
puzzles:
  - id: lamp-room
    title: The Lamp Room
    grid: {GRID}
    promise:
      grade: 1
"""
ROWS = """\
    grid: |
      53. .7. ...
      6.. 195 ...
      .98 ... .6.

      8.. .6. ..3
      4.. 8.3 ..1
      7.. .2. ..6

      .6. ... 28.
      ... 419 ..5
      ... .8. .79
"""
WITH_ROWS = SOUND.replace(f"    grid: {GRID}\n", ROWS)
M, P = "manifest.yaml", "puzzles[1]"


def puzzle(extra="", **fields):
    """A sound pack with one small puzzle and the fields given."""
    given_fields = {"id": "a", "title": "A", "size": "4", "grid": "." * 16} | fields
    lines = [f"    {name}: {text}" for name, text in given_fields.items() if text is not None]
    lines[0] = "  - " + lines[0].strip()
    return "".join(SOUND.partition("puzzles:\n")[:2]) + "\n".join(lines) + "\n" + extra


def head(**fields):
    """A sound pack with fields of its head added or changed; None leaves one out."""
    given_fields = {"title": "T", "issue": "2026-12", "byline": "B"} | fields
    lines = [f"  {name}: {text}" for name, text in given_fields.items() if text is not None]
    return "pack:\n" + "\n".join(lines) + "\npuzzles:\n" + SOUND.partition("puzzles:\n")[2]


@pytest.fixture
def pack(tmp_path):
    """Write a pack's folder; the manifest's text, then other files by name."""

    def write(text, files=()):
        folder = tmp_path / "harbour"
        folder.mkdir(exist_ok=True)
        for name, content in {M: text, **dict(files)}.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return folder

    return write


def told(folder):
    """The faults of a pack, without the folder before each."""
    with pytest.raises(InputError) as error:
        load(folder)
    lines = str(error.value).splitlines()
    assert all(line.startswith(f"{folder}/") for line in lines)
    return [line.replace(f"{folder}/", "") for line in lines]


# --- what is read -----------------------------------------------------------------------------


def test_a_whole_manifest_is_read(pack):
    folder = pack(f"""\
pack:
  title: "Harbour: Lights"
  issue: 2026-12
  byline: Ada Quill
  theme: >
    Nine grids for
    nine evenings.
  foreword: |
    The lamps
    went out.


    We lit them.
  needs: [hidden-triple]
  paper: letter
  layout: two-up
  order: easiest-first
  licence: Copy it for your class.
puzzles:
  - id: lamp-room
    title: The Lamp Room
    setter: Cafe\u0301 Noir
    permission: by letter
    grid: {GRID}
    solution: {SOLUTION}
    rules: []
    promise:
      grade: beyond
      needs: [hidden-triple, naked-pair]
      uses: [locked-triple]
      no-notes: 0
      clues: 30
      symmetry: rotational
      minimal: true
    intro: Begin in the corner.
    link: https://example.org/a?b=c#d
""")
    read = load(folder)
    assert (read.slug, read.folder) == ("harbour", folder)
    assert (read.title, read.issue, read.byline) == ("Harbour: Lights", "2026-12", "Ada Quill")
    assert read.theme == "Nine grids for nine evenings."
    assert read.foreword == "The lamps went out.\n\nWe lit them."
    assert (read.needs, read.paper, read.layout) == (("hidden-triple",), "letter", "two-up")
    assert (read.order, read.licence) == ("easiest-first", "Copy it for your class.")
    (one,) = read.puzzles
    assert one.setter == "Caf\u00e9 Noir", "composed, as a font needs it"
    assert (one.clues, one.solution) == (parse_grid(GRID, 9), parse_grid(SOLUTION, 9))
    assert one.promise == Promise(
        grade=BEYOND,
        needs=("hidden-triple", "naked-pair"),
        uses=("locked-triple",),
        no_notes=0,
        clues=30,
        symmetry="rotational",
        minimal=True,
    )
    assert (one.permission, one.intro) == ("by letter", "Begin in the corner.")
    assert (one.link, one.where) == ("https://example.org/a?b=c#d", "manifest.yaml:20")


def test_what_is_left_out_has_its_usual_value(pack):
    read = load(pack(SOUND))
    assert (read.paper, read.layout, read.order) == ("a4", "one-up", "as-listed")
    assert (read.theme, read.foreword, read.licence, read.needs) == ("", "", "", ())
    (one,) = read.puzzles
    assert one.setter == "Ada Quill", "the byline"
    assert one.geometry.name() == "9x9, blocks 3x3"
    assert one.promise == Promise(grade=1)
    assert one.solution is one.permission is one.intro is one.link is None


@pytest.mark.parametrize(
    ("size", "blocks", "name"),
    [
        (None, None, "9x9, blocks 3x3"),
        (6, None, "6x6, blocks 2x3"),
        (6, "3x2", "6x6, blocks 3x2"),
        (12, None, "12x12, blocks 3x4"),
        (16, None, "16x16, blocks 4x4"),
        (7, "none", "7x7, Latin square"),
        (4, "|\n      aabb\n      a abb\n\n      ccdd\n      ccdd", "4x4, irregular regions"),
        (4, "aabbaabbccddccdd", "4x4, irregular regions"),
        (4, "1122112233443344", "4x4, irregular regions"),
    ],
)
def test_sizes_and_blocks(size, blocks, name, pack):
    cells = (size or 9) ** 2
    text = puzzle(size=size and str(size), blocks=blocks, grid="." * cells)
    assert load(pack(text)).puzzles[0].geometry.name() == name


def test_digits_past_nine_are_letters(pack):
    text = puzzle(size="16", grid="G" + "." * 254 + "a")
    assert load(pack(text)).puzzles[0].clues[::255] == (16, 10)


@pytest.mark.parametrize(
    "text", ["1984", "no", "off", "Yes", "2026-12-01", "0x1F", "1e3", "12:30:45", "=", "1_000"]
)
def test_text_is_what_was_written_not_what_yaml_makes_of_it(text, pack):
    assert load(pack(head(title=text))).title == text


def test_a_grid_that_looks_like_a_number_is_a_grid(pack):
    cells = "0030201001203001"  # YAML 1.1 reads an octal number here
    assert load(pack(puzzle(grid=cells))).puzzles[0].clues == tuple(map(int, cells))


def test_the_manifest_file_itself_may_be_named(pack, monkeypatch):
    folder = pack(SOUND)
    assert load(folder / M) == load(folder)
    monkeypatch.chdir(folder)
    assert load(Path(M)).slug == "harbour"
    assert load(Path()).slug == "harbour"


def test_a_puzzle_may_have_a_file_of_its_own(pack):
    text = puzzle("  - file: puzzles/other.yaml\n")
    other = f"# by hand\nid: other\ntitle: Other\nsetter: Bo\ngrid: {GRID}\n"
    read = load(pack(text, {"puzzles/other.yaml": other}))
    assert [p.id for p in read.puzzles] == ["a", "other"]
    assert [p.where for p in read.puzzles] == ["manifest.yaml:6", "puzzles/other.yaml:2"]


@pytest.mark.parametrize(
    ("folder", "slug"),
    [
        ("harbour-lights", "harbour-lights"),
        ("Harbour Lights (2026)", "Harbour-Lights-2026"),
        ("test_pack.v2", "test_pack.v2"),
        ("Fe\u0302te & Lumie\u0300re", "F\u00eate-Lumi\u00e8re"),
        ("灯", "灯"),
        ("!?", "pack"),
    ],
)
def test_the_slug_is_the_folders_name(folder, slug, tmp_path):
    assert slug_of(tmp_path / folder) == slug


# --- each field alone -------------------------------------------------------------------------

ALONE = [
    # Fields that are missing, unknown or of the wrong kind.
    (head(title=None), "1: pack.title: is missing; add a line `title: ...`"),
    (head(title=""), "2: pack.title: has no value; write one"),
    (head(title="null"), "2: pack.title: has no value; write one"),
    (head(theme="~"), "5: pack.theme: has no value; write one, or leave the line out"),
    (head(needs="[null]"), "5: pack.needs[1]: has no value; write a technique, such as "
                           "hidden-triple (and quote the word null where it is meant)"),
    (head(title="' '"), "2: pack.title: is blank; write a line of text"),
    (head(title="[a]"), "2: pack.title: holds a list; write a line of text"),
    (head(title="{a: b}"), "2: pack.title: holds a group of fields; write a line of text"),
    (head(licens="x"), "5: pack.licens: unknown field; did you mean 'licence'?"),
    (head(xyz="x"), "5: pack.xyz: unknown field; write one of: title, issue, byline, theme, "
                    "foreword, needs, paper, layout, order, licence"),
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
                          "below it, each on an indented line"),
    (puzzle(promise=""), f"10: {P}.promise (a): has no value; write its fields below it, each on "
                         "an indented line"),
    ("pack: x\npuzzles:\n" + SOUND.partition("puzzles:\n")[2],
     "1: pack: is not a group of fields; write its fields below it, each on an indented line"),
    (SOUND.partition("puzzles:")[0], "1: puzzles: is missing; begin each puzzle with `- id: ...`"),
    (head().partition("puzzles:")[0] + "puzzles: []\n",
     "5: puzzles: is not a list of puzzles; begin each puzzle with `- id: ...`"),
    (head().partition("puzzles:")[0] + "puzzles: {id: a}\n",
     "5: puzzles: is not a list of puzzles; begin each puzzle with `- id: ...`"),
    (head().partition("puzzles:")[0] + "puzzles: [a]\n",
     "5: puzzles[1]: is not a group of fields; write its fields below it, each on an indented "
     "line"),
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
    (puzzle(rules="[diagonals]"), f"10: {P}.rules (a): this version knows no rules yet; leave "
                                  "the line out, or write: rules: []"),
    # Numbers.
    (puzzle(size="3"), f"8: {P}.size (a): is 3; write a whole number from 4 to 16"),
    (puzzle(size="17"), f"8: {P}.size (a): is 17; write a whole number from 4 to 16"),
    (puzzle(size="nine"), f"8: {P}.size (a): 'nine' is not a whole number; write a whole number "
                          "from 4 to 16"),
    (puzzle(size="9.0"), f"8: {P}.size (a): '9.0' is not a whole number; write a whole number "
                         "from 4 to 16"),
    (puzzle(size="-4"), f"8: {P}.size (a): '-4' is not a whole number; write a whole number from "
                        "4 to 16"),
    (puzzle(size="'4'"), f"8: {P}.size (a): '4' is in quotes; write the number without them"),
    (puzzle(size="9" * 5000), f"8: {P}.size (a): '{'9' * 37}...' is not a whole number; write a "
                              "whole number from 4 to 16"),
    (puzzle(promise="{no-notes: yes}"), f"10: {P}.promise.no-notes (a): 'yes' is not a whole "
                                        "number; write a whole number from 0 to 20"),
    # Promises.
    (puzzle(promise="{grade: 8}"), f"10: {P}.promise.grade (a): '8' is not a grade; write a rung "
                                   "from 1 to 7, or beyond"),
    (puzzle(promise="{grade: byond}"), f"10: {P}.promise.grade (a): 'byond' is not a grade; "
     "write a rung from 1 to 7, or beyond (did you mean beyond?)"),
    (puzzle(promise="{minimal: yes}"), f"10: {P}.promise.minimal (a): 'yes' is neither true nor "
                                       "false; write true or false, without quotes"),
    (puzzle(promise="{symmetry: rotation}"), f"10: {P}.promise.symmetry (a): 'rotation' is not a "
                                             "symmetry; did you mean 'rotational'?"),
    (puzzle(promise="{needs: hidden-triple}"), f"10: {P}.promise.needs (a): is not a list; write "
                                               "it in brackets, such as [hidden-triple]"),
    (puzzle(promise="{needs: [hiden-tripel]}"), f"10: {P}.promise.needs[1] (a): 'hiden-tripel' "
     "is not a technique of the ladder; did you mean 'hidden-triple'?"),
    (head(needs="[naked-pair, '']"), "5: pack.needs[2]: '' is not a technique of the ladder; "
     "write one of: full-house, hidden-single, naked-single, pointing, claiming, locked-pair, "
     "locked-triple, naked-pair, hidden-pair, naked-triple, hidden-triple"),
]  # fmt: skip
IDS = [re.sub(r"\W+", "-", fault)[:60] for _, fault in ALONE]


@pytest.mark.parametrize(("text", "fault"), ALONE, ids=IDS)
def test_each_field_alone(text, fault, pack):
    assert told(pack(text)) == [f"{M}:{fault}"]


# --- fields together --------------------------------------------------------------------------

TOGETHER = [
    # Grids: which row, which column, and the line of the file where that row stands.
    (WITH_ROWS.replace("8.. .6. ..3", "8.. x6. ..3"),
     f"13: {P}.grid (lamp-room): row 4, column 4 is 'x'; a cell of a 9x9 grid is '.' or 1 to 9"),
    (WITH_ROWS.replace("... .8. .79", "... .8. .7"),
     f"19: {P}.grid (lamp-room): row 9 has 8 cells; it needs 9"),
    (WITH_ROWS.replace("      .6. ... 28.\n", ""),
     f"8: {P}.grid (lamp-room): the grid has 8 rows; it needs 9"),
    (SOUND.replace(GRID, GRID[1:]),
     f"8: {P}.grid (lamp-room): the grid has 80 cells in one line; it needs 81"),
    (SOUND.replace(GRID, GRID[:20] + "?" + GRID[21:]), f"8: {P}.grid (lamp-room): row 3, column "
     "3 is '?'; a cell of a 9x9 grid is '.' or 1 to 9"),
    (puzzle(grid="5" + "." * 15), f"9: {P}.grid (a): row 1, column 1 is '5'; a cell of a 4x4 "
                                  "grid is '.' or 1 to 4"),
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
     "write `blocks: none` for a Latin square, or draw its regions as a picture"),
    (puzzle(blocks="2x3"), f"10: {P}.blocks (a): blocks of 2x3 hold 6 cells, in a grid of size "
                           "4; write 2x2, or size: 6"),
    (puzzle(size="7", grid="." * 49, blocks="9x9"), f"10: {P}.blocks (a): blocks of 9x9 hold 81 "
     "cells, in a grid of size 7; write none, or a picture of the regions"),
    (puzzle(blocks="1x4"), f"10: {P}.blocks (a): blocks of 1x4 are the rows or columns again; "
                           "write none for a Latin square"),
    (puzzle(blocks="2 by 2"), f"10: {P}.blocks (a): '2 by 2' is not a shape of blocks; write "
     "rows x columns (such as 3x3), none, or a picture: a letter a cell, a line a row"),
    (puzzle(blocks="[2, 2]"), f"10: {P}.blocks (a): holds a list; write rows x columns (such as "
                              "3x3), none, or a picture"),
    # Pictures of regions.
    (puzzle(blocks="|\n      aabb\n      aabb\n      ccd\n      ccdd"),
     f"13: {P}.blocks (a): row 3 of the regions picture has 3 letters; it needs 4"),
    (puzzle(blocks="|\n      aabb\n      aab.\n      ccdd\n      ccdd"),
     f"12: {P}.blocks (a): row 2, column 4 of the picture is '.'; write a letter for the region "
     "of the cell"),
    (puzzle(blocks="|\n      aabb\n      aabb\n      ccdd"),
     f"10: {P}.blocks (a): the picture has 3 rows; a grid of size 4 needs 4"),
    (puzzle(blocks="aabbaabaccddccdd"), f"10: {P}.blocks (a): region 'a' covers 5 cells; each "
                                        "region of a 4x4 grid covers 4"),
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
        f"{M}:1: pack.title: is missing",
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


# --- files and folders ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "fault"),
    [
        ("none.yaml", "there is no file none.yaml; check the spelling, or write it"),
        ("sub", "sub is not a file; give a YAML file with one puzzle"),
        ("../secret.yaml", "leads out of the pack's folder; copy the file into the folder"),
        ("sub/../../secret.yaml", "leads out of the pack's folder; copy the file into the folder"),
        ("link.yaml", "leads out of the pack's folder; copy the file into the folder"),
        ("linked/secret.yaml", "leads out of the pack's folder; copy the file into the folder"),
        ("/etc/passwd", "is not a path inside the pack's folder; write it like puzzles/x.yaml"),
        ("sub\\x.yaml", "is not a path inside the pack's folder; write it like puzzles/x.yaml"),
        ("manifest.yaml", "is the manifest itself; give each puzzle a file of its own"),
        ("loop.yaml", "loop.yaml cannot be read; replace it"),
        ("pipe.yaml", "pipe.yaml is not a file; give a YAML file with one puzzle"),
        ("", "has no value; write one"),
    ],
)
def test_a_puzzles_file_stays_inside_the_folder(name, fault, pack, tmp_path):
    folder = pack(puzzle(f"  - file: {name}\n"), {"sub/x.yaml": "id: b\n"})
    (tmp_path / "secret.yaml").write_text("id: b\n")
    (folder / "link.yaml").symlink_to(tmp_path / "secret.yaml")
    (folder / "linked").symlink_to(tmp_path)
    (folder / "loop.yaml").symlink_to(folder / "loop.yaml")
    os.mkfifo(folder / "pipe.yaml")
    assert told(folder) == [f"{M}:10: puzzles[2].file: {fault}"]


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        ("- a\n", "b.yaml:1: the file holds a list at its top; it needs fields, each "
         "`name: value`"),
        ("id: b\ntitle: B", "b.yaml:1: puzzles[2].grid (b): is missing; add a line `grid: ...`"),
        (SOUND, "b.yaml:1: puzzles[2]: the file holds a whole pack; it needs the fields of one "
         "puzzle, at its top"),
        ("\nfile: c.yaml\n", "b.yaml:2: puzzles[2].file: a puzzle's file cannot name another; "
         "write the puzzle"),
        (b"\xff", "b.yaml:1: the file is not UTF-8 text (byte 1); save it as UTF-8"),
    ],
)  # fmt: skip
def test_a_puzzles_file_holds_one_puzzle(content, fault, pack):
    assert told(pack(puzzle("  - file: b.yaml\n"), {"b.yaml": content})) == [fault]


def test_a_puzzle_with_a_file_has_no_other_fields(pack):
    folder = pack(puzzle("  - {file: b.yaml, title: B}\n"), {"b.yaml": f"id: b\ngrid: {GRID}"})
    assert told(folder) == [
        f"{M}:10: puzzles[2].title: unknown field; a puzzle in a file of its own has all its other "
        "fields in that file",
        "b.yaml:1: puzzles[2].title (b): is missing; add a line `title: ...`",
    ]


def test_where_there_is_no_pack(tmp_path, pack):
    def fault(path):
        with pytest.raises(InputError) as error:
            load(path)
        return str(error.value)

    none = tmp_path / "none"
    assert fault(none) == f"{none}: there is no such folder or file; check the spelling"
    assert fault(tmp_path) == (
        f"{tmp_path}: the folder has no manifest.yaml; `packbuilder start` makes a folder with one"
    )
    long = tmp_path / ("x" * 5000)
    assert fault(long) == f"{long}: cannot be read: File name too long"
    assert fault(Path("a\0b")).startswith("a\0b: ")
    away = tmp_path / "away"
    away.mkdir()
    (away / M).symlink_to(pack(SOUND) / M)
    assert fault(away) == (
        f"{away}/{M}: it leads out of the pack's folder; copy the file into the folder"
    )
    (none.with_name("dir") / M).mkdir(parents=True)
    assert fault(tmp_path / "dir") == f"{tmp_path}/dir/{M}: this is a folder; give a YAML file"


# --- whatever comes ---------------------------------------------------------------------------

NAMES = ["pack", "puzzles", "id", "title", "issue", "byline", "grid", "size", "blocks", "promise",
         "needs", "grade", "file", "solution", "no-notes", "link", "rules", "x"]  # fmt: skip
LEAVES = st.sampled_from(
    [None, True, 4, 9, 17, -1, 1.5, "", "4", "a", "none", "2x2", "aabb" * 4, "." * 16, "..", ".",
     "/", "b.yaml", "\U0001f600", "a\nb", "2026-12", "hidden-pair", "http://[", "http://a:b@c:99999"]
)  # fmt: skip
ANY = st.recursive(
    LEAVES | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(NAMES), inner),
    max_leaves=25,
)


@settings(max_examples=200)
@given(
    st.fixed_dictionaries(
        {"pack": ANY, "puzzles": st.lists(st.dictionaries(st.sampled_from(NAMES), ANY)) | ANY}
    )
    | ANY
)
def test_no_data_gives_a_traceback(tmp_path_factory, data):
    folder = tmp_path_factory.getbasetemp()
    (folder / M).write_text(yaml.safe_dump(data, allow_unicode=True), encoding="utf-8")
    try:
        load(folder)
    except InputError as error:
        for line in str(error).splitlines():
            assert re.match(rf"{re.escape(str(folder))}/manifest\.yaml:\d+: .+; .+", line), line


@given(st.binary(max_size=100))
def test_no_bytes_give_a_traceback(tmp_path_factory, raw):
    folder = tmp_path_factory.getbasetemp()
    (folder / M).write_bytes(SOUND[:150].encode() + raw)
    with pytest.raises(InputError):
        load(folder)
