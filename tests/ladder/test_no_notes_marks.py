"""Marks by hand: each kind, what it rules out, what is almost one; and all of them, by definition.

Common practice, no source: the facts are those of the trade.
"""

from __future__ import annotations

import random

import pytest

from packbuilder.grid import Geometry, House, blocks, cell_name, irregular, latin
from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.head.mark import Mark, marks_of
from packbuilder.ladder.head.search import Budget, all_in_sight, sightings, with_one_mark
from tests.ladder import no_notes_definition as definition
from tests.ladder.positions import GEOMETRIES, leave_only, only_in, solution, with_houses


def empty(geometry: Geometry) -> Board:
    return Board(geometry, (0,) * geometry.cell_count)


def found(board: Board) -> dict[str, str]:
    """What each mark that can be found rules out: ``5 in r1c1 r1c2`` -> ``5: r1c5 r1c6``."""
    geometry = board.fields.geometry
    marks, size, told = marks_of(geometry), geometry.size, {}
    for mark in marks.find(board.bits):
        gone = marks.planes(board.bits & ~marks.keep(mark))
        lost = (f"{d + 1}: {names(cells, size)}" for d, cells in enumerate(gone) if cells)
        told[name(mark, size)] = "; ".join(lost)
    return told


def name(mark: Mark, size: int) -> str:
    digits = "".join(str(d + 1) for d in cells_in(mark.digits))
    return f"{digits} in {names(mark.cells, size)}"


def names(cells: int, size: int) -> str:
    return " ".join(cell_name(cell, size) for cell in cells_in(cells))


def test_a_digit_held_to_a_row_of_its_block() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "block 3", 5, "r2c7", "r2c9")
    assert found(board) == {"5 in r2c7 r2c9": "5: r2c1 r2c2 r2c3 r2c4 r2c5 r2c6"}


def test_a_digit_held_to_a_block_of_its_row() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 5", 2, "r5c1", "r5c2", "r5c3")
    assert found(board) == {"2 in r5c1 r5c2 r5c3": "2: r4c1 r4c2 r4c3 r6c1 r6c2 r6c3"}


def test_a_digit_with_a_place_outside_is_not_held() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "block 3", 5, "r2c7", "r3c9")
    assert found(board) == {}


def test_a_digit_with_four_cells_is_no_mark() -> None:
    # Two or three cells can be held in mind; region A crosses row 1 in four.
    board = empty(irregular("AAAAB\nACBBB\nCCCBD\nCDDDD\nEEEEE"))
    only_in(board, "region A", 1, "r1c1", "r1c2", "r1c3", "r1c4")
    assert found(board) == {}
    only_in(board, "region A", 1, "r1c1", "r1c2", "r1c4")
    assert found(board) == {"1 in r1c1 r1c2 r1c4": "1: r1c5"}


def test_a_pair_of_one_house_clears_every_house_that_has_both_cells() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c2 12")
    rest = "r1c3 r1c4 r1c5 r1c6 r1c7 r1c8 r1c9 r2c1 r2c2 r2c3 r3c1 r3c2 r3c3"
    assert found(board) == {"12 in r1c1 r1c2": f"1: {rest}; 2: {rest}"}


def test_a_hidden_pair_is_one_mark_with_both_effects() -> None:
    # Seen in row 1; the cells lose all else, and the rest of block 1 loses both digits.
    board = empty(blocks(3, 3))
    for digit in (1, 2):
        only_in(board, "row 1", digit, "r1c1", "r1c2")
    told = found(board)
    rest = "r2c1 r2c2 r2c3 r3c1 r3c2 r3c3"
    others = "; ".join(f"{d}: r1c1 r1c2" for d in range(3, 10))
    assert told.pop("12 in r1c1 r1c2") == f"1: {rest}; 2: {rest}; {others}"
    # Each digit alone is a lesser mark.
    assert told == {"1 in r1c1 r1c2": f"1: {rest}", "2 in r1c1 r1c2": f"2: {rest}"}


