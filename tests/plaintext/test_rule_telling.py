"""Rules in words: nothing that is drawn for a sighted solver is missing, and it reads the same."""

from __future__ import annotations

import re

import pytest

from packbuilder import rules
from packbuilder.grid import Geometry, blocks, cell_name
from packbuilder.plaintext.rule_topics import puzzle_rules, rule_clues, rule_words
from packbuilder.plaintext.shape_words import shape_lines
from packbuilder.puzzle import Puzzle
from packbuilder.readback.plaintext.file import Line
from packbuilder.readback.plaintext.hearing import clues_of, parts_heard
from packbuilder.readback.plaintext.outline import Paragraph, outline
from packbuilder.readback.plaintext.rows import Picture, parted
from packbuilder.readback.plaintext.shape_hearing import shapes_heard
from packbuilder.rules import template
from packbuilder.rules.contract import Kind, Part
from packbuilder.rules.houses import without_houses
from packbuilder.rules.shapes import Corner, Edge, Outside, Shape
from tests.readback.books import example

SLUGS = list(rules.kinds())

SEEN = ("grey", "black ink", "dashed", "dotted", "double line", "thin line", "broad", "heavy",
        "drawn", "outside the grid", "corner")  # fmt: skip
"""Words of things that only an eye can tell apart."""


def heard(kind: Kind, lines: list[str], geometry: Geometry) -> tuple[Part, ...]:
    """What the reader makes of clue lines."""
    numbered = [Line(k, line) for k, line in enumerate(["** Rule", "", *lines], start=1)]
    pieces = parted(outline(numbered).parts[0].head.body) if lines else []
    clues = list(clues_of([one for one in pieces if isinstance(one, Paragraph)]))
    return parts_heard(kind, geometry, clues, [one for one in pieces if isinstance(one, Picture)])


def told(puzzle: Puzzle) -> list[tuple[Kind, tuple[Part, ...], list[str]]]:
    return [
        (kind, parts, rule_clues(kind, parts, puzzle.geometry))
        for kind, parts in puzzle_rules(puzzle.rule_names, puzzle.rules)
    ]


@pytest.mark.parametrize("slug", SLUGS)
def test_the_clues_mean_the_same_parts_again(slug: str) -> None:
    puzzle, _ = example(slug)
    base = without_houses(puzzle.geometry, puzzle.rules)
    for kind, parts, lines in told(puzzle):
        assert heard(kind, lines, base) == parts


@pytest.mark.parametrize("slug", SLUGS)
def test_every_cell_and_every_number_that_is_drawn_is_told(slug: str) -> None:
    puzzle, _ = example(slug)
    for _, parts, lines in told(puzzle):
        text = " ".join(lines)
        for shape in (shape for part in parts for shape in part.shapes()):
            for word in _must_say(shape, puzzle.size, text):
                assert re.search(rf"(?<!\d){re.escape(word)}(?!\d)", text), (shape, word)


def _must_say(shape: Shape, size: int, text: str) -> list[str]:
    """What a sighted solver reads off a shape, as words."""
    match shape:
        case Outside(side, index, number, towards):
            line = "c" if side in ("top", "bottom") else "r"
            return [number] if towards else [f"{line}{index + 1} {number}"]
        case Corner(_, number):
            return [number] if number.isdecimal() else []  # letters of regions are its own
        case Edge(cells, _):
            return [cell_name(cell, size) for cell in cells]
    cells = getattr(shape, "cells", None) or ([shape.cell] if hasattr(shape, "cell") else [])
    if "\n" in text or re.match(r"r1 +[a-z.]( |$)", text):  # a picture has no names of cells
        return []
    return [cell_name(cell, size) for cell in cells]


@pytest.mark.parametrize("slug", SLUGS)
def test_the_words_need_no_picture(slug: str) -> None:
    puzzle, _ = example(slug)
    for kind, parts, lines in told(puzzle):
        words = rule_words(kind, parts, puzzle.geometry)
        assert words.endswith(".")
        assert not re.search(r"\br\d+c\d+\b", words)
        if lines:
            seen = [one for one in SEEN if one in words]
            assert seen == [], words


