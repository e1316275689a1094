"""Kerning: how much closer two letters stand, read from a TrueType font's GPOS table.

Only what text faces use is read: the default language's ``kern`` feature, pair adjustment by
glyph and by class (lookup type 2, formats 1 and 2, also through an extension, type 9), and of a
value only the advance of the first glyph. Source: OpenType 1.9, chapters "GPOS" and "Common
Table Formats".
"""

from __future__ import annotations

import struct
from collections.abc import Callable

_X_ADVANCE = 0x0004


class Kerning:
    """The pairs of one font, looked up when they are first asked for."""

    def __init__(self, font: bytes) -> None:
        self._lookups = _pair_lookups(font)
        self._known: dict[tuple[int, int], int] = {}

    def pair(self, left: int, right: int) -> int:
        """What to add to the advance of glyph ``left`` before glyph ``right``, in font units."""
        key = left, right
        if key not in self._known:
            self._known[key] = sum(_first(lookup, left, right) for lookup in self._lookups)
        return self._known[key]


_Subtable = Callable[[int, int], int | None]


def _first(lookup: list[_Subtable], left: int, right: int) -> int:
    """The first subtable that covers the pair has the word; the later ones are not asked."""
    for subtable in lookup:
        value = subtable(left, right)
        if value is not None:
            return value
    return 0


def _pair_lookups(font: bytes) -> list[list[_Subtable]]:
    start = _table(font, b"GPOS")
    if start is None:
        return []
    gpos = font[start:]
    scripts, features, lookups = struct.unpack_from(">3H", gpos, 4)
    found = []
    for index in _kern_lookups(gpos, scripts, features):
        at = lookups + _u16(gpos, lookups + 2 + 2 * index)
        kind, _, count = struct.unpack_from(">3H", gpos, at)
        subtables = []
        for k in range(count):
            place, true_kind = at + _u16(gpos, at + 6 + 2 * k), kind
            if kind == 9:
                true_kind = _u16(gpos, place + 2)
                place += struct.unpack_from(">I", gpos, place + 4)[0]
            if true_kind == 2:
                subtables.append(_pair_subtable(gpos, place))
        found.append(subtables)
    return found


def _table(font: bytes, tag: bytes) -> int | None:
    for k in range(_u16(font, 4)):
        name, _, offset, _ = struct.unpack_from(">4sIII", font, 12 + 16 * k)
        if name == tag:
            return int(offset)
    return None


def _kern_lookups(gpos: bytes, scripts: int, features: int) -> list[int]:
    """Indices of the lookups of ``kern`` for the default script's default language."""
    records = {
        tag: scripts + offset
        for tag, offset in (
            struct.unpack_from(">4sH", gpos, scripts + 2 + 6 * k)
            for k in range(_u16(gpos, scripts))
        )
    }
    script = records.get(b"DFLT") or records.get(b"latn")
    if script is None or not _u16(gpos, script):
        return []
    language = script + _u16(gpos, script)
    indices: set[int] = set()
    for k in range(_u16(gpos, language + 4)):
        feature = features + 2 + 6 * _u16(gpos, language + 6 + 2 * k)
        tag, offset = struct.unpack_from(">4sH", gpos, feature)
        if tag == b"kern":
            at = features + offset
            indices.update(_u16(gpos, at + 4 + 2 * j) for j in range(_u16(gpos, at + 2)))
    return sorted(indices)


def _pair_subtable(gpos: bytes, at: int) -> _Subtable:
    style, coverage, first, second = struct.unpack_from(">4H", gpos, at)
    covered = _coverage(gpos, at + coverage)
    size = 2 * (first.bit_count() + second.bit_count())
    skip = 2 * (first & (_X_ADVANCE - 1)).bit_count()  # X and Y placement stand before the advance

    def value(place: int) -> int:
        if not first & _X_ADVANCE:
            return 0
        return int(struct.unpack_from(">h", gpos, place + skip)[0])

    if style == 1:
        sets = [at + _u16(gpos, at + 10 + 2 * k) for k in range(_u16(gpos, at + 8))]

        def by_glyph(left: int, right: int) -> int | None:
            if left not in covered:
                return None
            pairs = sets[covered[left]]
            for k in range(_u16(gpos, pairs)):
                place = pairs + 2 + (2 + size) * k
                if _u16(gpos, place) == right:
                    return value(place + 2)
            return None

        return by_glyph

    lefts = _classes(gpos, at + _u16(gpos, at + 8))
    rights = _classes(gpos, at + _u16(gpos, at + 10))
    across = _u16(gpos, at + 14)

    def by_class(left: int, right: int) -> int | None:
        if left not in covered:
            return None
        k = lefts.get(left, 0) * across + rights.get(right, 0)
        return value(at + 16 + size * k)

    return by_class


def _coverage(data: bytes, at: int) -> dict[int, int]:
    style, count = struct.unpack_from(">2H", data, at)
    if style == 1:
        return {_u16(data, at + 4 + 2 * k): k for k in range(count)}
    covered = {}
    for k in range(count):
        start, end, index = struct.unpack_from(">3H", data, at + 4 + 6 * k)
        covered.update({glyph: index + glyph - start for glyph in range(start, end + 1)})
    return covered


def _classes(data: bytes, at: int) -> dict[int, int]:
    style, start = struct.unpack_from(">2H", data, at)
    if style == 1:
        count = _u16(data, at + 4)
        return {start + k: _u16(data, at + 6 + 2 * k) for k in range(count)}
    classes = {}
    for k in range(start):  # in format 2 the second field counts the ranges
        low, high, number = struct.unpack_from(">3H", data, at + 4 + 6 * k)
        classes.update(dict.fromkeys(range(low, high + 1), number))
    return classes


def _u16(data: bytes, at: int) -> int:
    return int(struct.unpack_from(">H", data, at)[0])
