"""Rungs 5 to 7 on positions set up by hand: where a technique applies, and one cell off.

Common practice, no source: the definitions are those of the trade.
"""

from __future__ import annotations

from packbuilder.grid import House, blocks, latin
from packbuilder.ladder.board import Board
from tests.ladder.positions import (
    GEOMETRIES,
    diagonals,
    leave_only,
    only_in,
    strike_out,
    with_houses,
)
from tests.ladder.test_by_hand import empty, removed

COLUMN_3 = "r1c3 r3c3 r4c3 r5c3 r6c3 r8c3 r9c3"
COLUMN_8 = "r1c8 r3c8 r4c8 r5c8 r6c8 r8c8 r9c8"


def in_reading_order(text: str) -> str:
    return " ".join(sorted(text.split()))


def x_wing_board(*extra: str) -> Board:
    board = empty(blocks(3, 3))
    only_in(board, "row 2", 5, "r2c3", "r2c8", *extra)
    only_in(board, "row 7", 5, "r7c3", "r7c8")
    return board


def test_an_x_wing_clears_both_columns() -> None:
    expected = in_reading_order(f"{COLUMN_3} {COLUMN_8}")
    assert removed(x_wing_board(), "x-wing") == [f"5: {expected}"]


def test_an_x_wing_with_a_third_place_is_finned() -> None:
    board = x_wing_board("r2c9")
    assert removed(board, "x-wing") == []
    # Only what sees the fin r2c9 as well: the rest of column 8 in block 3.
    assert removed(board, "finned-x-wing") == ["5: r1c8 r3c8"]


def test_a_fin_out_of_sight_leaves_nothing() -> None:
    assert removed(x_wing_board("r2c5"), "finned-x-wing") == []


def test_a_finned_x_wing_may_lack_the_corner_beside_its_fin() -> None:
    board = x_wing_board("r2c9")
    strike_out(board, "r2c8 5")
    assert "5: r1c8 r3c8" in removed(board, "finned-x-wing")


def test_an_x_wing_of_two_diagonals() -> None:
    board = empty(GEOMETRIES["diagonals 6"])
    for label in ("the falling diagonal", "the rising diagonal"):
        only_in(board, label, 4, "r1c1", "r6c6", "r1c6", "r6c1")
    rows = "r1c2 r1c3 r1c4 r1c5 r6c2 r6c3 r6c4 r6c5"
    columns = "r2c1 r2c6 r3c1 r3c6 r4c1 r4c6 r5c1 r5c6"
    assert sorted(removed(board, "x-wing")) == sorted([f"4: {rows}", f"4: {columns}"])


def swordfish_board() -> Board:
    board = empty(blocks(3, 3))
    only_in(board, "row 1", 7, "r1c2", "r1c5")
    only_in(board, "row 5", 7, "r5c5", "r5c9")
    only_in(board, "row 8", 7, "r8c2", "r8c9")
    return board


def test_a_swordfish_needs_no_line_to_be_full() -> None:
    rest = [f"r{r}c{c}" for r in (2, 3, 4, 6, 7, 9) for c in (2, 5, 9)]
    assert removed(swordfish_board(), "swordfish") == [f"7: {' '.join(rest)}"]


def test_a_swordfish_with_a_fourth_column_is_none() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 1", 7, "r1c2", "r1c5")
    only_in(board, "row 5", 7, "r5c5", "r5c9")
    only_in(board, "row 8", 7, "r8c2", "r8c4")
    assert removed(board, "swordfish") == []


def test_a_finned_swordfish() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 1", 7, "r1c2", "r1c5")
    only_in(board, "row 5", 7, "r5c5", "r5c9")
    only_in(board, "row 8", 7, "r8c2", "r8c9", "r8c8")
    assert removed(board, "swordfish") == []
    assert removed(board, "finned-swordfish") == ["7: r7c9 r9c9"]


def test_a_jellyfish_by_columns() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "column 1", 9, "r1c1", "r4c1")
    only_in(board, "column 3", 9, "r4c3", "r6c3")
    only_in(board, "column 6", 9, "r6c6", "r9c6")
    only_in(board, "column 8", 9, "r9c8", "r1c8")
    rest = [f"r{r}c{c}" for r in (1, 4, 6, 9) for c in (2, 4, 5, 7, 9)]
    assert removed(board, "jellyfish") == [f"9: {' '.join(rest)}"]


def test_fish_swim_in_latin_squares() -> None:
    board = empty(latin(5))
    only_in(board, "row 1", 3, "r1c1", "r1c4")
    only_in(board, "row 3", 3, "r3c1", "r3c4")
    assert removed(board, "x-wing") == ["3: r2c1 r2c4 r4c1 r4c4 r5c1 r5c4"]


def swordfish_on_a_diagonal(*more: str) -> Board:
    board = empty(GEOMETRIES["diagonals 6"])
    only_in(board, "row 1", 4, "r1c3", "r1c4")
    only_in(board, "row 2", 4, "r2c3", "r2c6", *more)
    only_in(board, "the falling diagonal", 4, "r4c4", "r6c6")
    return board


