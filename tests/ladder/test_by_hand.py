"""Positions set up by hand: where a technique applies, where it almost does, and other houses.

Common practice, no source: the definitions are those of the trade.
"""

from __future__ import annotations

import pytest

from packbuilder.grid import Geometry, House, blocks, cell_name, irregular, latin
from packbuilder.ladder.board import Board
from packbuilder.ladder.table import DEFAULT
from tests.ladder.positions import GEOMETRIES, leave_only, only_in, with_houses


def empty(geometry: Geometry) -> Board:
    return Board(geometry, (0,) * geometry.cell_count)


def removed(board: Board, slug: str) -> list[str]:
    """What every find of a technique removes, each as ``5: r1c1 r1c2``, digits in order."""
    size, told = board.fields.size, []
    technique = DEFAULT.named(slug)
    assert technique.find
    for find in technique.find(board):
        by_digit: dict[int, list[str]] = {}
        for key in find.removes:
            by_digit.setdefault(key % size + 1, []).append(cell_name(key // size, size))
        told.append("; ".join(f"{d}: {' '.join(cells)}" for d, cells in sorted(by_digit.items())))
    return told


def test_pointing_clears_the_rest_of_the_row() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "block 3", 5, "r2c7", "r2c9")
    assert removed(board, "pointing") == ["5: r2c1 r2c2 r2c3 r2c4 r2c5 r2c6"]


def test_pointing_needs_all_places_in_the_line() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "block 3", 5, "r2c7", "r2c9", "r3c8")
    assert removed(board, "pointing") == []


def test_claiming_clears_the_rest_of_the_block() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 5", 2, "r5c1", "r5c2")
    assert removed(board, "claiming") == ["2: r4c1 r4c2 r4c3 r6c1 r6c2 r6c3"]
    assert removed(board, "pointing") == []


def test_claiming_needs_all_places_in_one_block() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 5", 2, "r5c1", "r5c4")
    assert removed(board, "claiming") == []


def test_pointing_within_an_irregular_region() -> None:
    board = empty(GEOMETRIES["irregular 6"])
    only_in(board, "region C", 4, "r2c2", "r4c2")
    assert removed(board, "pointing") == ["4: r1c2 r5c2 r6c2"]


def test_pointing_from_a_block_along_a_diagonal() -> None:
    board = empty(GEOMETRIES["diagonals 6"])
    only_in(board, "block 1", 3, "r1c1", "r2c2")
    assert removed(board, "pointing") == ["3: r3c3 r4c4 r5c5 r6c6"]


def test_a_house_that_may_lack_a_digit_points_nowhere() -> None:
    # The cage's 1s lie in row 1, but the cage need not hold a 1.
    board = empty(GEOMETRIES["cage 6"])
    only_in(board, "cage a", 1, "r1c2", "r1c3")
    assert removed(board, "pointing") == removed(board, "claiming") == []


def test_a_latin_square_has_nothing_to_point() -> None:
    board = empty(latin(5))
    only_in(board, "row 1", 5, "r1c1", "r1c2")
    assert removed(board, "pointing") == removed(board, "claiming") == []


def test_a_locked_pair_clears_line_and_block() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c2 12")
    rest = "r1c3 r1c4 r1c5 r1c6 r1c7 r1c8 r1c9 r2c1 r2c2 r2c3 r3c1 r3c2 r3c3"
    assert removed(board, "locked-pair") == [f"1: {rest}; 2: {rest}"]


def test_a_pair_in_one_house_only_is_naked_not_locked() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c9 12")
    assert removed(board, "locked-pair") == []
    rest = "r1c2 r1c3 r1c4 r1c5 r1c6 r1c7 r1c8"
    assert removed(board, "naked-pair") == [f"1: {rest}; 2: {rest}"]


def test_a_naked_triple_in_the_meet_of_a_line_and_a_block_clears_both() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r4c4 79", "r5c4 78", "r6c4 89")
    (told,) = removed(board, "locked-triple")
    rest = "r1c4 r2c4 r3c4 r4c5 r4c6 r5c5 r5c6 r6c5 r6c6 r7c4 r8c4 r9c4"
    assert told == f"7: {rest}; 8: {rest}; 9: {rest}"


def test_a_triple_one_digit_off_is_none() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r4c4 79", "r5c4 78", "r6c4 86")
    assert removed(board, "locked-triple") == removed(board, "naked-triple") == []


def test_a_naked_triple_in_a_cage_clears_the_cage() -> None:
    # A house of fewer cells than digits: n cells with n digits work there all the same.
    board = empty(GEOMETRIES["cage 6"])
    leave_only(board, "r1c3 12", "r2c3 23", "r2c4 13")
    assert removed(board, "naked-triple") == ["1: r1c2; 2: r1c2; 3: r1c2"]


def test_a_naked_pair_on_a_diagonal() -> None:
    board = empty(GEOMETRIES["diagonals 6"])
    leave_only(board, "r1c1 56", "r6c6 56")
    rest = "r2c2 r3c3 r4c4 r5c5"
    assert removed(board, "naked-pair") == [f"5: {rest}; 6: {rest}"]


def test_a_hidden_pair_loses_all_else() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "column 8", 3, "r1c8", "r9c8")
    only_in(board, "column 8", 7, "r1c8", "r9c8")
    expected = "; ".join(f"{d}: r1c8 r9c8" for d in (1, 2, 4, 5, 6, 8, 9))
    assert removed(board, "hidden-pair") == [expected]


def test_a_hidden_pair_needs_the_same_two_cells() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "column 8", 3, "r1c8", "r9c8")
    only_in(board, "column 8", 7, "r1c8", "r5c8")
    assert removed(board, "hidden-pair") == []


def test_a_hidden_pair_in_a_window() -> None:
    board = empty(GEOMETRIES["window 9"])
    for digit in (1, 2):
        only_in(board, "window a", digit, "r2c2", "r4c4")
    expected = "; ".join(f"{d}: r2c2 r4c4" for d in range(3, 10))
    assert removed(board, "hidden-pair") == [expected]


def test_a_house_that_may_lack_a_digit_hides_no_pair() -> None:
    geometry = with_houses(latin(6), House("cage", "cage a", (0, 1, 7, 14, 21)))
    board = empty(geometry)
    for digit in (1, 2):
        only_in(board, "cage a", digit, "r2c2", "r3c3")
    assert removed(board, "hidden-pair") == []


@pytest.mark.parametrize("slug", ["hidden-triple", "hidden-pair"])
def test_hidden_digits_with_a_loose_end_are_none(slug: str) -> None:
    n = 3 if slug == "hidden-triple" else 2
    board = empty(blocks(3, 3))
    for digit in (1, 2, 3)[:n]:
        only_in(board, "row 9", digit, *("r9c1", "r9c4", "r9c7")[:n])
    assert len(removed(board, slug)) == 1
    board = empty(blocks(3, 3))
    for digit in (1, 2, 3)[:n]:
        loose = ("r9c9",) if digit == 1 else ()
        only_in(board, "row 9", digit, *("r9c1", "r9c4", "r9c7")[:n], *loose)
    assert removed(board, slug) == []


def test_a_region_may_cross_a_row_in_more_than_three_cells() -> None:
    geometry = irregular("AAAAB\nACBBB\nCCCBD\nCDDDD\nEEEEE")
    board = empty(geometry)
    only_in(board, "region A", 1, "r1c1", "r1c4")
    assert removed(board, "pointing") == ["1: r1c5"]
    # Region E is row 5 itself: neither has a rest for the other to clear.
    only_in(board, "row 5", 2, "r5c1", "r5c2")
    assert removed(board, "claiming") == []