def test_a_triple_in_the_meet_of_a_line_and_a_block_clears_both() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r4c4 79", "r5c4 78", "r6c4 89")
    rest = "r1c4 r2c4 r3c4 r4c5 r4c6 r5c5 r5c6 r6c5 r6c6 r7c4 r8c4 r9c4"
    assert found(board) == {"789 in r4c4 r5c4 r6c4": f"7: {rest}; 8: {rest}; 9: {rest}"}
    board = empty(blocks(3, 3))
    leave_only(board, "r4c4 79", "r5c4 78", "r6c4 86")
    assert found(board) == {}


def test_a_hidden_triple_needs_all_its_places() -> None:
    board = empty(blocks(3, 3))
    for digit, cells in ((1, "r9c1 r9c4"), (2, "r9c4 r9c7"), (3, "r9c1 r9c7")):
        only_in(board, "row 9", digit, *cells.split())
    others = "; ".join(f"{d}: r9c1 r9c4 r9c7" for d in range(4, 10))
    assert found(board) == {"123 in r9c1 r9c4 r9c7": others}
    board = empty(blocks(3, 3))
    for digit, cells in ((1, "r9c1 r9c4"), (2, "r9c4 r9c7"), (3, "r9c1 r9c9")):
        only_in(board, "row 9", digit, *cells.split())
    assert found(board) == {}


def test_a_set_of_four_is_more_than_can_be_held() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 1234", "r1c4 1234", "r1c7 1234", "r1c9 1234")
    assert found(board) == {}


def test_a_house_that_may_lack_a_digit_shows_only_naked_sets() -> None:
    board = empty(GEOMETRIES["cage 6"])
    for digit in (1, 2):
        only_in(board, "cage a", digit, "r1c2", "r1c3")
    assert found(board) == {}
    board = empty(GEOMETRIES["cage 6"])
    leave_only(board, "r1c3 12", "r2c3 23", "r2c4 13")
    assert found(board) == {"123 in r1c3 r2c3 r2c4": "1: r1c2; 2: r1c2; 3: r1c2"}


def test_a_digit_may_be_held_to_a_house_that_may_lack_it() -> None:
    # Row 1's 4s lie in the cage: wherever the 4 goes, the rest of the cage is no 4.
    geometry = with_houses(latin(6), House("cage", "cage a", (1, 2, 9, 16)))
    board = empty(geometry)
    only_in(board, "row 1", 4, "r1c2", "r1c3")
    assert found(board) == {"4 in r1c2 r1c3": "4: r2c4 r3c5"}


def test_a_latin_square_holds_no_single_digit() -> None:
    board = empty(latin(5))
    only_in(board, "row 1", 5, "r1c1", "r1c2")
    assert found(board) == {}