def test_a_swordfish_with_a_diagonal_among_its_lines() -> None:
    expected = "4: r3c4 r3c6 r4c3 r4c6 r5c3 r5c4 r5c6 r6c3 r6c4"
    assert removed(swordfish_on_a_diagonal(), "swordfish") == [expected]
    assert removed(swordfish_on_a_diagonal("r2c5"), "swordfish") == []


def test_a_diagonal_may_hold_a_line_s_fin() -> None:
    board = empty(GEOMETRIES["diagonals 6"])
    only_in(board, "row 1", 4, "r1c2", "r1c5")
    only_in(board, "the falling diagonal", 4, "r2c2", "r5c5", "r6c6")
    # Columns 2 and 5 but for r6c6, which r5c5 and r6c5 see; only r6c5 is not on the diagonal.
    assert "4: r6c5" in removed(board, "finned-x-wing")
    only_in(board, "the falling diagonal", 4, "r2c2", "r5c5")
    assert removed(board, "x-wing")


def test_a_skyscraper() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 2", 5, "r2c3", "r2c7")
    only_in(board, "row 8", 5, "r8c3", "r8c8")
    # The tops r2c7 and r8c8 are both seen from their stack, in each other's blocks.
    assert removed(board, "skyscraper") == ["5: r1c8 r3c8 r7c7 r9c7"]


def test_a_skyscraper_needs_a_common_floor() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 2", 5, "r2c3", "r2c7")
    only_in(board, "row 8", 5, "r8c2", "r8c8")
    assert removed(board, "skyscraper") == []


def test_a_skyscraper_on_a_diagonal() -> None:
    # Rows 1 and 6, tied by the falling diagonal.
    board = empty(with_houses(latin(6), *diagonals(6)))
    only_in(board, "row 1", 2, "r1c1", "r1c3")
    only_in(board, "row 6", 2, "r6c6", "r6c3")
    assert "2: r2c3 r3c3 r4c3 r5c3" in removed(board, "skyscraper")


def bent_board(*more: str) -> Board:
    board = empty(blocks(3, 3))
    only_in(board, "block 5", 4, "r4c4", "r4c6", "r5c5", "r6c5", *more)
    only_in(board, "column 9", 4, "r4c9", "r8c9")
    return board


def test_an_empty_rectangle() -> None:
    # Row 4 and column 5 hold block 5; column 9 turns from row 4 to row 8.
    assert removed(bent_board(), "empty-rectangle") == ["4: r8c5"]


def test_an_empty_rectangle_needs_its_corners_empty() -> None:
    assert removed(bent_board("r6c6"), "empty-rectangle") == []


def test_an_empty_rectangle_needs_a_pair() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "block 5", 4, "r4c4", "r4c6", "r5c5", "r6c5")
    only_in(board, "column 9", 4, "r4c9", "r8c9", "r9c9")
    assert removed(board, "empty-rectangle") == []


def test_an_empty_rectangle_in_a_region_and_on_a_diagonal() -> None:
    board = empty(GEOMETRIES["diagonals 6"])
    only_in(board, "block 3", 2, "r3c1", "r3c2", "r4c3")  # row 3 and the rising diagonal
    only_in(board, "column 6", 2, "r3c6", "r6c6")
    assert "2: r6c1" in removed(board, "empty-rectangle")


def test_a_two_string_kite() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 2", 8, "r2c1", "r2c6")
    only_in(board, "column 2", 8, "r3c2", "r7c2")
    assert removed(board, "two-string-kite") == ["8: r7c6"]


def test_a_kite_needs_its_knot_in_one_block() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 2", 8, "r2c1", "r2c6")
    only_in(board, "column 2", 8, "r4c2", "r7c2")
    assert removed(board, "two-string-kite") == []


def test_a_kite_tied_by_a_window() -> None:
    # r2c3 and r3c4 lie in two blocks, and in the window of r2c2 to r4c4.
    board = empty(GEOMETRIES["window 9"])
    only_in(board, "row 2", 8, "r2c3", "r2c9")
    only_in(board, "column 4", 8, "r3c4", "r8c4")
    assert removed(board, "two-string-kite") == ["8: r8c9"]


def test_an_xy_wing() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c7 13", "r5c1 23")
    assert removed(board, "xy-wing") == ["3: r5c7"]


def test_an_xy_wing_needs_three_digits() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c7 13", "r5c1 24")
    assert removed(board, "xy-wing") == []


def test_an_xy_wing_across_a_diagonal() -> None:
    board = empty(GEOMETRIES["diagonals 6"])
    leave_only(board, "r1c1 12", "r5c5 13", "r1c4 23")
    # r5c5 is seen along the diagonal, r1c4 along the row.
    assert "r5c4" in removed(board, "xy-wing")[0] and "r1c5" in removed(board, "xy-wing")[0]


