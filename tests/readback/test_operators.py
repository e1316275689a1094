"""Content is taken apart as pdfminer's own parser does it, or left to that parser whole."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pdfminer.pdfinterp import PDFContentParser
from pdfminer.pdftypes import PDFStream
from pdfminer.psexceptions import PSEOF
from pdfminer.psparser import PSKeyword, keyword_name

from packbuilder.readback import document, marks, operators
from packbuilder.readback.operators import Interpreter, operations_of


def by_pdfminer(data: bytes) -> list[tuple[bytes, list[Any]]]:
    """The operators of some content by the library's own parser."""
    parser, found, operands = PDFContentParser([PDFStream({}, data)]), [], []
    while True:
        try:
            _, one = parser.nextobject()
        except PSEOF:
            return found
        if isinstance(one, PSKeyword):
            found.append((keyword_name(one).encode(), operands))
            operands = []
        else:
            operands.append(one)


numbers = st.one_of(
    st.integers(-9999, 9999).map(str),
    st.decimals(-999, 999, places=3).map(str),
    st.sampled_from([".5", "-.25", "+3", "7.", "0"]),
)
names = st.from_regex(r"/[A-Za-z][A-Za-z0-9+.\-]{0,6}", fullmatch=True)
hexes = st.binary(max_size=6).map(lambda b: f"<{b.hex()}>")
letters = st.text("abc 123'/<>[]%", max_size=6)
escapes = st.sampled_from([r"\(", r"\)", r"\\", r"\n", r"\101", r"\7", "\\\n"])
strings = st.lists(st.one_of(letters, escapes), max_size=4).map(lambda s: f"({''.join(s)})")
words = st.one_of(numbers, names, hexes, strings)
arrays = st.lists(words, max_size=4).map(lambda some: f"[{' '.join(some)}]")
pairs = st.lists(st.tuples(names, words).map(" ".join), max_size=2)
operands = st.one_of(words, arrays, pairs.map(lambda some: f"<<{' '.join(some)}>>"))
keys = st.sampled_from(["m", "l", "re", "S", "f*", "B", "Tj", "TJ", "'", '"', "cm", "BDC", "EMC"])
lines = st.tuples(st.lists(operands, max_size=4), keys).map(lambda p: " ".join([*p[0], p[1]]))
gaps = st.sampled_from([" ", "\n", "\r\n", "\t "])


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(lines, gaps), max_size=6))
def test_plain_content_is_taken_apart_as_the_parser_does_it(some: list[tuple[str, str]]) -> None:
    data = "".join(line + gap for line, gap in some).encode()
    assert operations_of(data) == by_pdfminer(data)


def test_strings_by_the_standard() -> None:
    """The examples of ISO 32000-1, 7.3.4.2; an escape that it does not know loses its stroke."""
    strings = {
        rb"(These \
two strings \
are the same.)": b"These two strings are the same.",
        rb"(This string contains \245two octal characters\307.)":
            b"This string contains \xa5two octal characters\xc7.",
        rb"(\0053)": b"\x053",
        rb"(\053)": b"+",
        rb"(\53)": b"+",
        rb"(\x)": b"x",
    }  # fmt: skip
    for written, meant in strings.items():
        assert operations_of(written + b" Tj") == [(b"Tj", [meant])]


@pytest.mark.parametrize(
    "data",
    [
        b"BI /W 1 /H 1 ID x EI",
        b"1 0 0 rg % a comment",
        b"(one (in) another) Tj",
        b"<abc> Tj",
        b"/A#20B gs",
        b"[1 2 m",
        b"1 2 ] m",
        b"<< /A 1 ] m",
        b"true m",
        b"{ 1 } m",
        b"(no end Tj",
    ],
)
def test_strange_content_is_left_alone(data: bytes) -> None:
    with pytest.raises(operators._Strange):
        operations_of(data)


def test_pages_read_alike_either_way(good: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    ours = document.sheets(good)
    calls = []

    def strange(data: bytes) -> None:
        calls.append(data)
        raise operators._Strange

    monkeypatch.setattr(operators, "operations_of", strange)
    assert document.sheets(good) == ours
    assert calls
    assert marks.Interpreter is Interpreter
