"""Argument: why a candidate is false, told as one would tell it at the table.

`argue` plays a trial wave by wave until it fails, and then leaves out whatever it can do without.
What is left stands or falls together: no digit in it could be spared.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeAlias

from packbuilder.grid import cell_name
from packbuilder.ladder.bit_layout import BitLayout
from packbuilder.ladder.board import Board
from packbuilder.ladder.english import a_digit, digit, joined, label, struck, takes_out
from packbuilder.ladder.find import Find
from packbuilder.ladder.sparing import spared
from packbuilder.ladder.techniques.trial import Trial
from packbuilder.rules.contract import Part, Section

_Event: TypeAlias = tuple[int, Section | None, frozenset[int] | None]
"""A key to be written (-1: none), or a part and which keys it is to strike (None: all it can)."""


@dataclass(frozen=True)
class Follows:
    """What follows from what was written before: a digit, or what a part of the rules strikes.

    ``key`` is the digit's, ``house`` the one in which it has no other place (-1: the cell has no
    other digit). ``part`` strikes the ``gone`` keys (then ``key`` is -1).
    """

    key: int = -1
    house: int = -1
    part: Section | None = None
    gone: tuple[int, ...] = ()


@dataclass(frozen=True)
class Argument:
    """A candidate, what follows from it in order, and how it fails.

    It fails in a ``house`` without a place for the ``digit``; or, where the house is -1, in a
    ``cell`` without a digit; or, where that is -1 too, as the ``part`` cannot hold.
    """

    key: int
    follows: tuple[Follows, ...]
    house: int = -1
    digit: int = 0
    cell: int = -1
    part: Section | None = None

    @property
    def length(self) -> int:
        """How many things follow."""
        return len(self.follows)


def argue(board: Board, parts: Sequence[Part], key: int, *, singles: bool = True) -> Argument:
    """The argument against a candidate that fails: none shorter was met."""
    start = Trial(board, parts)
    start.place(key)
    trial, events = start.copy(), list[_Event]()
    while not trial.failed:
        for moved in trial.wave(singles=singles):
            events.append((moved, None, None) if isinstance(moved, int) else (-1, moved, None))

    def fails(some: Sequence[_Event]) -> bool:
        return _replayed(start, some)[1].failed

    events = min((spared(events, fails, latest_first=first) for first in (True, False)), key=len)
    follows, end = _replayed(start, _spare_keys(start, events) if parts else events)
    if end.broken:
        return Argument(key, follows, part=end.broken)
    empty = end.empty()
    return ended(key, follows, empty & -empty, board.fields)


def ended(key: int, follows: tuple[Follows, ...], empty: int, fields: BitLayout) -> Argument:
    """An argument that ends in a field that is empty, given by its guard bit."""
    bit = empty.bit_length() - 1
    if bit < fields.cells_at:
        return Argument(key, follows, fields.house_at(bit), fields.digit_at(bit))
    return Argument(key, follows, cell=(bit - fields.cells_at) // fields.width)


def _replayed(start: Trial, events: Sequence[_Event]) -> tuple[tuple[Follows, ...], Trial]:
    """What of these events follows, each from those before it, until the trial fails."""
    trial, follows = start.copy(), list[Follows]()
    for key, part, only in events:
        if trial.failed:
            break
        if part is not None:
            gone = trial.strike(part, only)
            if gone and not trial.broken:
                follows.append(Follows(part=part, gone=tuple(gone)))
        elif (house := trial.reason(key)) is not None:
            trial.place(key)
            follows.append(Follows(key, house))
    return tuple(follows), trial


def _spare_keys(start: Trial, events: list[_Event]) -> list[_Event]:
    """The events, of which each part strikes only what is needed."""
    follows, end = _replayed(start, events)
    events = [(f.key, f.part, frozenset(f.gone)) for f in follows]
    events += [(-1, end.broken, None)] if end.broken else []
    for k, (key, part, only) in enumerate(events):
        if part is None or not only:
            continue

        def fails(some: list[int], k: int = k, part: Section = part) -> bool:
            tried = [*events[:k], (-1, part, frozenset(some)), *events[k + 1 :]]
            return _replayed(start, tried)[1].failed

        events[k] = (key, part, frozenset(spared(sorted(only), fails)))
    return events


def cells_of(argument: Argument, fields: BitLayout) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The cells and the digits that an argument speaks of, in order."""
    keys = [argument.key]
    for one in argument.follows:
        keys += [one.key] if one.part is None else one.gone
    cells = [key // fields.size for key in keys] + [argument.cell] * (argument.cell >= 0)
    digits = [key % fields.size + 1 for key in keys] + [argument.digit] * (argument.digit > 0)
    return tuple(dict.fromkeys(cells)), tuple(dict.fromkeys(digits))


def find_of(argument: Argument, fields: BitLayout, head: Callable[[str, str], str]) -> Find:
    """The find that an argument makes; ``head`` begins its words, with the digit and the cell."""
    cells, digits = cells_of(argument, fields)
    told = partial(tell, argument, fields, head)
    return Find(cells, digits, (), (argument.key,), told=told, length=argument.length)


def tell(argument: Argument, fields: BitLayout, head: Callable[[str, str], str]) -> str:
    """The argument in words: ``Try 4 in r2c7: then ..., and block 5 has no place for a 1.``"""
    size, geometry = fields.size, fields.geometry
    tried = divmod(argument.key, size)
    told = []
    for one in argument.follows:
        where, d = cell_name(one.key // size, size), digit(one.key % size + 1)
        if one.part is not None:
            pairs = [(key // size, key % size + 1) for key in one.gone]
            told.append(f"{one.part.name(size)} takes {joined(struck(pairs, 'out of', size))}")
        elif one.house < 0:
            told.append(f"{where} can only be {d}")
        else:
            told.append(f"in {label(one.house, geometry)}, {d} fits only in {where}")
    if argument.part is not None:
        end = f"{argument.part.name(size)} cannot hold"
    elif argument.house >= 0:
        end = f"{label(argument.house, geometry)} has no place for {a_digit(argument.digit)}"
    else:
        end = f"{cell_name(argument.cell, size)} has no digit left"
    then = "; ".join([*told, f"and {end}" if told else end])
    d = digit(tried[1] + 1)
    return (
        f"{head(d, cell_name(tried[0], size))}{then}. So not {d}. "
        f"{takes_out([(tried[0], tried[1] + 1)], size)}"
    )
