"""Fonts: every code of every font shows the house's own letter, and says which one it is.

Source: ISO 32000-1, 9.6.3, 9.8 and 9.10.3.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from struct import unpack_from
from typing import Any, NamedTuple

from packbuilder.readback.as_planned.faces import face
from packbuilder.readback.as_planned.file import File
from packbuilder.readback.as_planned.objects import Checked, Planned
from packbuilder.readback.as_planned.programs import house, program_faults
from packbuilder.readback.as_planned.syntax import Damaged
from packbuilder.typography.fonts import faces

_NAME = re.compile(r"[A-Z]{6}\+")
_SAID = re.compile(rb"<[0-9A-F]{2}> <([0-9A-F]{4,5})>\n")
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


class Font(NamedTuple):
    """A font of the file: its face, and the letter of each code."""

    face: str
    letters: Sequence[str]

    def letter(self, code: int) -> str:
        """Raises Damaged for a code that the font does not have."""
        if code >= len(self.letters):
            raise Damaged("text is in codes that its font does not have")
        return self.letters[code]


def font(file: File, ref: object, name: str, encoding: str = "") -> tuple[Font, Planned]:
    """A font of the file by what it says of itself, and what it must be then. Raises Damaged.

    ``encoding`` is that of a font for what a reader types; it stands for more than it has to show.
    """
    base = file.find(ref, "BaseFont")
    if not isinstance(base, str) or not _NAME.match(base) or base[7:] not in faces():
        raise Damaged(f"the font {base!r} is none of the house's")
    _, codes = file.stream(file.find(ref, "ToUnicode"), keep=True)
    letters = [chr(int(letter, 16)) for letter in _SAID.findall(codes)]
    own = Font(base[7:], letters)
    value = {
        "Type": "Font", "Subtype": "TrueType", "Name": name, "BaseFont": base, "FirstChar": 0,
        "LastChar": len(letters) - 1,
        "Widths": [house(own.face).advance(face(own.face).glyph(letter)) for letter in letters],
        "ToUnicode": _codes(base, letters, encoding),
        "FontDescriptor": _descriptor(base, own, encoding),
        **({"Encoding": encoding} if encoding else {}),
    }  # fmt: skip
    return own, Planned("font", base, lambda: value)


def _codes(base: str, letters: Sequence[str], encoding: str) -> Planned:
    """Which letters the codes say they are, in the press's own spelling."""
    name = ("AAAAAA" + base[6:] if encoding else base).encode("ascii")  # its first name stays
    lines = b"".join(b"<%02X> <%04X>\n" % (code, ord(one)) for code, one in enumerate(letters))
    due = _TO_UNICODE % (name, name, name, len(letters) - 1, len(letters), lines)

    def stream(data: bytes) -> Checked:
        return {}, [] if data == due else [f"{base} tells its letters in a way that is not ours"]

    return Planned("font", base, stream=stream)


def _descriptor(base: str, own: Font, encoding: str) -> Planned:
    tables = house(own.face).tables
    os2, head = tables[b"OS/2"], tables[b"head"]
    (weight,), (angle,) = unpack_from(">H", os2, 4), unpack_from(">l", tables[b"post"], 4)
    (ascent, descent), (capital,) = unpack_from(">2h", os2, 68), unpack_from(">h", os2, 88)
    flags = _SYMBOLIC | (_ITALIC if angle else 0) | (_BOLD if weight >= 600 else 0)

    def stream(data: bytes) -> Checked:
        faults = program_faults(data, own.face, own.letters)
        return {"Length1": len(data)}, (f"{base}: {words}" for words in faults)

    value: dict[str, Any] = {
        "Type": "FontDescriptor", "FontName": base, "Ascent": ascent, "Descent": descent,
        "CapHeight": capital, "Flags": _PLAIN if encoding else flags,
        "FontBBox": list(unpack_from(">4h", head, 36)), "ItalicAngle": angle / 65536,
        "StemV": 50 + int((weight / 65) ** 2), "MissingWidth": house(own.face).advance(0),
        "FontFile2": Planned("font", base, stream=stream),
    }  # fmt: skip
    return Planned("font", base, lambda: value)
