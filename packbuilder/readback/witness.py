"""A witness: a second library reads a sample of pages, and must see the very same letters.

The eyes are pdfium's. What pdfplumber sees, by a parser that shares nothing with it, is held
against them where nothing else was found: a file that shows one thing to one viewer and another
to the next is no print to trust.
"""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Iterator
from itertools import product

from packbuilder.readback.report import Finding
from packbuilder.reader.file import readable
from packbuilder.reader.pdfium import File

SAMPLE = 6
"""So many pages at most, evenly through the file: a page takes about 50 ms."""

APART = 0.75
"""Points: how far apart two readers may put one letter."""

_Letters = Counter[tuple[str, float, float]]


def check_witness(data: bytes) -> Iterator[Finding]:
    """Letters that one of two readers sees in another place than the other, or not at all."""
    import pdfplumber

    with File(data) as file, readable("its content"), pdfplumber.open(io.BytesIO(data)) as other:
        for number in sorted({1 + k * (file.count - 1) // (SAMPLE - 1) for k in range(SAMPLE)}):
            with file.page(number) as page:
                seen = Counter((g.text, g.x, g.y) for g in page.marks().glyphs if g.text.strip())
            chars = other.pages[number - 1].chars
            told = Counter((c["text"], *c["matrix"][4:]) for c in chars if c["text"].strip())
            left = _unlike(seen, told) or _unlike(told, seen)
            if left:
                words = f"two readers of the file do not both see {left!r} on this page"
                yield Finding("witness", words, number)


def _unlike(ones: _Letters, others: _Letters) -> str:
    """The first letter of one reader that has no match, as often, near it with the other."""
    near = Counter((letter, round(x), round(y)) for letter, x, y in others.elements())
    for letter, x, y in ones.elements():
        steps = product((-APART, 0, APART), repeat=2)
        places = [(letter, round(x + right), round(y + up)) for right, up in steps]
        place = next((one for one in places if near[one]), None)
        if place is None:
            return letter
        near[place] -= 1
    return ""
