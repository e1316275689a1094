"""Fonts: every code of every font shows the house's own letter, and says which one it is.

A font program is held against the file of its face, table by table and glyph by glyph, to the last
byte; what a subset has of its own (which glyphs, how many, where they stand) is worked out again
(OpenType 1.9; ISO 32000-1, 9.6.3, 9.8 and 9.10.3).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from struct import error, iter_unpack, pack, unpack, unpack_from
from typing import Any, NamedTuple

from packbuilder.readback.as_planned.faces import Face, face
from packbuilder.readback.as_planned.file import File
from packbuilder.readback.as_planned.syntax import Damaged, unlike
from packbuilder.typography.fonts import faces

_SAID = re.compile(rb"<([0-9A-F]{2})> <([0-9A-F]{4})>\n")
_TO_UNICODE = b"""/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo
<< /Registry (%b)
/Ordering (%b)
/Supplement 0
>> def
/CMapName /%b def
/CMapType 2 def
1 begincodespacerange
<00> <%02X>
endcodespacerange
%d beginbfchar
%bendbfchar
endcmap
CMapName currentdict /CMap defineresource pop
end
end"""
_SYMBOLIC, _PLAIN, _ITALIC, _BOLD = 1 << 2, 1 << 5, 1 << 6, 1 << 18  # ISO 32000-1, table 123
_WHOLE = 0xB1B0AFBA  # the check sum of a whole font
_COPIED = (b"name", b"OS/2", b"cvt ", b"fpgm", b"prep")  # those that the face has


class Font(NamedTuple):
    """A font of the file: its face, and the letter of each code."""

    face: str
    letters: Sequence[str]


def read_font(file: File, ref: object, name: str, encoding: str = "") -> tuple[Font, list[str]]:
    """A font, and words for all that is not the house's own. Raises Damaged.

    ``encoding`` is that of a font for what a reader types; it stands for more than it has to show.
    """
    have = file.dictionary(ref)
    base = str(have.get("BaseFont"))
    own = base[7:]
    if not re.fullmatch(r"[A-Z]{6}\+", base[:7]) or own not in faces():
        raise Damaged(f"the font {base!r} is none of the house's")
    _, said = file.stream(have.get("ToUnicode"))
    letters = [chr(int(letter, 16)) for _, letter in _SAID.findall(said)]
    house = _Program(face(own).file)
    advances = [house.advance(face(own).glyph(letter)) for letter in letters]
    planned: dict[str, Any] = {
        "Type": "Font", "Subtype": "TrueType", "Name": name, "BaseFont": base, "FirstChar": 0,
        "LastChar": len(letters) - 1, "Widths": advances, "ToUnicode": have["ToUnicode"],
        "FontDescriptor": have.get("FontDescriptor"), **({"Encoding": encoding} if encoding else {}),
    }  # fmt: skip
    faults = list(unlike(have, planned))
    lines = b"".join(b"<%02X> <%04X>\n" % (code, ord(one)) for code, one in enumerate(letters))
    size = len(letters)
    shown = ("AAAAAA" + base[6:] if encoding else base).encode("ascii")  # its first name stays
    if said != _TO_UNICODE % (shown, shown, shown, size - 1, size, lines):
        faults.append("what its codes mean is told in another way than the press's")
    descriptor = file.dictionary(have.get("FontDescriptor"))
    more, data = file.stream(descriptor.get("FontFile2"))
    faults += unlike(more, {"Length1": len(data)})
    faults += unlike(descriptor, _descriptor(house, base, descriptor.get("FontFile2"), encoding))
    try:
        faults += _program_faults(_Program(data), house, face(own), letters)
    except (error, IndexError, KeyError):
        faults.append("its program cannot be read")
    return Font(own, letters), [f"{base}: {words}" for words in faults]


def _descriptor(house: _Program, base: str, program: object, encoding: str) -> dict[str, Any]:
    os2, post, head = house.tables[b"OS/2"], house.tables[b"post"], house.tables[b"head"]
    (weight,), (angle,) = unpack_from(">H", os2, 4), unpack_from(">l", post, 4)
    ascent, descent = unpack_from(">2h", os2, 68)
    flags = _SYMBOLIC | (_ITALIC if angle else 0) | (_BOLD if weight >= 600 else 0)
    return {
        "Type": "FontDescriptor", "FontName": base, "FontFile2": program,
        "Ascent": ascent, "Descent": descent, "CapHeight": unpack_from(">h", os2, 88)[0],
        "Flags": _PLAIN if encoding else flags, "FontBBox": list(unpack_from(">4h", head, 36)),
        "ItalicAngle": angle / 65536, "StemV": 50 + int((weight / 65) ** 2),
        "MissingWidth": house.advance(0),
    }  # fmt: skip


class _Program:
    """A TrueType font program: its tables, and of each glyph the outline and the advance."""

    def __init__(self, data: bytes) -> None:
        self.data = data
        (count,) = unpack_from(">H", data, 4)
        records = iter_unpack(">4sLLL", data[12 : 12 + 16 * count])
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


def _program_faults(
    have: _Program, house: _Program, own: Face, letters: Sequence[str]
) -> Iterator[str]:
    """Words for what of a font program is not its face's."""
    if have.data != _assembled(have.tables) or _sum(have.data) != _WHOLE:
        yield "its program is not just its tables and their sums"
    count, codes = len(letters), have.tables[b"cmap"]
    head = pack(">11H", 0, 1, 1, 0, 0, 12, 6, 10 + 2 * count, 0, 0, count)
    if len(codes) != len(head) + 2 * count or not codes.startswith(head):
        yield "its codes can be read in more than one way"
        return
    shown = unpack_from(f">{count}H", codes, len(head))
    waiting = [(0, 0), *zip(shown, map(own.glyph, letters), strict=True)]
    done = set()
    for pair in waiting:  # it grows: the parts of a glyph follow it
        if pair in done:
            continue
        done.add(pair)
        one, other = pair
        outline, planned = have.outline(one), house.outline(other)
        for at in _parts(planned):
            waiting.append((*unpack_from(">H", outline, at), *unpack_from(">H", planned, at)))
            outline = outline[:at] + planned[at : at + 2] + outline[at + 2 :]
        same = outline == planned + bytes(-len(planned) % 4)
        if not same or have.metrics(one) != house.metrics(other):
            yield f"its glyph {one} is not the house's"
    if {one for one, _ in done} != set(range(have.glyphs)):
        yield "it has glyphs that no code shows"
    for tag in have.tables.keys() | (planned := _planned(have, house)).keys():
        if have.tables.get(tag) != planned.get(tag):
            yield f"its table {tag.decode('latin-1')!r} is not the house's"