@pytest.mark.parametrize("slug", SLUGS)
def test_shapes_in_words_are_the_same_shapes_again(slug: str) -> None:
    puzzle, _ = example(slug)
    for _, parts, _ in told(puzzle):
        shapes = tuple(shape for part in parts for shape in part.shapes())
        lines = shape_lines(parts, puzzle.size)
        numbered = tuple(Line(k, line) for k, line in enumerate(lines, start=1))
        clues = clues_of([Paragraph(numbered)]) if lines else ()
        assert shapes_heard([(c.label, c.words, c.line) for c in clues], puzzle.size) == shapes


def test_a_new_rule_is_told_by_its_shapes() -> None:
    kind, geometry = template.KIND, blocks(2, 2)
    parts = kind.read(["r2c2 r4c1", "r2c1 r3c3"], geometry)
    lines = rule_clues(kind, parts, geometry)
    assert lines == ["dashed line: r2c2 r4c1", "dashed line: r2c1 r3c3"]
    assert heard(kind, lines, geometry) == parts
    assert rule_words(kind, parts, geometry) == kind.wording(parts, 4)


NINE = blocks(3, 3)


@pytest.mark.parametrize(
    ("slug", "value", "lines"),
    [
        ("cages", [{"sum": "15", "cells": "r1c1 r1c2"}, {"cells": "r2c1 r2c2"}],
         ["cage 15: r1c1 r1c2", "cage without a sum: r2c1 r2c2"]),
        ("thermometers", ["r1c1 r1c2 r2c3"], ["1: r1c1 r1c2 r2c3"]),
        ("arrows", [{"circle": "r1c1", "shaft": "r1c2 r2c3"}], ["1: circle r1c1, shaft r1c2 r2c3"]),
        ("dots", {"white": ["r1c1 r1c2"], "black": ["r2c1 r3c1"], "all-shown": "true"},
         ["white: r1c1 r1c2", "black: r2c1 r3c1", "shown: all"]),
        ("xv", {"v": ["r1c1 r1c2"]}, ["V: r1c1 r1c2", "shown: some"]),
        ("inequalities", ["r1c1 < r1c2", "r2c1 > r1c1", "r1c3 < r1c2"],
         ["r1c1 less than: r1c2 r2c1", "r1c3 less than: r1c2"]),
        ("parity", {"odd": "r1c1 r2c2"}, ["odd: r1c1 r2c2"]),
        ("sandwich", {"top": ". . 12 . . . . . 0"}, ["above: c3 12, c9 0"]),
        ("sightlines", {"left": "3 . . . . . . . .", "bottom": ". 2 . . . . . . ."},
         ["below: c2 2", "left: r1 3"]),
        ("little-sums", [{"sum": "14", "from": "r1c3", "towards": "down-left"}],
         ["sum 14: r1c3 r2c2 r3c1"]),
        ("diagonals", None, ["falling: r1c1 to r9c9", "rising: r9c1 to r1c9"]),
        ("anti-knight", None, []),
    ],
)  # fmt: skip
def test_clues_by_hand(slug: str, value: object, lines: list[str]) -> None:
    kind = rules.kinds()[slug]
    assert rule_clues(kind, kind.read(value, NINE), NINE) == lines


def test_regions_that_overlap_stand_in_pictures_of_their_own() -> None:
    kind, grid = rules.kinds()["extra-regions"], blocks(2, 2)
    one = kind.read("a...\n.a..\n....\n..a.", grid)
    two = kind.read("a...\n....\n.a..\n...a", grid)
    lines = rule_clues(kind, (*one, *two), grid)
    assert lines == [
        "r1  a .  . .", "r2  . a  . .", "", "r3  . .  . .", "r4  . .  a .", "",
        "r1  a .  . .", "r2  . .  . .", "", "r3  . a  . .", "r4  . .  . a",
    ]  # fmt: skip
    assert heard(kind, lines, grid) == (*one, *two)
    assert "pictures of their own" in rule_words(kind, (*one, *two), grid)


def test_the_words_of_whispers_say_how_far() -> None:
    kind = rules.kinds()["whispers"]  # half of the size, rounded up: 5 in a 9x9 (common practice)
    assert "at least 5" in rule_words(kind, kind.read(["r1c1 r1c2"], NINE), NINE)
