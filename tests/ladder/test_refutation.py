"""Refutations against a refuter on plain sets, which also reads what is told."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator

from packbuilder.grid import Geometry, House, blocks, cell_name, parse_cell
from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.climb import climb
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import kernel
from tests.ladder import grids
from tests.ladder.definitions import Candidates, full_houses
from tests.ladder.positions import leave_only, random_board
from tests.ladder.test_by_hand import empty, removed
from tests.ladder.test_definitions import sets

Pair = tuple[int, int]


class Refuter:
    """A position as sets; filled cells are known by their digit, and have no candidates."""

    def __init__(self, geometry: Geometry, values: list[int], candidates: Candidates) -> None:
        self.geometry, self.values = geometry, list(values)
        self.left = [set(ds) for ds in candidates]

    def write(self, cell: int, digit: int) -> None:
        self.values[cell] = digit
        self.left[cell] = set()
        for peer in self.geometry.peers[cell]:
            self.left[peer].discard(digit)

    def singles(self) -> set[Pair]:
        found = {(c, d) for c, ds in enumerate(self.left) if len(ds) == 1 for d in ds}
        for house in full_houses(self.geometry):
            for d in range(1, self.geometry.size + 1):
                here = [c for c in house.cells if d in self.left[c]]
                if len(here) == 1:
                    found.add((here[0], d))
        return found

    def dead_cells(self) -> set[int]:
        return {c for c, ds in enumerate(self.left) if not ds and not self.values[c]}

    def dead_houses(self) -> set[tuple[str, int]]:
        return {
            (label(house), d)
            for house in full_houses(self.geometry)
            for d in range(1, self.geometry.size + 1)
            if not any(self.values[c] == d or d in self.left[c] for c in house.cells)
        }

    def failed(self) -> bool:
        return bool(self.dead_cells() or self.dead_houses())


def refuter_of(board: Board) -> Refuter:
    return Refuter(board.fields.geometry, board.values, sets(board))


def waves_to_fail(board: Board, cell: int, digit: int) -> int | None:
    """How many waves of singles it takes until a candidate has failed; None if it does not."""
    trial, waves = refuter_of(board), 0
    trial.write(cell, digit)
    while not trial.failed():
        open_now = trial.singles()
        if not open_now:
            return None
        for at, d in open_now:
            if d in trial.left[at]:
                trial.write(at, d)
        waves += 1
    return waves


def least_digits(board: Board, cell: int, digit: int, most: int) -> int | None:
    """The fewest digits that must be written until a candidate has failed: all ways are tried."""

    def ways(trial: Refuter, room: int) -> bool:
        if trial.failed():
            return True
        for at, d in trial.singles() if room else ():
            further = Refuter(trial.geometry, trial.values, trial.left)
            further.write(at, d)
            if ways(further, room - 1):
                return True
        return False

    start = refuter_of(board)
    start.write(cell, digit)
    return next((room for room in range(most + 1) if ways(start, room)), None)


TOLD = re.compile(
    r"Try (\w) in (r\d+c\d+): then (.*)\. So not (\w)\. That takes (\w) out of (.*)\."
)
NAKED = re.compile(r"(r\d+c\d+) can only be (\w)")
HIDDEN = re.compile(r"in (.*), (\w) fits only in (r\d+c\d+)")
NO_DIGIT = re.compile(r"(?:and )?(r\d+c\d+) has no digit left")
NO_PLACE = re.compile(r"(?:and )?(.*) has no place for an? (\w)")


def written(told: str, size: int) -> tuple[Pair, list[str]]:
    """The candidate that a telling tries, and what it says follows, the end last."""
    match = TOLD.fullmatch(told)
    assert match, told
    digit, cell, then, again, taken, gone = match.groups()
    assert digit == again == taken and gone == cell
    return (parse_cell(cell, size), int(digit)), then.split("; ")


def follows(trial: Refuter, told: list[str], size: int) -> bool:
    """Whether each single that is told is one where it is told, and the end is so. Writes them."""
    for text in told[:-1]:
        if match := NAKED.fullmatch(text):
            cell, digit = parse_cell(match[1], size), int(match[2])
            if trial.left[cell] != {digit}:
                return False
        else:
            match = HIDDEN.fullmatch(text)
            assert match, text
            cell, digit = parse_cell(match[3], size), int(match[2])
            house = next(h for h in trial.geometry.houses if label(h) == match[1])
            if [c for c in house.cells if digit in trial.left[c]] != [cell]:
                return False
        trial.write(cell, digit)
    if match := NO_DIGIT.fullmatch(told[-1]):
        return parse_cell(match[1], size) in trial.dead_cells()
    match = NO_PLACE.fullmatch(told[-1])
    assert match, told[-1]
    return (match[1], int(match[2])) in trial.dead_houses()


def label(house: House) -> str:
    """A house as it is printed: a region goes by its first cell."""
    region = house.kind == "region"
    return f"the region of {cell_name(house.cells[0], 6)}" if region else house.label


def boards(small: bool = False) -> Iterator[tuple[Board, tuple[int, ...]]]:
    """Positions in which the solve is stuck below some rung."""
    for name in ("6x6", "latin 6", "irregular 6", "diagonals 6"):
        rng = random.Random(f"refutation {name}")
        for k in range(30):
            board, full = random_board(name, rng)
            stuck(board, 2 + k % 3)
            if board.open:
                yield board, full
    hard = [c for g in (5, 6, 7) for c in grids.lines(grids.BY_GRADE[g])]
    for k, clues in enumerate([] if small else hard):
        board, full = Board(grids.CLASSIC, clues), kernel.prove(grids.CLASSIC, clues).first
        stuck(board, 3 + k % 3)
        assert board.open and full
        yield board, full


def stuck(board: Board, rung: int) -> None:
    """Play a board as far as all rungs below go."""
    for move in climb(board.copy(), DEFAULT.up_to(rung)):
        if move.find:
            board.strike(move.find.removes)
        else:
            board.place(move.key)


def test_what_fails_in_the_fewest_waves_is_struck() -> None:
    technique, struck = DEFAULT.named("refutation"), 0
    assert technique.sweep
    for board, full in boards():
        fails = {
            (cell, d): waves
            for cell, ds in enumerate(board.candidates())
            for d in ds
            if (waves := waves_to_fail(board, cell, d)) is not None
        }
        least = min(fails.values(), default=None)
        count = board.fields.cell_count
        swept = {(bit % count, bit // count + 1) for bit in cells_in(technique.sweep(board))}
        assert swept == {pair for pair, waves in fails.items() if waves == least}
        assert all(full[cell] != d for cell, d in fails)
        struck += len(swept)
    assert struck > 100


def test_what_is_told_holds_and_nothing_in_it_can_be_spared() -> None:
    technique, lengths = DEFAULT.named("refutation"), set()
    assert technique.find
    for board, full in boards():
        size = board.fields.size
        for find in technique.find(board):
            ((cell, digit),) = [divmod(key, size) for key in find.removes]
            assert full[cell] != digit + 1 and find.told
            tried, told = written(find.told(), size)
            assert tried == (cell, digit + 1) and find.length == len(told) - 1
            lengths.add(find.length)

            def holds(some: list[str], tried: Pair = tried, board: Board = board) -> bool:
                trial = refuter_of(board)
                trial.write(*tried)
                return follows(trial, some, board.fields.size)

            assert holds(told)
            for k in range(len(told) - 1):
                assert not holds(told[:k] + told[k + 1 :])
    assert max(lengths) >= 3


def test_no_shorter_argument_is_to_be_had() -> None:
    technique, lengths = DEFAULT.named("refutation"), set()
    assert technique.find
    for board, _ in boards(small=True):
        finds = list(technique.find(board))
        if finds and (length := finds[0].length) <= 4:
            lengths.add(length)
            assert {find.length for find in finds} == {length}
            for cell, ds in enumerate(board.candidates()):
                for d in ds:
                    assert least_digits(board, cell, d, length - 1) is None
    assert len(lengths) > 2


def test_a_candidate_that_leaves_a_cell_nothing() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 12", "r1c5 13", "r1c9 14", "r5c5 35", "r9c9 46", "r5c9 56")
    # 1 in r1c1 makes r1c5 3 and r1c9 4, so r5c5 5 and r9c9 6; r5c9 sees both.
    assert "1: r1c1" in removed(board, "refutation")
    technique = DEFAULT.named("refutation")
    assert technique.find
    find = next(f for f in technique.find(board) if f.removes == (0,))
    assert find.told
    assert find.told() == (
        "Try 1 in r1c1: then r1c9 can only be 4; r1c5 can only be 3; r9c9 can only be 6; r5c5 can "
        "only be 5; and r5c9 has no digit left. So not 1. That takes 1 out of r1c1."
    )
    leave_only(board, "r5c9 5")
    assert "1: r1c1" not in removed(board, "refutation")
