"""Font programs: a subset against the file of its face, table by table and glyph by glyph.

All is held to the last byte; what a subset has of its own (which glyphs, how many, where they
stand) is worked out again. Source: OpenType 1.9.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from struct import error, iter_unpack, pack, unpack, unpack_from

from packbuilder.readback.as_planned.faces import face

WHOLE = 0xB1B0AFBA  # the check sum of a whole font
_COPIED = (b"name", b"OS/2", b"cvt ", b"fpgm", b"prep")  # those that the face has


def program_faults(data: bytes, name: str, letters: Sequence[str]) -> Iterator[str]:
    """Words for what of a font program is not its face's; ``letters`` are those of its codes."""
    try:
        yield from _faults(Program(data), house(name), [face(name).glyph(one) for one in letters])
    except (error, IndexError, KeyError):
        yield "it cannot be read"


class Program:
    """A TrueType font program: its tables, and of each glyph the outline and the advance."""

    def __init__(self, data: bytes) -> None:
        self.data = data
        (count,) = unpack_from(">H", data, 4)
        records = list(iter_unpack(">4sLLL", data[12 : 12 + 16 * count]))
        if sum(size for *_, size in records) > len(data):
            raise error("tables that overlap")
        self.tables = {tag: data[at : at + size] for tag, _, at, size in records}
        (self.glyphs,) = unpack_from(">H", self.tables[b"maxp"], 4)
        long = self.tables[b"head"][51]
        (self.widths,) = unpack_from(">H", self.tables[b"hhea"], 34)
        form = f">{self.glyphs + 1}{'L' if long else 'H'}"
        self._places = [at if long else 2 * at for at in unpack(form, self.tables[b"loca"])]

    def outline(self, glyph: int) -> bytes:
        """The bytes of a glyph, with those that hint it."""
        return self.tables[b"glyf"][self._places[glyph] : self._places[glyph + 1]]

    def metrics(self, glyph: int) -> tuple[int, int]:
        """A glyph's advance and the room at its left."""
        last = self.widths - 1
        if glyph <= last:
            return unpack_from(">Hh", self.tables[b"hmtx"], 4 * glyph)
        (left,) = unpack_from(">h", self.tables[b"hmtx"], 4 * last + 4 + 2 * (glyph - last - 1))
        return self.advance(last), left

    def advance(self, glyph: int) -> int:
        """How far the next letter stands from this one."""
        return self.metrics(glyph)[0]


@cache
def house(name: str) -> Program:
    """The house's own file of a face."""
    return Program(face(name).file)


def _faults(have: Program, house: Program, glyphs: Sequence[int]) -> Iterator[str]:
    if have.data != _assembled(have.tables) or sum_of(have.data) != WHOLE:
        yield "it is not just its tables and their sums"
    count, codes = len(glyphs), have.tables[b"cmap"]
    head = pack(">11H", 0, 1, 1, 0, 0, 12, 6, 10 + 2 * count, 0, 0, count)
    if len(codes) != len(head) + 2 * count or not codes.startswith(head):
        yield "its codes can be read in more than one way"
        return
    shown = unpack_from(f">{count}H", codes, len(head))
    waiting = [(0, 0), *zip(shown, glyphs, strict=True)]
    done = set()
    for pair in waiting:  # it grows: the parts of a glyph follow it
        if pair in done:
            continue
        done.add(pair)
        one, other = pair
        outline, planned = have.outline(one), house.outline(other)
        for at in parts(planned):
            waiting.append((*unpack_from(">H", outline, at), *unpack_from(">H", planned, at)))
            outline = outline[:at] + planned[at : at + 2] + outline[at + 2 :]
        same = outline == planned + bytes(-len(planned) % 4)
        if not same or have.metrics(one) != house.metrics(other):
            yield f"its glyph {one} is not the house's"
    if {one for one, _ in done} != set(range(have.glyphs)):
        yield "it has glyphs that no code shows"
    tables = _planned(have, house)
    for tag in have.tables.keys() | tables.keys():
        if have.tables.get(tag) != tables.get(tag):
            yield f"its table {tag.decode('latin-1')!r} is not the house's"


def parts(glyph: bytes) -> Iterator[int]:
    """Where in a glyph that is put together from others their numbers stand."""
    more, at = glyph[:1] >= b"\x80", 10
    while more:
        (flags,) = unpack_from(">H", glyph, at)
        yield at + 2
        scales = 2 if flags & 0x08 else 4 if flags & 0x40 else 8 if flags & 0x80 else 0
        at += (8 if flags & 0x01 else 6) + scales
        more = bool(flags & 0x20)


def _planned(have: Program, house: Program) -> dict[bytes, bytes]:
    """The tables that a subset of the house's face must have."""
    own, whole = have.tables, house.tables
    head, ends = whole[b"head"], bytes((0, own[b"head"][51] & 1))
    glyphs = b"".join(map(have.outline, range(have.glyphs)))
    return {
        **{tag: whole[tag] for tag in _COPIED if tag in whole},
        b"post": b"\0\3\0\0" + whole[b"post"][4:16] + bytes(16),
        b"hhea": whole[b"hhea"][:34] + own[b"hhea"][34:36],
        b"maxp": whole[b"maxp"][:4] + own[b"maxp"][4:6] + whole[b"maxp"][6:],
        b"head": head[:8] + own[b"head"][8:12] + head[12:50] + ends + head[52:],
        b"cmap": own[b"cmap"],
        b"loca": own[b"loca"],
        b"hmtx": own[b"hmtx"][: 2 * (have.widths + have.glyphs)],
        b"glyf": glyphs,
    }


def _assembled(tables: Mapping[bytes, bytes]) -> bytes:
    """A font program of some tables, without a gap."""
    power = len(tables).bit_length() - 1
    parts = [
        pack(">L4H", 0x10000, len(tables), 16 << power, power, 16 * len(tables) - (16 << power))
    ]
    at = 12 + 16 * len(tables)
    for tag, table in sorted(tables.items()):
        plain = table[:8] + bytes(4) + table[12:] if tag == b"head" else table
        parts.append(pack(">4sLLL", tag, sum_of(plain), at, len(table)))
        at += len(table) + -len(table) % 4
    parts += [table + bytes(-len(table) % 4) for _, table in sorted(tables.items())]
    return b"".join(parts)


def sum_of(data: bytes) -> int:
    """The check sum of a table, or of a whole font."""
    data += bytes(-len(data) % 4)
    return int(sum(unpack(f">{len(data) // 4}L", data))) & 0xFFFFFFFF
