"""Entries: who solved a puzzle first, by the digits that they sent and when these came.

An entry is right if it has the digits of the lettered cells in order, or the whole grid. Of a
person's entries for a puzzle the first right one counts; what comes after it is a repeat.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.phrases import counted, first_few
from packbuilder.supporters.csv_files import read_table
from packbuilder.supporters.instants import Instant, InstantFault, read_instant

COLUMNS = ("received", "name", "puzzle", "digits")
_APART = re.compile(r"[\s,;:/|+_-]+")
_MOST_CELLS = 10


@dataclass(frozen=True)
class Prize:
    """A puzzle that can be entered: its id, number, title and solution; the cells of its letters,
    and the odds of a guess, one in ``odds``."""

    id: str
    number: int
    title: str
    solution: str
    cells: tuple[int, ...]
    odds: int

    @property
    def code(self) -> str:
        """The digits that are due, in order."""
        return "".join(self.solution[cell] for cell in self.cells)

    @property
    def size(self) -> int:
        """Cells along one side."""
        return int(len(self.solution) ** 0.5)


@dataclass(frozen=True)
class Entry:
    """A line of the list that could be read.

    ``told`` is how the list has the time; ``tries`` are the person's for the puzzle so far.
    """

    line: int
    name: str
    received: Instant
    told: str
    digits: str
    tries: int = 1


@dataclass(frozen=True)
class Placed:
    """A right entry: its place, from 1; entries of one instant share theirs."""

    entry: Entry
    place: int


@dataclass(frozen=True)
class Amiss:
    """An entry that does not count: why, and the line that it repeats, if it does."""

    line: int
    why: str
    of: int | None = None


@dataclass
class Result:
    """What became of a puzzle's entries. ``first`` are those that win, ``later`` all other right
    ones."""

    prize: Prize
    first: list[Placed] = field(default_factory=list)
    later: list[Placed] = field(default_factory=list)
    wrong: list[Amiss] = field(default_factory=list)
    repeats: list[Amiss] = field(default_factory=list)
    late: list[Amiss] = field(default_factory=list)


@dataclass(frozen=True)
class Results:
    """Of each puzzle its result; and the lines that could not be read."""

    puzzles: tuple[Result, ...]
    unread: tuple[Amiss, ...]
    names: Mapping[int, str]
    """By line; private."""


def judge(
    file: Path,
    prizes: Iterable[Prize],
    first: int,
    closes: Instant | None = None,
    encoding: str | None = None,
    advance: Callable[[int], None] = lambda _more: None,
) -> Results:
    """Judge a list of entries; the ``first`` right ones of each puzzle win, and who ties with the
    last of them. What was received after ``closes`` is late. Raises InputError for a file that is
    no such list."""
    table = read_table(file, COLUMNS, encoding)
    prizes = list(prizes)
    known = {key: prize for prize in prizes for key in (prize.id.casefold(), str(prize.number))}
    entries: dict[str, list[Entry]] = {prize.id: [] for prize in prizes}
    unread, names = [], {}
    for row in table.rows:
        advance(1)
        names[row.line] = row.cells["name"]
        try:
            prize, entry = _read(row.line, row.cells, known)
        except (InstantFault, _Unread) as fault:
            unread.append(Amiss(row.line, str(fault)))
        else:
            entries[prize.id].append(entry)
    results = tuple(_result(prize, entries[prize.id], first, closes) for prize in prizes)
    return Results(results, tuple(unread), names)


class _Unread(ValueError):
    """Why a line could not be read."""


def _read(line: int, cells: Mapping[str, str], known: Mapping[str, Prize]) -> tuple[Prize, Entry]:
    prize = known.get(cells["puzzle"].casefold().lstrip("#"))
    if prize is None:
        raise _Unread("names no puzzle that can be entered, by its id or its number")
    if not cells["name"]:
        raise _Unread("has no name")
    try:
        received = read_instant(cells["received"])
    except InstantFault as fault:
        raise _Unread(f"its time {fault}") from None
    digits = _APART.sub("", cells["digits"]).upper()
    return prize, Entry(line, cells["name"], received, cells["received"], digits)


def _result(prize: Prize, entries: list[Entry], first: int, closes: Instant | None) -> Result:
    result, right = Result(prize), list[Entry]()
    tries: dict[str, int] = {}
    done: dict[str, int] = {}
    for entry in sorted(entries, key=lambda one: (one.received, one.line)):
        who = entry.name.casefold()
        if closes is not None and entry.received > closes:
            result.late.append(Amiss(entry.line, f"received at {entry.received}, after the close"))
            continue
        tries[who] = tries.get(who, 0) + 1
        if who in done:
            told = f"the same person's entry on line {done[who]} was right already"
            result.repeats.append(Amiss(entry.line, told, done[who]))
        elif why := amiss(prize, entry.digits):
            result.wrong.append(Amiss(entry.line, why))
        else:
            done[who] = entry.line
            right.append(replace(entry, tries=tries[who]))
    place = 0
    for k, entry in enumerate(right, start=1):
        if k == 1 or entry.received != right[k - 2].received:
            place = k
        (result.first if place <= first else result.later).append(Placed(entry, place))
    for some in (result.wrong, result.repeats, result.late):
        some.sort(key=lambda one: one.line)
    return result


def amiss(prize: Prize, digits: str) -> str:
    """What is wrong with the digits of an entry; "" for right ones."""
    size, code = prize.size, prize.code
    if len(digits) == len(prize.solution):
        return _grid_amiss(prize, digits)
    if len(digits) != len(code):
        told = f"has {counted(len(digits), 'digit')}; the code has {len(code)}"
        told += f", the whole grid {size * size}"
        return told if digits else "has no digits"
    wrong = [chr(ord("A") + k) for k, (a, b) in enumerate(zip(digits, code, strict=True)) if a != b]
    return f"wrong in {first_few(wrong, len(code))}" if wrong else ""


def _grid_amiss(prize: Prize, digits: str) -> str:
    told = []
    for cell, (sent, due) in enumerate(zip(digits, prize.solution, strict=True)):
        if sent != due:
            name = cell_name(cell, prize.size)
            empty = sent not in SYMBOLS[1:]
            told.append(f"{name} is empty" if empty else f"{name} is {sent}")
    return f"wrong: {first_few(told, _MOST_CELLS, noun='cell')}" if told else ""


def as_json(results: Results) -> dict[str, Any]:
    """All of it without names."""
    return {
        "puzzles": [
            {
                "id": one.prize.id,
                "number": one.prize.number,
                "cells": [cell_name(cell, one.prize.size) for cell in one.prize.cells],
                "odds": one.prize.odds,
                "first": [_placed_json(placed) for placed in one.first],
                "later": [_placed_json(placed) for placed in one.later],
                "wrong": [_amiss_json(fault) for fault in one.wrong],
                "repeats": [_amiss_json(fault) for fault in one.repeats],
                "late": [_amiss_json(fault) for fault in one.late],
            }
            for one in results.puzzles
        ],
        "unread": [_amiss_json(fault) for fault in results.unread],
    }


def _placed_json(placed: Placed) -> dict[str, Any]:
    entry = placed.entry
    return {
        "line": entry.line,
        "place": placed.place,
        "received": entry.told,
        "utc": str(entry.received),
        "tries": entry.tries,
    }


def _amiss_json(fault: Amiss) -> dict[str, Any]:
    return {
        "line": fault.line,
        "why": fault.why,
        **({"of": fault.of} if fault.of is not None else {}),
    }
