"""Rules in words: nothing that is drawn for a sighted solver is missing, and it reads the same."""

from __future__ import annotations

import random
import re
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from packbuilder import rules
from packbuilder.book.wording import in_a_line
from packbuilder.grid import Geometry, blocks, cell_name, latin
from packbuilder.plaintext.grids import signs
from packbuilder.plaintext.words import clue_lines, said
from packbuilder.plaintext.writing import encoded
from packbuilder.plan.outline import TOPIC, Node, Outline
from packbuilder.readback.plaintext.file import decoded
from packbuilder.readback.plaintext.parsing import parsed
from packbuilder.readback.plaintext.proving import told_of
from packbuilder.readback.summaries import told_of_a_line
from packbuilder.rules import template
from packbuilder.rules.contract import Clue, Kind, Part, Picture, RuleFault, Solved, Told
from packbuilder.rules.shapes import Corner, Edge, Outside, Shape
from tests.readback.books import example
from tests.rules import random_values
from tests.rules.random_lines import grid_of, shuffled

KINDS: dict[str, Kind] = {**rules.kinds(), "twins": template.KIND}

SEEN = ("grey", "black ink", "dashed", "dotted", "double line", "thin line", "broad", "heavy",
        "drawn", "outside the grid", "corner of")  # fmt: skip
"""Words of things that only an eye can tell apart."""

NINE = blocks(3, 3)


@st.composite
def clued(draw: st.DrawFn, slug: str) -> tuple[Geometry, tuple[Part, ...]]:
    """A grid of any size with random clues of a rule that hold on some solved grid."""
    size, kind = draw(st.integers(4, 16)), KINDS[slug]
    geometry = draw(st.sampled_from((grid_of(size), latin(size))))
    rng = random.Random(draw(st.integers(0, 2**32)))
    values = shuffled(geometry, rng)
    makers = {name: getattr(random_values, name.replace("-", "_"), None) for name in KINDS}
    value: Any
    if (make := makers[slug]) is not None and rng.random() < 0.6:
        value = make(rng, geometry, values)
    else:
        free = frozenset(rng.sample(range(size * size), rng.randint(size * 2, size * size)))
        value = kind.random_value(Solved(geometry, values, free, rng.random))
        for _ in range(rng.randrange(4)):
            value = rng.choice((value and kind.fewer(value)) or [value])
    assume(value is not None or kind.schema() == {"type": "null"})
    return geometry, kind.read(value, geometry)


def in_a_file(kind: Kind, told: tuple[Told, ...], geometry: Geometry) -> list[Told]:
    """Clues as they are read from a text edition that has them."""
    pictures = [signs(one.letters, geometry) for one in told if isinstance(one, Picture)]
    clues = clue_lines(one for one in told if isinstance(one, Clue))
    body = (said("Words."), *([said(*clues)] if clues else []), *pictures)
    lines, faults = decoded(encoded(Outline((), (Node(TOPIC, kind.title, body),))))
    assert not faults
    (node,) = parsed(lines).nodes
    return told_of(node)


@pytest.mark.parametrize("slug", KINDS)
def test_clues_mean_the_same_parts_again(slug: str) -> None:
    """As they are told, from a text edition, and from what a screen reader is told of a grid."""
    kind = KINDS[slug]

    @settings(deadline=None, max_examples=40, derandomize=True)
    @given(clued(slug))
    def check(one: tuple[Geometry, tuple[Part, ...]]) -> None:
        geometry, parts = one
        told = kind.write(parts, geometry)
        assert kind.parse(told, geometry) == parts
        assert kind.parse(in_a_file(kind, told, geometry), geometry) == parts
        summary = in_a_line(told, geometry.size)
        assert kind.parse(told_of_a_line(summary), geometry) == parts

    check()


@pytest.mark.parametrize("slug", KINDS)
def test_words_that_are_no_clues_are_a_fault_and_no_crash(slug: str) -> None:
    kind = KINDS[slug]
    words = ("", "r1c1", "r1c1 r1c1", "r9c9 r1c1", "x", "r1c2 5, r1c2 6", "circle r1c1", "\u0663")
    labels = ("1", "2", "x", "", "cage 3", "cage x", "sum 9", "even", "white", "X", "shown",
              "above", "left", "falling", "r1c1 less than", "r1c1 less than more")  # fmt: skip
    told: list[list[Told]] = [
        [Clue(label, (text,) * bool(text))] for label in labels for text in words
    ]
    told += [[Picture("a" * 16)], [Picture("." * 16)], [Picture("ab")], [Picture("")]]
    for one in told:
        try:
            parts = kind.parse(one, blocks(2, 2))
        except RuleFault:
            continue
        assert parts
        assert kind.parse(kind.write(parts, blocks(2, 2)), blocks(2, 2)) == parts


@pytest.mark.parametrize("slug", rules.kinds())
def test_every_cell_and_every_number_that_is_drawn_is_told(slug: str) -> None:
    puzzle, _ = example(slug)
    for kind in (KINDS[name] for name in puzzle.rule_names):
        parts = rules.parts_of(kind, puzzle.rules)
        text = in_a_line(kind.write(parts, puzzle.geometry), puzzle.size)
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
    if re.match(r"r1 [a-z.]( |$)", text):  # a picture has no names of cells
        return []
    return [cell_name(cell, size) for cell in cells]


@pytest.mark.parametrize("slug", KINDS)
def test_the_words_need_no_picture(slug: str) -> None:
    puzzle, _ = example(slug) if slug != "twins" else (None, None)
    parts = rules.parts_of(KINDS[slug], puzzle.rules) if puzzle else ()
    words = KINDS[slug].wording(parts, 6).said("text")
    assert words.endswith(".")
    assert not re.search(r"\br\d+c\d+\b", words)
    assert [one for one in SEEN if one in words] == []


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
        ("twins", ["r3c4 r1c2"], ["1: r1c2 r3c4"]),
    ],
)  # fmt: skip
def test_clues_by_hand(slug: str, value: object, lines: list[str]) -> None:
    kind = KINDS[slug]
    told = kind.write(kind.read(value, NINE), NINE)
    assert [f"{one.label}: {one.words}" for one in told if isinstance(one, Clue)] == lines


def test_more_regions_than_letters_stand_in_two_pictures() -> None:
    kind, grid = KINDS["extra-regions"], latin(8)
    signs_ = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123"  # 30 pairs of cells a diagonal step apart
    cells = ["."] * 64
    pairs = [(r, c) for r in (0, 2, 4, 6) for c in range(0, 8, 2)]
    pairs += [(r, c) for r in (0, 2, 4, 6) for c in range(1, 8, 2)]
    for sign, (r, c) in zip(signs_, pairs, strict=False):
        cells[r * 8 + c] = cells[(r + 1) * 8 + (c + 1 if c % 2 == 0 else c - 1)] = sign
    parts = kind.read("\n".join("".join(cells[k : k + 8]) for k in range(0, 64, 8)), grid)
    told = kind.write(parts, grid)
    assert len(parts) == 30 and len(told) == 2
    assert set(kind.parse(in_a_file(kind, told, grid), grid)) == set(parts)
