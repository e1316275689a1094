"""Clues in words: the parts of rules that lines such as ``cage 15: r1c1 r1c2`` mean.

The words become what a manifest would hold, and the rule itself reads that. A rule without a way of
its own is told by its shapes: those are heard in `shape_hearing`, and the rule recovers its parts.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from packbuilder.grid import Geometry, GridFault, parse_cell
from packbuilder.readback.plaintext.outline import Paragraph
from packbuilder.readback.plaintext.rows import Picture, check_rows
from packbuilder.readback.plaintext.shape_hearing import Unheard, shapes_heard
from packbuilder.rules.contract import Kind, Part, RuleFault


@dataclass(frozen=True)
class Clue:
    """``label: words``, and the line on which it begins."""

    label: str
    words: str
    line: int


@dataclass(frozen=True)
class Heard:
    """The clues of one rule in one puzzle, as they are printed."""

    kind: Kind
    geometry: Geometry
    clues: tuple[Clue, ...]
    pictures: tuple[Picture, ...]

    def read(self, value: Any) -> tuple[Part, ...]:
        """The parts, as the rule reads them from what a manifest would hold."""
        return self.kind.read(value, self.geometry)

    def words(self, label: str) -> str:
        """The words behind a label; empty where it is not printed."""
        return next((clue.words for clue in self.clues if clue.label == label), "")


def clues_of(paragraphs: Sequence[Paragraph]) -> Iterator[Clue]:
    """The clues on some lines. Raises Unheard for a line before the first label."""
    for paragraph in paragraphs:
        held: list[str] = []
        start = paragraph.line
        for line in paragraph.lines:
            if not line.text.isascii():  # digits of other scripts would be read as digits
                raise Unheard(f"{line.text[:40]!r} has a sign that no clue has", line.number)
            if ":" in line.text:
                yield from _clue(held, start)
                held, start = [], line.number
            held.append(line.text)
        yield from _clue(held, start)


def _clue(lines: Sequence[str], number: int) -> Iterator[Clue]:
    if lines:
        label, colon, words = " ".join(lines).partition(":")
        if not colon:
            raise Unheard(f"{label[:40]!r} is no clue of this rule", number)
        yield Clue(label, words.strip(), number)


def parts_heard(
    kind: Kind, geometry: Geometry, clues: Sequence[Clue], pictures: Sequence[Picture]
) -> tuple[Part, ...]:
    """The parts of a rule that its printed clues mean. Raises Unheard where they mean nothing."""
    heard = Heard(kind, geometry, tuple(clues), tuple(pictures))
    if pictures and kind.slug != "extra-regions":
        raise Unheard("a picture that this rule does not have", pictures[0].line)
    start = clues[0].line if clues else None
    try:
        if kind.slug in _TABLE:
            return _TABLE[kind.slug](heard)
        shapes = shapes_heard([(c.label, c.words, c.line) for c in clues], geometry.size)
        return kind.recover(shapes, geometry)
    except RuleFault as fault:
        raise Unheard(f"its clues cannot hold: {fault.what}", start) from fault
    except GridFault as fault:
        raise Unheard(f"its clues cannot be read: {fault}", start) from fault


# --- each rule -------------------------------------------------------------------------------


def _labels(heard: Heard, allowed: Sequence[str]) -> None:
    """Every label is one of these, and none comes twice."""
    seen = set()
    for clue in heard.clues:
        if clue.label not in allowed or clue.label in seen:
            raise Unheard(f"{clue.label!r} is no clue of this rule, or comes twice", clue.line)
        seen.add(clue.label)


def _nothing(heard: Heard) -> tuple[Part, ...]:
    _labels(heard, ())
    return heard.read(None)


def _numbered(heard: Heard) -> list[Clue]:
    for k, clue in enumerate(heard.clues, start=1):
        if clue.label != str(k):
            raise Unheard(f"{clue.label!r} stands where number {k} belongs", clue.line)
    return list(heard.clues)


def _lines(heard: Heard) -> tuple[Part, ...]:
    return heard.read([clue.words for clue in _numbered(heard)])


_ARROW = re.compile(r"circle (\S+), shaft (.+)")


def _arrows(heard: Heard) -> tuple[Part, ...]:
    value = []
    for clue in _numbered(heard):
        found = _ARROW.fullmatch(clue.words)
        if not found:
            raise Unheard(f"arrow {clue.label} has no circle and shaft", clue.line)
        value.append({"circle": found[1], "shaft": found[2]})
    return heard.read(value)


def _cages(heard: Heard) -> tuple[Part, ...]:
    value = []
    for clue in heard.clues:
        found = re.fullmatch(r"cage (\d+|without a sum)", clue.label)
        if not found:
            raise Unheard(f"{clue.label!r} names no cage", clue.line)
        total = {"sum": found[1]} if found[1].isdecimal() else {}
        value.append({**total, "cells": clue.words})
    return heard.read(value)


def _marks(heard: Heard, keys: dict[str, str]) -> tuple[Part, ...]:
    """Pairs of cells behind the labels of ``keys``, and whether all marks are shown."""
    _labels(heard, (*keys, "shown"))
    shown = heard.words("shown")
    if shown not in ("all", "some"):
        raise Unheard("nothing says whether all marks are shown", None)
    value: dict[str, Any] = {"all-shown": "true" if shown == "all" else "false"}
    for label, key in keys.items():
        if words := heard.words(label):
            value[key] = words.split(", ")
    return heard.read(value)


def _dots(heard: Heard) -> tuple[Part, ...]:
    return _marks(heard, {"white": "white", "black": "black"})


def _letters(heard: Heard) -> tuple[Part, ...]:
    return _marks(heard, {"X": "x", "V": "v"})


def _inequalities(heard: Heard) -> tuple[Part, ...]:
    value = []
    for clue in heard.clues:
        low, less, rest = clue.label.partition(" less than")
        if not less or rest or not clue.words:
            raise Unheard(f"{clue.label!r} compares no cells", clue.line)
        value += [f"{low} < {high}" for high in clue.words.split()]
    return heard.read(value)


def _parity(heard: Heard) -> tuple[Part, ...]:
    _labels(heard, ("even", "odd"))
    return heard.read({clue.label: clue.words for clue in heard.clues})


_SIDES = {"above": ("top", "c"), "below": ("bottom", "c"), "left": ("left", "r"),
          "right": ("right", "r")}  # fmt: skip


def _outside(heard: Heard) -> tuple[Part, ...]:
    """``above: c1 2, c3 3``: a text for each side, with full stops where no clue stands."""
    _labels(heard, tuple(_SIDES))
    size, value = heard.geometry.size, {}
    for clue in heard.clues:
        side, letter = _SIDES[clue.label]
        texts = ["."] * size
        for words in clue.words.split(", "):
            found = re.fullmatch(rf"{letter}(\d{{1,2}}) (\d+)", words)
            index = int(found[1]) - 1 if found else -1
            if not found or not 0 <= index < size or texts[index] != ".":
                raise Unheard(f"{words!r} is no clue {clue.label} the grid", clue.line)
            texts[index] = found[2]
        value[side] = " ".join(texts)
    return heard.read(value)


_WAYS = {(1, 1): "down-right", (1, -1): "down-left", (-1, 1): "up-right", (-1, -1): "up-left"}


def _little_sums(heard: Heard) -> tuple[Part, ...]:
    size, value, told = heard.geometry.size, [], []
    for clue in heard.clues:
        found, cells = re.fullmatch(r"sum (\d+)", clue.label), clue.words.split()
        if not found or len(cells) < 2:
            raise Unheard(f"{clue.label!r} is no sum of cells", clue.line)
        first, second = (divmod(parse_cell(cell, size), size) for cell in cells[:2])
        way = _WAYS.get((second[0] - first[0], second[1] - first[1]))
        if way is None:
            raise Unheard(f"the cells of {clue.label} lie on no diagonal", clue.line)
        value.append({"sum": found[1], "from": cells[0], "towards": way})
        told.append((tuple(parse_cell(cell, size) for cell in cells), clue))
    parts = heard.read(value)
    for part, (cells_told, clue) in zip(parts, told, strict=True):
        if part.cells != cells_told:
            raise Unheard(f"the cells of {clue.label} are not those of its diagonal", clue.line)
    return parts


def _diagonals(heard: Heard) -> tuple[Part, ...]:
    """Those of the two diagonals whose corners are told."""
    _labels(heard, ("falling", "rising"))
    n = heard.geometry.size
    due = {"falling": f"r1c1 to r{n}c{n}", "rising": f"r{n}c1 to r1c{n}"}
    for clue in heard.clues:
        if clue.words != due[clue.label]:
            raise Unheard(f"the {clue.label} diagonal does not run so", clue.line)
    ends = {"falling": 0, "rising": n * n - n}
    first = {ends[clue.label] for clue in heard.clues}
    return tuple(part for part in heard.read(None) if part.cells[0] in first)


def _regions(heard: Heard) -> tuple[Part, ...]:
    _labels(heard, ())
    parts: list[Part] = []
    for picture in heard.pictures:
        for fault in check_rows(picture, heard.geometry):
            raise Unheard(fault.message, picture.line)
        parts += heard.read("\n".join("".join(row) for row in picture.cells))
    return tuple(parts)


_TABLE: dict[str, Callable[[Heard], tuple[Part, ...]]] = {
    "anti-king": _nothing,
    "anti-knight": _nothing,
    "arrows": _arrows,
    "between-lines": _lines,
    "cages": _cages,
    "diagonals": _diagonals,
    "dots": _dots,
    "extra-regions": _regions,
    "inequalities": _inequalities,
    "little-sums": _little_sums,
    "non-consecutive": _nothing,
    "palindromes": _lines,
    "parity": _parity,
    "renban": _lines,
    "sandwich": _outside,
    "sightlines": _outside,
    "thermometers": _lines,
    "whispers": _lines,
    "xv": _letters,
}
