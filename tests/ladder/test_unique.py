"""What rests on there being one solution: by hand, against the proof, and only when asked for.

Common practice, no source.
"""

from __future__ import annotations

import pytest

from packbuilder.grid import blocks, irregular
from packbuilder.ladder.bit_layout import fields_of
from packbuilder.ladder.board import Board
from packbuilder.ladder.hints import hint_at
from packbuilder.ladder.path import walk
from packbuilder.ladder.reasons import Reasons, without_detours
from packbuilder.ladder.rounds import rate
from packbuilder.ladder.table import ASSUMING_UNIQUE, DEFAULT, UNIQUENESS
from packbuilder.ladder.techniques.unique import _rectangles
from packbuilder.ladder.telling import Telling
from packbuilder.ladder.words import tell
from packbuilder.proof import kernel
from packbuilder.puzzle import BEYOND
from tests.ladder import grids
from tests.ladder.grids import CLASSIC
from tests.ladder.positions import GEOMETRIES, leave_only, only_in
from tests.ladder.test_by_hand import empty

SLUGS = [row.slug for row in UNIQUENESS]


def removed(board: Board, slug: str) -> set[tuple[int, int]]:
    technique = ASSUMING_UNIQUE.named(slug)
    assert technique.find
    return {(key // 9, key % 9 + 1) for find in technique.find(board) for key in find.removes}


def cell(text: str) -> int:
    return (int(text[1]) - 1) * 9 + int(text[3]) - 1


def test_the_ladder_knows_nothing_of_it() -> None:
    assert set(SLUGS).isdisjoint(DEFAULT.slugs)
    assert all("one solution" in row.about and "one solution" in row.idea for row in UNIQUENESS)


def test_three_cells_of_a_pair_clear_the_fourth() -> None:
    board = empty(CLASSIC)
    leave_only(board, "r1c1 12", "r1c4 12", "r2c1 12", "r2c4 1238")
    assert removed(board, "unique-rectangle-1") == {(cell("r2c4"), 1), (cell("r2c4"), 2)}


def test_a_rectangle_in_four_blocks_is_none() -> None:
    # The two digits cannot change places: the blocks would notice.
    board = empty(CLASSIC)
    leave_only(board, "r1c1 12", "r1c4 12", "r4c1 12", "r4c4 1238")
    assert removed(board, "unique-rectangle-1") == set()


def test_the_digit_that_both_roof_cells_add() -> None:
    board = empty(CLASSIC)
    leave_only(board, "r1c1 12", "r2c1 12", "r1c4 123", "r2c4 123")
    seen = {"r1c5", "r1c6", "r2c5", "r2c6", "r3c4", "r3c5", "r3c6"}
    seen |= {f"r{r}c4" for r in range(4, 10)}
    assert removed(board, "unique-rectangle-2") == {(cell(c), 3) for c in seen}
    leave_only(board, "r1c4 12")
    assert removed(board, "unique-rectangle-2") == set()


def test_what_the_roof_adds_makes_a_naked_pair() -> None:
    board = empty(CLASSIC)
    leave_only(board, "r1c1 12", "r2c1 12", "r1c4 123", "r2c4 124", "r9c4 34")
    column = {(cell(f"r{r}c4"), d) for r in (3, 4, 5, 6, 7, 8) for d in (3, 4)}
    assert removed(board, "unique-rectangle-3") == column
    leave_only(board, "r2c4 125")  # adds 3 and 5: no set with 34
    assert removed(board, "unique-rectangle-3") == set()


def test_a_digit_held_to_the_roof_drives_out_the_other() -> None:
    board = empty(CLASSIC)
    leave_only(board, "r1c1 12", "r2c1 12", "r1c4 1234", "r2c4 1256")
    only_in(board, "column 4", 1, "r1c4", "r2c4")
    assert removed(board, "unique-rectangle-4") == {(cell("r1c4"), 2), (cell("r2c4"), 2)}
    board = empty(CLASSIC)
    leave_only(board, "r1c1 12", "r2c1 12", "r1c4 1234", "r2c4 1256")
    only_in(board, "column 4", 1, "r1c4", "r2c4", "r9c4")
    assert removed(board, "unique-rectangle-4") == set()


GRAVES = {
    # grid, whether a grave stands where all open cells but one have two candidates
    "9...4...168....2....7.3...8.25...37..7..6.........1.....135...4......6.....8.9.1.": True,
    ".....7.262.6...8.3......9..18.6....75...32.8................3.5.94.78.....2..4...": True,
    "....6.8..81......2.43.1..6....4.6...3...51.........241.6.84...729......4......1..": False,
    "6..23.9..2......4....7..5..8.....17......3..6..1.......6.1.2..77......84....9....": False,
}


@pytest.mark.parametrize("text", GRAVES)
def test_a_grave_needs_two_places_for_every_digit(text: str) -> None:
    stands = GRAVES[text]
    path = walk(CLASSIC, grids.parse_grid(text, 9))
    board = Board(CLASSIC, path.clues)
    for step in path.steps:
        for c, digit in step.places:
            board.place(c * 9 + digit - 1)
        board.strike(c * 9 + digit - 1 for c, digit in step.removes)
        # All open cells but one have two candidates, and still it need not be one.
        counts = sorted(len(ds) for ds in board.candidates() if ds)
        if counts and counts[-1] == 3 and set(counts[:-1]) == {2}:
            break
    else:
        raise AssertionError("no such position on the path")
    gone = removed(board, "bivalue-universal-grave")
    solution = kernel.prove(CLASSIC, path.clues).first
    assert solution and (len(gone) == 2) == stands == bool(gone)
    assert all(solution[c] != digit for c, digit in gone)


def test_a_grave_that_is_told_stands_where_all_other_cells_have_two_candidates() -> None:
    """Whoever makes no more strikes than are told sees it, and sees it in the picture alone."""
    slug = "bivalue-universal-grave"
    for text in (text for text, stands in GRAVES.items() if stands):
        ladder = ASSUMING_UNIQUE.promising(slug)
        reasons = Reasons(without_detours(walk(CLASSIC, grids.parse_grid(text, 9), ladder=ladder)))
        board = Board(CLASSIC, reasons.path.clues)
        k = [step.technique for step in reasons.path.steps].index(slug)
        for step in reasons.path.steps[:k]:
            for c, digit in step.places:
                board.place(c * 9 + digit - 1)
            board.strike(c * 9 + digit - 1 for c, digit in step.removes)
        left = {c: ds for c, ds in enumerate(board.candidates()) if ds}
        assert sorted(map(len, left.values()))[-2:] == [2, 3]
        hint = hint_at(reasons, k)
        assert dict(hint.spoken) == left
        assert hint.told.startswith("When all strikes up to here are made, ")
        assert "up to here" not in Telling(reasons).words(k)


def test_regions_and_windows_notice_a_change() -> None:
    # Two rows of a band (9 pairs) and two columns of different stacks (27), or the other way.
    assert len(_rectangles(fields_of(CLASSIC))) == 2 * 9 * 27
    square = irregular("AABB\nAABB\nCCDD\nCCDD")
    assert _rectangles(fields_of(square)) == _rectangles(fields_of(blocks(2, 2)))
    window, classic = fields_of(GEOMETRIES["window 9"]), fields_of(CLASSIC)
    # A window has a cell of one diagonal of such a rectangle and none of the other.
    corner = tuple(map(cell, ("r2c2", "r2c9", "r3c2", "r3c9")))
    assert corner in _rectangles(classic) and corner in _rectangles(window)
    one = tuple(map(cell, ("r1c2", "r1c9", "r2c2", "r2c9")))
    assert one in _rectangles(classic) and one not in _rectangles(window)


@pytest.mark.parametrize("clues", [c for g in (5, 6, 7) for c in grids.lines(grids.BY_GRADE[g])])
def test_it_keeps_to_the_one_solution(clues: tuple[int, ...]) -> None:
    path = walk(CLASSIC, clues, ladder=ASSUMING_UNIQUE)
    solution = kernel.prove(CLASSIC, clues).first
    assert solution
    for step in path.steps:
        assert all(solution[c] == digit for c, digit in step.places), step
        assert all(solution[c] != digit for c, digit in step.removes), step
        assert tell(step, CLASSIC)
    assert path.grade != BEYOND
    if set(SLUGS).isdisjoint(dict(path.techniques)):
        assert path.rating == rate(CLASSIC, clues)


def test_it_would_be_wrong_where_there_are_two_solutions() -> None:
    # A full grid less one rectangle has two solutions, and nothing is left to be struck.
    full = list(kernel.random_solution(CLASSIC, 4))
    for corners in _rectangles(fields_of(CLASSIC)):
        a, b, c, d = corners
        if full[a] == full[d] and full[b] == full[c]:
            for corner in corners:
                full[corner] = 0
            break
    else:
        pytest.skip("this grid has no rectangle")
    assert kernel.prove(CLASSIC, full).solutions == 2
    assert walk(CLASSIC, tuple(full), ladder=ASSUMING_UNIQUE).grade == BEYOND