def _parts(glyph: bytes) -> Iterator[int]:
    """Where in a glyph that is put together from others their numbers stand."""
    more, at = glyph[:1] >= b"\x80", 10
    while more:
        (flags,) = unpack_from(">H", glyph, at)
        yield at + 2
        scales = 2 if flags & 0x08 else 4 if flags & 0x40 else 8 if flags & 0x80 else 0
        at += (8 if flags & 0x01 else 6) + scales
        more = bool(flags & 0x20)


def _planned(have: _Program, house: _Program) -> dict[bytes, bytes]:
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
    parts = [pack(">L4H", 0x10000, len(tables), 16 << power, power, 16 * len(tables) - (16 << power))]
    at = 12 + 16 * len(tables)
    for tag, table in sorted(tables.items()):
        plain = table[:8] + bytes(4) + table[12:] if tag == b"head" else table
        parts.append(pack(">4sLLL", tag, _sum(plain), at, len(table)))
        at += len(table) + -len(table) % 4
    parts += [table + bytes(-len(table) % 4) for _, table in sorted(tables.items())]
    return b"".join(parts)


def _sum(data: bytes) -> int:
    """The check sum of a table, or of a whole font."""
    data += bytes(-len(data) % 4)
    return sum(unpack(f">{len(data) // 4}L", data)) & 0xFFFFFFFF
