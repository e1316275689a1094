"""Rows: grids of every size and kind fit a braille line and read the same again."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packbuilder.book.wording import region_letters
from packbuilder.grid import SYMBOLS, Geometry, Values, blocks, irregular, latin
from packbuilder.plaintext.grids import grid_rows, signs
from packbuilder.plaintext.writing import encoded
from packbuilder.plan.outline import SECTION, WIDTH, Node, Outline, Rows
from packbuilder.readback.plaintext.comparing import compared
from packbuilder.readback.plaintext.file import decoded
from packbuilder.readback.plaintext.parsing import parsed, values_of

GEOMETRIES = [latin(n) for n in range(4, 17)] + [
    blocks(high, wide) for high in range(2, 9) for wide in range(2, 9) if 4 <= high * wide <= 16
]


@st.composite
def grids(draw: st.DrawFn) -> tuple[Geometry, Values]:
    """A geometry of a size from 4 to 16, and digits or empty cells for it (not a solution)."""
    geometry = draw(st.sampled_from(GEOMETRIES))
    digit = st.integers(0, geometry.size)
    count = geometry.cell_count
    return geometry, tuple(draw(st.lists(digit, min_size=count, max_size=count)))


def outlined(rows: Rows) -> Outline:
    return Outline((), (Node(SECTION, "Puzzles", (rows,)),))


def read(rows: Rows) -> Rows:
    """Rows, as the reader finds them in a file."""
    (node,) = parsed(decoded(encoded(outlined(rows)))[0]).nodes
    (found,) = node.body
    assert isinstance(found, Rows)
    return found


@given(grids())
def test_grids_are_read_as_they_were_written(one: tuple[Geometry, Values]) -> None:
    geometry, values = one
    found = read(grid_rows(values, geometry))
    assert values_of(found, geometry.size) == values
    assert found == grid_rows(values, geometry)


@given(grids())
def test_rows_fit_a_braille_line_and_columns_stand_below_one_another(
    one: tuple[Geometry, Values],
) -> None:
    geometry, values = one
    n = geometry.size
    rows = [row for row in grid_rows(values, geometry).lines if row]
    assert max(map(len, rows)) <= WIDTH
    places = {tuple(k for k, sign in enumerate(row) if k > 3 and sign != " ") for row in rows}
    assert len(places) == 1
    assert [row.split()[0] for row in rows] == [f"r{k + 1}" for k in range(n)]
    assert [row.split()[1:] for row in rows] == [
        [SYMBOLS[v] for v in values[k : k + n]] for k in range(0, n * n, n)
    ]


@given(grids(), grids())
def test_another_geometry_is_never_taken_for_the_right_one(
    one: tuple[Geometry, Values], other: tuple[Geometry, Values]
) -> None:
    if one[0].name() != other[0].name():
        seen, due = (outlined(grid_rows(values, geometry)) for geometry, values in (one, other))
        assert list(compared(seen, due, {})) != []


@pytest.mark.parametrize("geometry", GEOMETRIES, ids=Geometry.name)
def test_blocks_are_set_apart(geometry: Geometry) -> None:
    rows = grid_rows((0,) * geometry.cell_count, geometry).lines
    high, _ = geometry.shape or (geometry.size, 0)
    bands = "\n".join(rows).split("\n\n")
    assert [len(band.splitlines()) for band in bands] == [high] * (geometry.size // high)


def test_a_grid_by_hand() -> None:
    # typed by hand
    values = (0, 0, 3, 0, 2, 0, 6, 0, 0) + (0,) * 72
    rows = grid_rows(values, blocks(3, 3)).lines
    assert list(rows[:5]) == [
        "r1  . . 3  . 2 .  6 . .",
        "r2  . . .  . . .  . . .",
        "r3  . . .  . . .  . . .",
        "",
        "r4  . . .  . . .  . . .",
    ]
    assert grid_rows((16,) + (0,) * 255, blocks(4, 4)).lines[0] == (
        "r1   G . . .  . . . .  . . . .  . . . ."
    )


def test_regions_are_small_letters_in_reading_order() -> None:
    crooked = irregular("ZZZB\nCZBB\nCCDB\nCDDD")
    assert list(signs(region_letters(crooked), crooked).lines) == [
        "r1  a a a b",
        "r2  c a b b",
        "r3  c c d b",
        "r4  c d d d",
    ]


def test_pictures_are_set_as_the_grid_is() -> None:
    grid, drawn = blocks(2, 3), signs(["."] * 36, blocks(2, 3))
    assert drawn == grid_rows((0,) * 36, grid)
    assert all(len(a) == len(b) for a, b in pairwise(row for row in drawn.lines if row))
