"""What clues of rules rule out with a house, and with one another, whatever the rules are.

A candidate is false if with it a clue could not hold, or if what the clue then strikes leaves a
house no place for a digit, or a cell no digit: *a clue and a house*. It is false as well if several
clues do that between them, the strikes of one being followed into the next: *clues together*. No
digit is written on the way; that would be a `refutation`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.find import Find
from packbuilder.ladder.techniques.argument import Argument, Follows, argue, ended, find_of
from packbuilder.ladder.techniques.refutation import failing
from packbuilder.ladder.techniques.trial import Trial
from packbuilder.rules.contract import Part

ROUNDS = 2
"""How often the strikes of clues are followed into others."""


def clue_and_house(board: Board, parts: Sequence[Part]) -> Iterator[Find]:
    """Every candidate with which one clue cannot hold, or leaves a house or a cell nothing."""
    for argument in _by_one_clue(board, parts):
        yield find_of(argument, board.fields, _head)


def strikes_of_one(board: Board, parts: Sequence[Part]) -> int:
    """All candidates that one clue rules out so: bits of the planes laid end to end."""
    fields = board.fields
    gone = 0
    for argument in _by_one_clue(board, parts):
        gone |= fields.plane_bit(argument.key)
    return gone


def clues_together(board: Board, parts: Sequence[Part]) -> Iterator[Find]:
    """Every candidate that the fewest clues rule out between them."""
    keys = _by_several(board, parts)
    found = [argue(board, parts, key, singles=False) for key in keys]
    least = min((argument.length for argument in found), default=0)
    for argument in found:
        if argument.length == least:
            yield find_of(argument, board.fields, _head)


def strikes_together(board: Board, parts: Sequence[Part]) -> int:
    """All candidates that clues rule out between them in the fewest rounds."""
    return sum(board.fields.plane_bit(key) for key in _by_several(board, parts))


def _by_several(board: Board, parts: Sequence[Part]) -> list[int]:
    for wave, keys in failing(board, parts, singles=False):
        return keys if wave <= ROUNDS else []
    return []


def _by_one_clue(board: Board, parts: Sequence[Part]) -> Iterator[Argument]:
    fields, start = board.fields, Trial(board, parts)
    for cell in cells_in(board.open):
        for d in cells_in(board.digits_of(cell)):
            trial = start.copy()
            trial.place(cell * fields.size + d)
            # What leaves a place empty by itself is seen by a single, and needs no clue.
            if not trial.failed and (argument := _against(trial, cell * fields.size + d)):
                yield argument


def _against(trial: Trial, key: int) -> Argument | None:
    """The argument of the first clue that stands against a candidate, if one does."""
    for part in trial.touched():
        further = trial.copy()
        struck = further.strike(part)
        if further.broken:
            return Argument(key, (), part=part)
        if empty := further.empty():
            # Of what it strikes, what stood in the place that is empty now.
            one = empty & -empty
            told = tuple(k for k in struck if trial.fields.guards_of[k] & one)
            return ended(key, (Follows(part=part, gone=told),), one, trial.fields)
    return None


def _head(digit: str, cell: str) -> str:
    return f"With {digit} in {cell}, "
