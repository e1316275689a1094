"""Plans to print and to alter: one by hand with an item of every kind, and those of real books."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.editions import EDITIONS
from packbuilder.pages import plan_book
from packbuilder.plan.inks import inks
from packbuilder.plan.items import (
    FURNITURE,
    Bookmark,
    Destination,
    Disc,
    Figure,
    Fills,
    Glyphs,
    Item,
    Link,
    Lozenges,
    NotesField,
    Page,
    Plan,
    Rings,
    Strokes,
    Table,
    Tag,
    Text,
    Trace,
    WebLink,
)
from packbuilder.press import write_pdf
from packbuilder.readback import Finding
from packbuilder.readback.as_planned import differences
from packbuilder.readback.report import CODES
from tests.pages.rule_book import rule_book
from tests.pages.sample_book import sample_book

PRINTED = [name for name, edition in EDITIONS.items() if edition.suffix == ".pdf"]
SANS, SERIF, UPRIGHT = "SourceSansPro-Regular", "SourceSerifPro-It", "SourceSerifPro-Regular"


def printed(plan: Plan) -> bytes:
    out = io.BytesIO()
    write_pdf(plan, out)
    return out.getvalue()


def reprinted(plan: Plan) -> bytes | None:
    """A plan that has been altered as a file; None where it cannot be printed: a curve of three
    points, a bookmark that leads nowhere."""
    try:
        return printed(plan)
    except (IndexError, KeyError, ValueError):
        return None


def told(data: bytes, plan: Plan, code: str = "", words: str = "") -> list[Finding]:
    """What is found in a file that must be refused, with a finding of that code and those words."""
    found = list(differences(data, plan))
    assert found, "nothing was found"
    assert {one.code for one in found} <= CODES.keys()
    assert any(code in ("", one.code) and words in one.message for one in found), "\n".join(
        one.words() for one in found
    )
    return found


def grid(number: int, left: float, *, fields: bool = False) -> Table:
    """A grid of four cells with all that a table can hold."""
    letters = ((left + 12, 312.0, "1"), (left + 52, 312.0, "2"), (left + 12, 352.0, "3"))
    items: tuple[Item, ...] = (
        Fills(((left, 300.0, left + 40, 340.0),), "shade"),
        Strokes(0.5, ((left, 340.0, left + 80, 340.0), (left + 40, 300.0, left + 40, 380.0))),
        Strokes(2.0, ((left, 300.0, left + 80, 300.0),), square=True),
        Glyphs(SANS, 5.0, ((left + 2, 333.0, "12"[0]),), "quiet"),
        Glyphs(SANS, 24.0, letters, cells=(2, 3, 0)),
    )
    cell = (left + 40, 340.0, left + 80, 380.0)
    return Table(2, f"Grid {number}: 2x2.", items, f"p{number}", ((1, cell),) if fields else ())


def every_kind(page: int) -> tuple[Item, ...]:
    """Items of every kind outside tables."""
    y = 500.0 - page
    return (
        Rings(0.75, 3.0, ((60.0, y, 90.0, y + 20),)),
        Lozenges(((120.0, y), (130.0, y)), 4.0),
        Lozenges(((140.0, y),), 4.0, 0.5, "quiet"),
        Trace(((((200.0, y), (220.0, y + 5), (240.0, y))),), 1.5, "contour", round_ends=True,
              round_joints=True),
        Trace((((250.0, y), (270.0, y)),), 1.0, dash=(3.0, 2.0), phase=1.0),
        Trace((((280.0, y), (300.0, y), (290.0, y + 9)),), 0.5, fill="fill", closed=True),
        Trace((((310.0, y), (340.0, y), (325.0, y + 20)), ((320.0, y + 3), (330.0, y + 3),
               (325.0, y + 9))), None, fill="shade", closed=True),
        Trace((((350.0, y + 30), (380.0, y + 30), (365.0, y + 50)),), 1.0, dash=(4.0, 2.0),
              closed=True, round_ends=True),
        Disc(350.0, y, 5.0, 0.5, "rule"),
        Disc(370.0, y, 5.0, None, fill="black"),
        Disc(390.0, y, 5.0, 0.75, "ink", "paper"),
    )  # fmt: skip


@cache
def tiny(edition: str = "print") -> Plan:
    """Five pages with an item of every kind, each field of which shows."""
    made = EDITIONS[edition]
    note, heading, over = Tag("P"), Tag("H1"), Tag("P")
    web, inner = Tag("Link", note), Tag("Link", Tag("P"))
    picture = Tag("Figure", alt="A picture of nothing.")
    notes = NotesField(
        (101.0, 365.0, 139.0, 379.0), "p1-r1c2-notes", "Notes (1)", 2, 7.0, Tag("Form")
    )
    dot = Figure(picture, (Disc(380.0, 520.0, 9.0, 0.5), Text(377.0, 516.0, "7", SANS, 9.0)))
    pages = [
        Page(1, "Cover", (
            Text(60.0, 540.0, "Tiny AVAST", SERIF, 30.0, tag=heading), dot,
            Text(60.0, 80.0, "example.org", SANS, 10.0, "quiet", tag=web),
            WebLink((60.0, 78.0, 120.0, 92.0), "https://example.org/?a=(b)", web),
            WebLink((370.0, 510.0, 390.0, 530.0), "https://example.org/é"),
        )),
        Page(2, "Contents", (
            Destination("contents", 0.0, 560.0),
            Text(60.0, 540.0, "C O N", SANS, 9.0, spacing=0.8, tag=FURNITURE),
            Text(390.0, 60.0, "On its head AV", SANS, 9.0, tag=FURNITURE, turned=True),
            Text(60.0, 500.0, "1\xa0\xa0To V\xa0“Wave” — Ωa", UPRIGHT, 10.0, tag=inner),
            Link((60.0, 498.0, 200.0, 510.0), "grid-1", "Grid 1, page 3", inner),
            Text(60.0, 90.0, "This goes on", SERIF, 10.0, tag=over),
            *every_kind(2),
        )),
        Page(3, "Grids", (
            Destination("grid-1", 50.0, 400.0),
            Text(60.0, 560.0, "on the next page.", SERIF, 10.0, tag=over),
            grid(1, 60.0, fields=True), grid(2, 200.0, fields=True),
            *([notes] if made.fields else []),
            Link((60.0, 290.0, 100.0, 299.0), "contents", "Contents, page 2"),
        )),
        Page(4, "Grids", ()),
        Page(5, "Ends", (
            Destination("ends", 50.0, 580.0), Destination("spare", 50.0, 480.0),
            Text(60.0, 540.0, "Ends.", SANS, 10.0, tag=Tag("P")),
        )),
    ]  # fmt: skip
    marks = (Bookmark("Contents", "contents", 0), Bookmark("Grids — all", "grid-1", 0),
             Bookmark("1 (One)", "grid-1", 1), Bookmark("1 again", "grid-1", 1),
             Bookmark("Ends", "ends", 0))  # fmt: skip
    return Plan(
        419.53, 595.28, tuple(pages), marks, made, inks(0.33, 0.5, 0.9, dark=made.dark), 0.3,
        "Tiny — plan", "Ada & Quill", "Nothing (at all)", ("one", "two"), (2026, 12),
    )  # fmt: skip


@cache
def book() -> Book:
    """Two plain puzzles with hints, one with a link, and five rules that draw in other ways."""
    plain, ruled = sample_book(), rule_book()
    slugs = ("cages", "sandwich", "thermometers", "dots", "little-sums")
    chosen = [*plain.entries[:2], *(e for e in ruled.entries if e.puzzle.rule_names[0] in slugs)]
    entries = tuple(replace(entry, number=k) for k, entry in enumerate(chosen, start=1))
    puzzles = tuple(entry.puzzle for entry in entries)
    return Book(replace(plain.pack, puzzles=puzzles, sampler=2, creep=0.1), entries)


@cache
def real(edition: str = "print") -> Plan:
    return plan_book(book_of(book(), EDITIONS[edition]))
