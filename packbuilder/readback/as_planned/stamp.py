"""The stamp: a form that is blank, with a font that has all the letters of names and no other.

Each of its glyphs is the house's own without what hints it, under the code point of its letter.
Source: ISO 32000-1, 8.10 and 9.7; OpenType 1.9.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from struct import error, pack, unpack_from
from typing import Any

from packbuilder.plan.inks import Inks
from packbuilder.plan.items import Stamp
from packbuilder.readback.as_planned.faces import face
from packbuilder.readback.as_planned.objects import Checked, Planned
from packbuilder.readback.as_planned.programs import WHOLE, Program, house, parts, sum_of
from packbuilder.typography.names import FACE, advances

_NAME = f"PACKNM+{FACE}"
_TABLES = {b"glyf", b"head", b"hhea", b"hmtx", b"loca", b"maxp"}
_HINTS = 0x100  # of a part of a glyph: instructions follow the parts
_SAID = """/CIDInit/ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo<</Registry(Adobe)/Ordering(UCS)/Supplement 0>>def
/CMapName/Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000><FFFF>
endcodespacerange
48 beginbfrange
%s
endbfrange
endcmap
CMapName currentdict/CMap defineresource pop
end
end"""


def planned_stamp(stamp: Stamp, inks: Inks) -> Planned:
    """The form as it must be in a released file."""
    grey = f"{round(inks[stamp.ink], 2):g}"
    blank = f"BT {grey} g /N {stamp.size:g} Tf 1 0 0 1 0 0 Tm <> Tj ET".encode()
    entries = {
        "Type": "XObject", "Subtype": "Form", "BBox": list(stamp.box),
        "Resources": {"Font": {"N": _font()}},
    }  # fmt: skip
    return _stream("the stamp", lambda data: [] if data == blank else ["it is not blank"], entries)


def _font() -> Planned:
    said = (_SAID % "\n".join(f"<{k:02X}00><{k:02X}FF><{k:02X}00>" for k in range(48))).encode()
    unlike = ["its codes do not say their own letters"]
    letters = {
        "Type": "Font", "Subtype": "CIDFontType2", "BaseFont": _NAME,
        "CIDSystemInfo": {"Registry": b"Adobe", "Ordering": b"Identity", "Supplement": 0},
        "FontDescriptor": Planned("font", "the stamp's type", _descriptor), "W": _widths(),
        "CIDToGIDMap": _stream("the stamp's codes", _code_faults),
    }  # fmt: skip
    font = {
        "Type": "Font", "Subtype": "Type0", "BaseFont": _NAME, "Encoding": "Identity-H",
        "DescendantFonts": [Planned("font", "the stamp's letters", lambda: letters)],
        "ToUnicode": _stream("what they say", lambda data: [] if data == said else unlike),
    }  # fmt: skip
    return Planned("font", "the stamp's font", lambda: font)


def _stream(name: str, faults: Any, entries: dict[str, Any] | None = None) -> Planned:
    def checked(data: bytes) -> Checked:
        return entries or {}, [f"{name}: {words}" for words in faults(data)]

    return Planned("font", name, stream=checked)


def _descriptor() -> dict[str, Any]:
    tables = house(FACE).tables
    (ascent, descent), (capital,) = (unpack_from(f">{n}h", tables[b"OS/2"], at)
                                     for n, at in ((2, 68), (1, 88)))  # fmt: skip
    (weight,) = unpack_from(">H", tables[b"OS/2"], 4)

    def program(data: bytes) -> Checked:
        faults = _program_faults(data)
        return {"Length1": len(data)}, (f"{_NAME}: {words}" for words in faults)

    return {
        "Type": "FontDescriptor", "FontName": _NAME, "Flags": 4, "ItalicAngle": 0,
        "Ascent": ascent, "Descent": descent, "CapHeight": capital,
        "FontBBox": list(unpack_from(">4h", tables[b"head"], 36)),
        "StemV": 50 + int((weight / 65) ** 2),
        "FontFile2": Planned("font", _NAME, stream=program),
    }  # fmt: skip


def _widths() -> list[Any]:
    """The advances by the house's own file, a list for each row of code points."""
    found: list[Any] = []
    last = -1
    for letter in advances():
        if ord(letter) != last + 1:
            found += [ord(letter), []]
        last = ord(letter)
        found[-1].append(house(FACE).advance(face(FACE).glyph(letter)))
    return found


def _code_faults(data: bytes) -> Iterator[str]:
    codes = [ord(letter) for letter in advances()]
    glyphs = dict.fromkeys(range(codes[-1] + 1), 0) | {k: face(FACE).glyph(chr(k)) for k in codes}
    if data != pack(f">{len(glyphs)}H", *glyphs.values()):
        yield "a code shows another letter"


@lru_cache(maxsize=4)
def _program_faults(data: bytes) -> Iterable[str]:
    """Words for what of the program is not the house's; the same one is in many files."""
    try:
        return list(_unlike(Program(data), house(FACE)))
    except (error, IndexError, KeyError):
        return ["it cannot be read"]


def _unlike(have: Program, house: Program) -> Iterator[str]:
    padded = 12 + sum(16 + len(table) + -len(table) % 4 for table in have.tables.values())
    if have.tables.keys() != _TABLES or len(have.data) != padded or sum_of(have.data) != WHOLE:
        yield "it is not just its tables and their sums"
    shown = {0, *(face(FACE).glyph(letter) for letter in advances())}
    waiting = list(shown)
    for glyph in waiting:  # it grows: the parts of a glyph follow it
        outline = house.outline(glyph)
        within = {unpack_from(">H", outline, at)[0] for at in parts(outline)} - shown
        shown |= within
        waiting += within
    for glyph in range(have.glyphs):
        outline, metrics = b"", (0, 0)
        if glyph in shown:
            outline, metrics = _unhinted(house.outline(glyph)), house.metrics(glyph)
        same = have.outline(glyph).rstrip(b"\0") == outline.rstrip(b"\0")
        if not same or have.metrics(glyph) != metrics:
            yield f"its glyph {glyph} is not the house's"
    for tag, *parts_of in (
        (b"head", slice(8), slice(12, 50), slice(52, None)),
        (b"hhea", slice(34)),
        (b"maxp", slice(4), slice(6, 16)),
    ):
        if any(have.tables[tag][part] != house.tables[tag][part] for part in parts_of):
            yield f"its table {tag.decode()!r} is not the house's"
    if have.glyphs != max(shown) + 1:
        yield "it has glyphs that no code shows"


def _unhinted(glyph: bytes) -> bytes:
    """A glyph without its instructions."""
    if glyph[:1] >= b"\x80":
        end = 0
        for at in parts(glyph):
            (flags,) = unpack_from(">H", glyph, at - 2)
            glyph = glyph[: at - 2] + pack(">H", flags & ~_HINTS) + glyph[at:]
            scales = 2 if flags & 0x08 else 4 if flags & 0x40 else 8 if flags & 0x80 else 0
            end = at + 2 + (4 if flags & 0x01 else 2) + scales
        return glyph[:end]
    if not glyph:
        return glyph
    at = 10 + 2 * unpack_from(">h", glyph)[0]
    (count,) = unpack_from(">H", glyph, at)
    return glyph[:at] + b"\0\0" + glyph[at + 2 + count :]