def test_an_xyz_wing_clears_what_all_three_cells_see() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r2c2 123", "r2c8 13", "r1c1 23")
    assert removed(board, "xyz-wing") == ["3: r2c1 r2c3"]
    board = empty(blocks(3, 3))
    leave_only(board, "r2c2 123", "r2c8 13", "r4c1 23")  # the second pincer out of sight
    assert removed(board, "xyz-wing") == []


def test_a_w_wing() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 27", "r9c9 27")
    only_in(board, "row 5", 2, "r5c1", "r5c9")
    assert removed(board, "w-wing") == ["7: r1c9 r9c1"]


def test_a_w_wing_needs_its_bridge() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 27", "r9c9 27")
    only_in(board, "row 5", 2, "r5c1", "r5c8")
    assert removed(board, "w-wing") == []


def test_simple_colouring_clears_what_sees_both_colours() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 1", 6, "r1c1", "r1c9")
    only_in(board, "column 1", 6, "r1c1", "r8c1")
    only_in(board, "block 7", 6, "r8c1", "r9c3")
    # r1c1 and r9c3 are of one colour, r1c9 and r8c1 of the other.
    assert removed(board, "simple-colouring") == ["6: r9c9"]


def test_pairs_that_are_not_joined_are_not_coloured() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 1", 6, "r1c1", "r1c9")
    only_in(board, "block 7", 6, "r8c1", "r9c3")
    assert removed(board, "simple-colouring") == []


def test_a_colour_with_two_cells_in_sight_is_out() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 1", 6, "r1c1", "r1c5")
    only_in(board, "column 5", 6, "r1c5", "r6c5")
    only_in(board, "column 1", 6, "r1c1", "r4c1")
    only_in(board, "block 4", 6, "r4c1", "r6c3")
    # r1c1, r6c3 and r6c5 are of one colour, and row 6 has two of them.
    assert removed(board, "simple-colouring") == ["6: r1c1 r6c3 r6c5"]


def test_quads() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c4 23", "r1c6 34", "r1c9 41")
    rest = "r1c2 r1c3 r1c5 r1c7 r1c8"
    assert removed(board, "naked-quad") == ["; ".join(f"{d}: {rest}" for d in (1, 2, 3, 4))]
    board = empty(blocks(3, 3))
    for digit in (1, 2, 3, 4):
        only_in(board, "block 5", digit, "r4c4", "r4c6", "r6c4", "r6c6")
    rest = "r4c4 r4c6 r6c4 r6c6"
    assert removed(board, "hidden-quad") == ["; ".join(f"{d}: {rest}" for d in (5, 6, 7, 8, 9))]
    board = empty(blocks(3, 3))
    for digit in (1, 2, 3, 4):
        loose = ("r5c5",) if digit == 4 else ()
        only_in(board, "block 5", digit, "r4c4", "r4c6", "r6c4", "r6c6", *loose)
    assert removed(board, "hidden-quad") == []


def test_an_xy_chain_of_four_cells() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c5 23", "r6c5 34", "r6c8 41")
    assert removed(board, "xy-chain") == ["1: r1c8 r6c1"]


def test_an_xy_chain_with_a_gap_is_none() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c5 23", "r6c6 34", "r6c8 41")
    assert removed(board, "xy-chain") == []


def test_a_chain_through_a_group() -> None:
    # If r1c1 is not 5, one of r1c7 and r1c8 is; then r3c9 is not, and r9c9 is.
    board = empty(blocks(3, 3))
    only_in(board, "row 1", 5, "r1c1", "r1c7", "r1c8")
    only_in(board, "column 9", 5, "r3c9", "r9c9")
    assert "5: r9c1" in removed(board, "chain")


def test_the_cage_of_a_small_house_ties_nothing() -> None:
    # The 1s of the cage are two, but the cage need not hold a 1: it makes no pair for a skyscraper.
    geometry = with_houses(latin(6), House("cage", "cage a", (0, 7, 14)))
    board = empty(geometry)
    only_in(board, "cage a", 1, "r1c1", "r2c2")
    for slug in ("simple-colouring", "chain", "skyscraper", "two-string-kite"):
        assert removed(board, slug) == []


def test_two_almost_locked_sets() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c2 23", "r5c1 14", "r5c5 34")
    # 1 leaves r1c1, r1c2 (1, 2, 3) or r5c1, r5c5 (1, 3, 4): so 3 is in r1c2 or in r5c5.
    assert "3: r1c5 r5c2" in removed(board, "almost-locked-sets")
    leave_only(board, "r5c1 4")
    assert "3: r1c5 r5c2" not in removed(board, "almost-locked-sets")


def test_almost_locked_sets_must_be_tied() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c2 23", "r5c4 14", "r5c5 34")  # r1c1 does not see r5c4
    assert not any(told.startswith("3: r1c5") for told in removed(board, "almost-locked-sets"))