def quiet_board(geometry_name: str, rng: random.Random) -> Board:
    """A position with the solution still possible, nothing to place, and much struck."""
    geometry = GEOMETRIES[geometry_name]
    size, full = geometry.size, solution(geometry_name, rng.randrange(40))
    marks, share = marks_of(geometry), rng.uniform(0, 0.4)
    while True:
        board = Board(geometry, tuple(v if rng.random() < share else 0 for v in full))
        if not marks.singles(board.bits):
            break
        share *= 0.8
    wrong = [key for key in range(size * len(full)) if key % size + 1 != full[key // size]]
    for key in rng.sample(wrong, rng.randrange(len(wrong))):
        before = board.bits
        board.strike([key])
        if marks.singles(board.bits):
            board.bits = before
    return board


@pytest.mark.parametrize("geometry_name", GEOMETRIES)
def test_every_mark_of_the_definition_is_found_and_rules_out_as_much(geometry_name: str) -> None:
    rng, geometry = random.Random(geometry_name), GEOMETRIES[geometry_name]
    marks, seen = marks_of(geometry), 0
    for _ in range(25):
        board = quiet_board(geometry_name, rng)
        values = tuple(board.values)
        before = Board(geometry, values)
        useful = set()
        for fact in definition.facts(geometry, candidates(board)):
            cells, digits = fact
            mark = Mark(sum(1 << cell for cell in cells), sum(1 << d - 1 for d in digits))
            if board.bits & ~marks.keep(mark):
                useful.add(mark)
            held = Board(geometry, values)
            held.bits = marks.hold(before.bits, [mark])
            assert candidates(held) == definition.seen(geometry, values, frozenset({fact}))
        assert set(marks.find(board.bits)) == useful
        seen += len(useful)
    assert seen > 50


def candidates(board: Board) -> definition.Seen:
    return [set(digits) for digits in board.candidates()]


def chained() -> Board:
    """Three finds that build on each other, the last of which shows a placement."""
    board = empty(blocks(3, 3))
    only_in(board, "block 3", 5, "r2c7", "r2c9")  # So row 2 has no other 5;
    only_in(board, "block 1", 5, "r1c2", "r3c2", "r2c1")  # then block 1's are in column 2,
    only_in(board, "block 4", 5, "r4c2", "r6c1", "r6c3")  # then block 4's in row 6,
    only_in(board, "column 5", 5, "r6c5", "r8c5")  # and column 5's is in row 8.
    return board


def test_a_mark_may_be_forgotten_once_another_is_built_on_it() -> None:
    board = chained()
    marks, budget = marks_of(board.fields.geometry), Budget(1000)
    assert not marks.singles(board.bits) and not with_one_mark(marks, board.bits)
    assert not list(sightings(marks, board.bits, 1, budget))
    way = next(sightings(marks, board.bits, 2, budget))
    assert [name(mark, 9) for _, mark in way.finds] == [
        "5 in r2c7 r2c9",
        "5 in r1c2 r3c2",
        "5 in r6c1 r6c3",
    ]
    assert [len(held) for held, _ in way.finds] == [0, 1, 1]
    assert [name(mark, 9) for mark in way.held] == ["5 in r1c2 r3c2", "5 in r6c1 r6c3"]
    keys = {board.fields.key_at[bit] for bit in cells_in(way.pool)}
    assert [(cell_name(key // 9, 9), key % 9 + 1) for key in keys] == [("r8c5", 5)]


def test_the_stronger_of_two_marks_is_the_one_to_go_on_from() -> None:
    board = empty(blocks(3, 3))
    for digit in (1, 2):
        only_in(board, "row 1", digit, "r1c1", "r1c2")  # As a pair they leave no 3 in r1c1:
    only_in(board, "block 1", 3, "r1c1", "r3c1", "r3c2")  # so block 1's 3s are in row 3,
    only_in(board, "column 9", 3, "r3c9", "r7c9")  # and column 9's is in row 7.
    marks = marks_of(board.fields.geometry)
    assert not with_one_mark(marks, board.bits)
    way = next(sightings(marks, board.bits, 2, Budget(100)))
    assert [name(mark, 9) for mark in way.held] == ["12 in r1c1 r1c2", "3 in r3c1 r3c2"]


def test_a_useless_mark_is_never_found() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "block 3", 5, "r2c7", "r2c9")
    only_in(board, "row 2", 5, "r2c7", "r2c9")
    assert found(board) == {}


def test_marks_that_contradict_each_other_show_nothing() -> None:
    # Three cells for two digits: no solution, and no placement is drawn from that.
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c2 12", "r1c3 12")
    assert all_in_sight(marks_of(board.fields.geometry), board.bits) == 0
    # Three digits for two cells.
    board = empty(blocks(3, 3))
    for digit in (1, 2, 3):
        only_in(board, "row 1", digit, "r1c1", "r1c5")
    assert all_in_sight(marks_of(board.fields.geometry), board.bits) == 0
