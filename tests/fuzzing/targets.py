"""What is fuzzed: each reader of foreign files, with sound files to begin from.

A target takes bytes. It may return, or raise a fault that is meant for people (`FAULTS`); anything
else that comes out of it is a bug, as the house promises that bad input never gives a traceback.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import pikepdf

from packbuilder import pages, plaintext, press, readback
from packbuilder.book.book import Book
from packbuilder.errors import PackbuilderError
from packbuilder.grid import GridFault, parse_grid, read_blocks
from packbuilder.issuing.ledger import read_ledger
from packbuilder.layouts.loading import read as read_layout
from packbuilder.manifest import load, load_entries
from packbuilder.proof.verdict import Verdict
from packbuilder.release.record import file_lines
from packbuilder.setters.taking import TakeFault, take
from packbuilder.setting.design_file import read_design
from packbuilder.setting.picture import read_picture
from packbuilder.setting.wishes import read_wishes
from packbuilder.supporters.csv_files import read_table
from packbuilder.supporters.instants import InstantFault, read_instant
from packbuilder.supporters.people import read_supporters
from packbuilder.supporters.register import read_register
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED, ROOT
from tests.plaintext import small_book
from tests.readback import books

FAULTS = (PackbuilderError, GridFault, InstantFault, TakeFault)
KEPT = Path(__file__).with_name("kept")
"""Inputs that were a bug once, a folder a target."""


@dataclass(frozen=True)
class Target:
    """A reader, and files that it reads without a fault or nearly so."""

    read: Callable[[bytes], object]
    seeds: Callable[[], list[bytes]]

    def try_out(self, data: bytes) -> None:
        """Raises whatever is not a fault for people."""
        try:
            self.read(data)
        except FAULTS:
            return


@cache
def _folder() -> Path:
    return Path(mkdtemp(prefix="fuzz-"))


def _file(name: str, data: bytes) -> Path:
    path = _folder() / name
    path.write_bytes(data)
    return path


def _text(data: bytes) -> str:
    return data.decode("utf-8", "replace")


def _manifest(data: bytes) -> None:
    load(_file("manifest.yaml", data))


def _grid(data: bytes) -> None:
    text = _text(data)
    for size in (4, 9, 16):
        _tried(parse_grid, text, size)
        _tried(read_blocks, text, size)
    _tried(take, text)
    _tried(lambda: read_picture(text, "fuzzed"))


def _tried(read: Callable[..., object], *told: Any) -> None:
    try:
        read(*told)
    except FAULTS:
        return


def _lists(data: bytes) -> None:
    file = _file("list.csv", data)
    _tried(read_supporters, file)
    _tried(read_table, file, ("received", "name", "puzzle", "digits"))
    _tried(read_instant, _text(data))
    register = _file("register.csv", data)
    _tried(read_register, register.parent)


def _wishes(data: bytes) -> None:
    _tried(read_wishes, _file("wishes.yaml", data), 1)
    _tried(read_design, _file("design.yaml", data))


def _records(data: bytes) -> None:
    _tried(read_ledger, _file("ledger.yaml", data))
    record = _file("release.json", data)
    _tried(file_lines, record.parent)


def _unproved(*_asked: object) -> Verdict:
    """In place of the proof, which is not fuzzed here and would take most of the time."""
    return Verdict(None)


def _book() -> Book:
    return small_book.small_book(lessons=True)


def _text_edition(data: bytes) -> None:
    book = _book()
    readback.read_text(data, book, plaintext.outline_of(book), prove=_unproved)


@cache
def _print() -> tuple[Any, Any, bytes]:
    book = books.plain()
    plan = pages.plan_book(book)
    out = io.BytesIO()
    press.write_pdf(plan, out)
    return book, plan, out.getvalue()


def _print_edition(data: bytes) -> None:
    book, plan, _good = _print()
    readback.read(data, book, plan)


def _opened() -> list[bytes]:
    """The print as it is, and with its streams laid open, so that a changed byte is a mark."""
    good = _print()[2]
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(good)) as pdf:
        pdf.save(
            out,
            compress_streams=False,
            stream_decode_level=pikepdf.StreamDecodeLevel.generalized,
            object_stream_mode=pikepdf.ObjectStreamMode.disable,
        )
    return [good, out.getvalue()]


def _read_all(pattern: str) -> list[bytes]:
    return [path.read_bytes() for path in sorted(ROOT.glob(pattern))]


_LIST = "received,name,puzzle,digits\n2027-03-02T10:00:00+01:00,Ada Quill,viaduct,1234\n"
_WISHES = b"- {grade: 3, picture: heart, title: The Lamp}\n- {needs: [x-wing], size: 6}\n"
_DESIGN = b"""size: 6
grid: |
  1?? ??? / ...
rules: [thermometers: [r1c1 r1c2], cages: [{sum: ?, cells: "r4c4 r4c5"}]]
promise: {grade: 3, clues: 2-9}
"""
_LEDGER = (
    b"- {pack: kites, issue: 2027-03, title: Kites, date: 2027-03-01, digest: ab, puzzles: []}\n"
)
_RECORD = b'{"files": [{"name": "a", "sha256": "b"}]}'
_ROWS = b"12.|973|..6\n---+---+---\n..8 .4. ..3"

TARGETS = {
    "manifest": Target(_manifest, lambda: _read_all("packs/*/manifest.yaml")),
    "entries": Target(
        lambda data: load_entries(_text(data)), lambda: _read_all("packs/*/puzzles/*.yaml")
    ),
    "grid": Target(
        _grid, lambda: [EXAMPLE.encode(), EXAMPLE_SOLVED.encode(), _ROWS, b"2x2", b"#.?1\n#..2"]
    ),
    "layout": Target(
        lambda data: read_layout(_file("one.yaml", data)), lambda: _read_all("layouts/*.yaml")
    ),
    "lists": Target(_lists, lambda: [_LIST.encode(), _LIST.encode("utf-16"), b"name\nAda\n"]),
    "wishes": Target(_wishes, lambda: [_WISHES, _DESIGN]),
    "records": Target(_records, lambda: [_LEDGER, _RECORD]),
    "text": Target(_text_edition, lambda: [small_book.text_of(_book())]),
    "print": Target(_print_edition, _opened),
}
