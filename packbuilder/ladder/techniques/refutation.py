"""Refutation: a candidate is tried, singles follow, and something has no place: so it is false.

All candidates are tried side by side, wave by wave (see `trial`), until some have failed: no more
is followed than it takes. Told are those with the shortest `argument`, by the digits written in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.board import Board
from packbuilder.ladder.find import Find
from packbuilder.ladder.techniques.argument import Argument, argue, find_of
from packbuilder.ladder.techniques.trial import Trial
from packbuilder.rules.contract import Part


def refutation(board: Board, parts: Sequence[Part] = ()) -> Iterator[Find]:
    """Every candidate with a shortest argument against it. ``parts`` are those of the rules."""
    found: list[Argument] = []
    for wave, keys in failing(board, parts):
        # What fails only now takes as many digits as there were waves, or more.
        if found and wave > found[0].length:
            break
        found += [argue(board, parts, key) for key in keys]
        found.sort(key=lambda one: one.length)
    for one in found:
        if one.length == found[0].length:
            yield find_of(one, board.fields, _head)


def strikes(board: Board, parts: Sequence[Part] = ()) -> int:
    """All candidates that fail in the fewest waves: bits of the planes laid end to end."""
    for _, keys in failing(board, parts):
        return sum(map(board.fields.plane_bit, keys))
    return 0


def failing(
    board: Board, parts: Sequence[Part], *, singles: bool = True
) -> Iterator[tuple[int, list[int]]]:
    """(wave, keys): the candidates that have failed after so many waves, wave by wave."""
    size, start = board.fields.size, Trial(board, parts)
    tried = []
    for cell in cells_in(board.open):
        for d in cells_in(board.digits_of(cell)):
            trial = start.copy()
            trial.place(cell * size + d)
            tried.append((cell * size + d, trial))
    wave = 0
    while tried:
        if failed := [key for key, trial in tried if trial.failed]:
            yield wave, failed
        going = ((key, trial) for key, trial in tried if not trial.failed)
        tried = [(key, trial) for key, trial in going if trial.wave(singles=singles)]
        wave += 1


def _head(digit: str, cell: str) -> str:
    return f"Try {digit} in {cell}: then "
