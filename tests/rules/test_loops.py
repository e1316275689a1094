"""Closed lines of whispers and renban: judged by OR-Tools; told, drawn and read as one loop."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from packbuilder.grid import parse_cell
from packbuilder.proof import sat
from packbuilder.rules.contract import Part, RuleFault, Sight
from packbuilder.rules.houses import with_houses
from packbuilder.rules.shapes import Path
from tests.rules import judge
from tests.rules.random_lines import KINDS, grid_of, refusal, told
from tests.rules.test_lines_alike import LIMIT, engines, grids_4x4

LOOPS = {  # four corners of a square on its tip; a ring of eight; a triangle; a bent six
    "diamond": "r2c1 r1c2 r2c3 r3c2 r2c1",
    "ring": "r1c1 r1c2 r1c3 r2c3 r3c3 r3c2 r3c1 r2c1 r1c1",
    "three": "r1c1 r1c2 r2c1 r1c1",
    "six": "r1c1 r1c2 r2c3 r3c3 r3c2 r2c1 r1c1",
}
HELD = [
    ("whispers", "diamond"), ("whispers", "ring"), ("whispers", "six"),
    ("renban", "diamond"), ("renban", "three"),
]  # fmt: skip


def read(slug: str, text: str, size: int = 6) -> Part:
    return KINDS[slug].read([text], grid_of(size))[0]


@pytest.mark.parametrize(("slug", "loop"), HELD)
def test_all_4x4_grids(slug: str, loop: str) -> None:
    """`holds`, clauses, search and judge allow the same of all 288 grids."""
    geometry, part, clues = grid_of(4), read(slug, LOOPS[loop], 4), (0,) * 16
    allowed = {values for values in grids_4x4() if part.holds(values, 4)}
    value = [(slug, [LOOPS[loop]])]
    assert judge.solutions(4, geometry.shape, clues, value, 1000) == allowed
    assert engines(geometry, clues, (part,), 1000) == [allowed, allowed]


@pytest.mark.parametrize(("slug", "loop"), [one for one in HELD if one[1] != "ring"])
def test_open_grids_and_what_is_deduced(slug: str, loop: str) -> None:
    """With cells open: all solutions by three ways, and no step strikes a digit of any of them."""
    rng, geometry, part = random.Random(f"{slug}{loop}"), grid_of(6), read(slug, LOOPS[loop])
    whole, struck = with_houses(geometry, (part,)), 0
    with sat.Prover(whole, (part,)) as prover:
        solved, _ = prover.explore((0,) * 36, limit=3)
    assert len(solved) == 3
    for values in solved:
        assert part.holds(values, 6)
        opened = set(rng.sample(range(36), 22)) | set(part.cells)
        clues = tuple(0 if k in opened else v for k, v in enumerate(values))
        judged = judge.solutions(6, geometry.shape, clues, [(slug, [LOOPS[loop]])], LIMIT)
        if len(judged) < LIMIT:
            assert engines(geometry, clues, (part,), LIMIT) == [judged, judged]
        for _ in range(60):
            masks = [1 << (v - 1) | rng.randrange(64) & rng.randrange(64) for v in values]
            for found in part.deduce(Sight(whole, tuple(masks))):
                struck += 1
                assert all(values[cell] != digit for cell, digit in found.removes), found.words()
    assert struck > 10


def test_the_last_cell_is_a_neighbour_of_the_first() -> None:
    """Of four cells round a block, 1 in the first takes all but 6 (and 5, 4) from both sides."""
    found = told("whispers", ["r1c1 r1c2 r2c2 r2c1 r1c1"], 6, {"r1c1": "1"})
    assert found[0] == (
        "whisper-beside",
        "r2c1 123, r1c2 123",
        "r1c1 is 1. Its neighbours on the whisper line differ by at least 3 from it, so r2c1 and "
        "r1c2 are at least 4.",
    )


@pytest.mark.parametrize("size", [6, 9])
@pytest.mark.parametrize("loop", ["diamond", "ring", "six"])
def test_filled_loops_are_judged_step_by_step(loop: str, size: int) -> None:
    """By the definition, along the cells as they are told; low and high digits mostly in turn."""
    rng, part, kept = random.Random(f"{loop}{size}"), read("whispers", LOOPS[loop], size), 0
    way = [parse_cell(name, size) for name in LOOPS[loop].split()]
    for _ in range(600):
        values = [1] * size**2
        for k, cell in enumerate(way[:-1]):
            values[cell] = rng.choice((1, 1, 2, size // 2)) + k % 2 * ((size + 1) // 2)
        expected = all(2 * abs(values[a] - values[b]) >= size for a, b in pairwise(way))
        kept += expected
        assert part.holds(tuple(values), size) == expected
        assert part.prune([1 << (v - 1) for v in values], size) == expected
    assert 10 < kept < 590


def test_the_ways_to_fill_a_loop_close_it() -> None:
    """The last cell is 7 or 8, and the first comes after it: 3 beside 8, and nothing else."""
    given = {"r1c1": "34", "r1c2": "9", "r2c2": "12", "r2c1": "78"}
    found = told("whispers", ["r1c1 r1c2 r2c2 r2c1 r1c1"], 9, given, ways=True)
    assert found[0][:2] == ("whisper-ways", "r1c1 4, r2c1 7")


@pytest.mark.parametrize("slug", ["whispers", "renban"])
def test_from_wherever_it_is_told_a_loop_is_one_part(slug: str) -> None:
    geometry, names = grid_of(6), LOOPS["diamond"].split()[:-1]
    part = read(slug, LOOPS["diamond"])
    for k in range(4):
        for way in (1, -1):
            turned = (names[k:] + names[:k])[::way]
            text = " ".join([*turned, turned[0]])
            assert read(slug, text) == part
            cells = tuple(parse_cell(name, 6) for name in text.split())
            (shape,) = part.shapes()
            assert isinstance(shape, Path)
            assert KINDS[slug].recover([Path(cells, shape.style)], geometry) == (part,)
    clues = KINDS[slug].write([part], geometry)
    assert [clue.words for clue in clues] == ["r1c2 r2c1 r3c2 r2c3 r1c2"]
    assert KINDS[slug].parse(clues, geometry) == (part,)
    with pytest.raises(RuleFault, match="this is number 1 again"):
        KINDS[slug].read([LOOPS["diamond"], "r1c2 r2c3 r3c2 r2c1 r1c2"], geometry)


def test_a_loop_is_not_the_line_through_its_cells() -> None:
    loop, line = read("whispers", LOOPS["diamond"]), read("whispers", "r2c1 r1c2 r2c3 r3c2")
    assert loop != line and loop.shapes() != line.shapes()


@pytest.mark.parametrize("slug", ["whispers", "renban"])
def test_the_gate_is_told_of_a_loop(slug: str) -> None:
    part = read(slug, LOOPS["diamond"])
    word = {"whispers": "whisper", "renban": "renban"}[slug]
    assert KINDS[slug].warnings([part], 6) == [
        (f"the closed {word} line through r1c2 has no ends: its last cell is the first again",
         part.cells)
    ]  # fmt: skip
    wording = KINDS[slug].wording([part], 6)
    assert wording.text == "A line told with its first cell again at its end is closed."
    assert not KINDS[slug].wording([read(slug, "r1c1 r1c2 r1c3")], 6).text


@pytest.mark.parametrize(
    ("slug", "value", "sentence"),
    [
        ("thermometers", [LOOPS["diamond"]],
         "the line comes back to its first cell r2c1, but a thermometer rises from its bulb to its "
         "tip, which cannot be one cell; end it one cell earlier"),
        ("between-lines", [LOOPS["diamond"]],
         "the line comes back to its first cell r2c1, but a between line lies between the digits "
         "of two circles, which cannot be one cell; end it one cell earlier"),
        ("palindromes", [LOOPS["diamond"]],
         "the line comes back to its first cell r2c1, but a palindrome is read from either end, "
         "and a loop has no ends; end it one cell earlier"),
        ("arrows", [{"circle": "r2c1", "shaft": "r1c2 r2c3 r3c2 r2c1"}],
         "the arrow comes back to its circle r2c1, but a shaft leads away from the circle, whose "
         "digit is no part of its own sum; end the shaft one cell earlier"),
        ("whispers", [LOOPS["three"]],
         "this whisper line is a loop of 3 cells, and low and high digits cannot take turns round "
         "an odd number; lay the loop through an even number of cells"),
        ("whispers", ["r1c1 r1c2 r1c1"], "r1c1 is named twice; name each cell once"),
        ("renban", ["r1c1 r1c2 r2c2 r1c2"], "r1c2 is named twice; name each cell once"),
        ("renban", ["r1c1 r1c2 r2c2 r1c1 r2c1"], "r1c1 is named twice; name each cell once"),
        ("renban", ["r1c1 r1c2 r1c3 r1c1"],
         "r1c3 and r1c1 do not touch; name the cells of a line in order, each beside or "
         "diagonally beside the last"),
    ],
)  # fmt: skip
def test_what_cannot_be_a_loop_says_why(slug: str, value: list, sentence: str) -> None:
    assert refusal(slug, value, 6)[0].endswith(sentence)


def test_no_loop_is_recovered_where_none_may_be() -> None:
    cells = tuple(parse_cell(name, 6) for name in LOOPS["diamond"].split())
    assert KINDS["palindromes"].recover([Path(cells, "double")], grid_of(6)) == ()
