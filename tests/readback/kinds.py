"""The kinds of alterations of a finished file that a reader could see or be misled by.

An alteration of a *plan* is what a press might do wrong; of the *objects*, what one might do that
seals its file well; of the *bytes*, what happens to a file later; of *lines*, the same in a text.
Each takes what it alters and a source of chance.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from packbuilder.plan import items as it
from packbuilder.plan.items import Item, Plan, Table, Tag
from tests.readback.as_planned.altering import Way, items, put
from tests.readback.as_planned.sealing import Change, added, obj

OfPlan = Callable[[Plan, random.Random], Plan]
OfBytes = Callable[[bytes, random.Random], bytes]
OfLines = Callable[[list[str], random.Random], list[str]]

CLUE, SOLVED, CANDIDATE = "SourceSansPro-Semibold", "SourceSansPro-Light", "SourceSansPro-Regular"
MARKS = it.Fills | it.Rings | it.Lozenges | it.Trace | it.Disc | it.Strokes


def each(fits: Callable[[Any], object], change: Callable[[Any, random.Random], Any]) -> OfPlan:
    """An alteration of one of the items that fit: it becomes another, several (a tuple), or none.

    Raises LookupError where there is none.
    """

    def alter(plan: Plan, rng: random.Random) -> Plan:
        way, item = _one(plan, fits, rng)
        new = change(item, rng)
        return put(plan, way, *(new if isinstance(new, tuple) else (new,)))

    return alter


def _one(plan: Plan, fits: Callable[[Any], object], rng: random.Random) -> tuple[Way, Any]:
    found = [(way, item) for way, item in items(plan) if fits(item)]
    if not found:
        raise LookupError
    return rng.choice(found)


# --- letters of grids ----------------------------------------------------------------------------


def letters(face: str) -> Callable[[Any], bool]:
    return lambda item: isinstance(item, it.Glyphs) and bool(item.cells) and item.face == face


def in_cells(item: Any) -> bool:
    return letters(CLUE)(item) or letters(SOLVED)(item)


def letter(change: Callable[[Any, random.Random], Any]) -> Callable[[Any, random.Random], Any]:
    """One of several letters changed: a place of it, as x, y and the letter."""

    def changed(item: it.Glyphs, rng: random.Random) -> it.Glyphs:
        k = rng.randrange(len(item.places))
        new = change(item.places[k], rng)
        places = (*item.places[:k], *new, *item.places[k + 1 :])
        cells = (*item.cells[:k], *(item.cells[k] for _ in new), *item.cells[k + 1 :])
        return replace(item, places=places, cells=cells)

    return changed


def another(place: Any, rng: random.Random) -> Any:
    x, y, sign = place
    return ((x, y, rng.choice([one for one in "123456789" if one != sign])),)


def aside(place: Any, rng: random.Random) -> Any:
    x, y, sign = place
    return ((x + rng.choice((-1, 1)) * rng.uniform(4, 30), y, sign),)


def doubled(place: Any, rng: random.Random) -> Any:
    return (place, another((place[0] + 2, *place[1:]), rng)[0])


def exchanged(item: it.Glyphs, rng: random.Random) -> it.Glyphs:
    """Two letters of a grid in each other's place, where they differ."""
    pairs = [(j, k) for j, (*_, a) in enumerate(item.places) for k, (*_, b) in
             enumerate(item.places) if a != b]  # fmt: skip
    if not pairs:
        raise LookupError
    j, k = rng.choice(pairs)
    places = list(item.places)
    (*a, one), (*b, other) = places[j], places[k]
    places[j], places[k] = (*a, other), (*b, one)
    return replace(item, places=tuple(places))


# --- marks and lines -----------------------------------------------------------------------------


def moved(item: Any, rng: random.Random) -> Any:
    """The same mark, elsewhere by up to a cell."""
    x, y = rng.choice((-1, 1)) * rng.uniform(3, 25), rng.choice((-1, 0, 1)) * rng.uniform(3, 25)
    values: dict[str, Any] = {}
    for name in ("boxes", "segments", "centres", "runs", "curve", "head"):
        if hasattr(item, name):
            values[name] = _moved(getattr(item, name), x, y)
    if isinstance(item, it.Disc):
        values = {"x": item.x + x, "y": item.y + y}
    return replace(item, **values)


def _moved(value: Any, x: float, y: float) -> Any:
    if value and isinstance(value[0], float | int):
        return tuple(v + (y if k % 2 else x) for k, v in enumerate(value))
    return tuple(_moved(one, x, y) for one in value)


def less(name: str) -> Callable[[Any, random.Random], Any]:
    """One of several parts of an item left out."""

    def change(item: Any, rng: random.Random) -> Any:
        parts = getattr(item, name)
        k = rng.randrange(len(parts))
        return replace(item, **{name: (*parts[:k], *parts[k + 1 :])}) if len(parts) > 1 else ()

    return change


def with_(**values: Any) -> Callable[[Any, random.Random], Any]:
    """Other values; a function is called with the old one."""

    def change(item: Any, _rng: random.Random) -> Any:
        new = {k: v(getattr(item, k)) if callable(v) else v for k, v in values.items()}
        return replace(item, **new)

    return change


def a(*kinds: type, **values: Any) -> Callable[[Any], bool]:
    return lambda item: (
        isinstance(item, kinds)
        and all(getattr(item, name) == value for name, value in values.items())
    )


def nothing(_item: Any, _rng: random.Random) -> tuple[Item, ...]:
    return ()


def stroked(item: Any) -> bool:
    return isinstance(item, MARKS) and bool(getattr(item, "width", None))


def tinted(item: Any) -> bool:
    return isinstance(item, it.Fills) or stroked(item)


# --- words ---------------------------------------------------------------------------------------


def long_text(item: Any) -> bool:
    return isinstance(item, it.Text) and len(item.text) > 3


def spelt(item: it.Text, rng: random.Random) -> it.Text:
    """One letter another."""
    spots = [k for k, sign in enumerate(item.text) if sign.isalpha()]
    if not spots:
        raise LookupError
    k = rng.choice(spots)
    new = rng.choice([sign for sign in "aeinorst" if sign != item.text[k]])
    return replace(item, text=item.text[:k] + new + item.text[k + 1 :])


def numbered(item: Any) -> bool:
    return isinstance(item, it.Text) and any(sign.isdigit() for sign in item.text)


def counted_on(item: it.Text, rng: random.Random) -> it.Text:
    """One digit of the words another: of a page, a cell, a puzzle, a sum."""
    k = rng.choice([k for k, sign in enumerate(item.text) if sign.isdigit()])
    new = rng.choice([sign for sign in "0123456789" if sign != item.text[k]])
    return replace(item, text=item.text[:k] + new + item.text[k + 1 :])


def shortened(item: it.Text, rng: random.Random) -> it.Text:
    words = item.text.split(" ")
    if len(words) < 2:
        raise LookupError
    k = rng.randrange(len(words))
    return replace(item, text=" ".join([*words[:k], *words[k + 1 :]]))


# --- pages, and what joins them ------------------------------------------------------------------


def pages(change: Callable[[list[it.Page], int], None]) -> OfPlan:
    def alter(plan: Plan, rng: random.Random) -> Plan:
        some = list(plan.pages)
        change(some, rng.randrange(1, len(some) - 1))
        return replace(plan, pages=tuple(some))

    return alter


def swap(some: list[it.Page], k: int) -> None:
    some[k], some[k + 1] = some[k + 1], some[k]


def order(plan: Plan, rng: random.Random) -> Plan:
    """Two items of a page that paint over each other, in the other order."""
    over: list[tuple[int, int]] = []
    for p, page in enumerate(plan.pages):
        for k, (one, other) in enumerate(zip(page.items, page.items[1:], strict=False)):
            if isinstance(one, it.Text) and isinstance(other, it.Text) and one.text != other.text:
                over.append((p, k))
    p, k = rng.choice(over)
    some = list(plan.pages[p].items)
    some[k], some[k + 1] = some[k + 1], some[k]
    return put_page(plan, p, tuple(some))


def put_page(plan: Plan, k: int, some: tuple[Item, ...]) -> Plan:
    page = replace(plan.pages[k], items=some)
    return replace(plan, pages=(*plan.pages[:k], page, *plan.pages[k + 1 :]))


def grids_exchanged(plan: Plan, rng: random.Random) -> Plan:
    """What stands in two grids of one size, each in the other's frame of the structure."""
    tables = [(way, item) for way, item in items(plan) if isinstance(item, Table)]
    (way, one), (other_way, other) = rng.sample(tables, 2)
    if one.items == other.items:
        raise LookupError
    plan = put(plan, way, replace(one, items=other.items))
    return put(plan, other_way, replace(other, items=one.items))


def elsewhere(item: it.Link, rng: random.Random) -> it.Link:
    return replace(item, to="contents" if item.to != "contents" else "credits")


def field(change: Callable[[list[tuple[int, it.Box]], int], None]) -> OfPlan:
    def changed(item: Table, rng: random.Random) -> Table:
        some = list(item.fields)
        change(some, rng.randrange(len(some)))
        return replace(item, fields=tuple(some))

    return each(lambda item: isinstance(item, Table) and item.fields, changed)


def other_cell(some: list[tuple[int, it.Box]], k: int) -> None:
    some[k] = ((some[k][0] + 1) % 4, some[k][1])


def other_place(some: list[tuple[int, it.Box]], k: int) -> None:
    cell, (left, bottom, right, top) = some[k]
    some[k] = cell, (left + 15, bottom, right + 15, top)


def bookmark(change: Callable[[it.Bookmark], it.Bookmark | None]) -> OfPlan:
    def alter(plan: Plan, rng: random.Random) -> Plan:
        some = list(plan.bookmarks)
        k = rng.randrange(1, len(some))
        new = change(some[k])
        return replace(plan, bookmarks=(*some[:k], *((new,) if new else ()), *some[k + 1 :]))

    return alter


def whole(**values: Callable[[Any], Any]) -> OfPlan:
    return lambda plan, _rng: replace(plan, **{k: v(getattr(plan, k)) for k, v in values.items()})


def told(item: Any) -> bool:
    return isinstance(getattr(item, "tag", None), Tag) and item.tag is not it.FURNITURE


def other_role(item: Any, _rng: random.Random) -> Any:
    return replace(item, tag=Tag("H3" if item.tag.role != "H3" else "P", item.tag.within))


PLANS: dict[str, OfPlan] = {
    "digit another": each(in_cells, letter(another)),
    "digit gone": each(in_cells, letter(lambda _place, _rng: ())),
    "digit doubled": each(in_cells, letter(doubled)),
    "digit aside": each(in_cells, letter(aside)),
    "digits exchanged": each(in_cells, exchanged),
    "clue and solved digit alike": each(
        in_cells, lambda one, _: replace(one, face=SOLVED if one.face == CLUE else CLUE)
    ),
    "digits of another size": each(in_cells, with_(size=lambda size: size * 0.8)),
    "digits pale": each(in_cells, with_(ink="shade")),
    "candidate another": each(letters(CANDIDATE), letter(another)),
    "candidate gone": each(letters(CANDIDATE), letter(lambda _place, _rng: ())),
    "candidate aside": each(letters(CANDIDATE), letter(aside)),
    "line gone": each(a(it.Strokes), less("segments")),
    "line moved": each(a(it.Strokes), moved),
    "line of another weight": each(stroked, with_(width=lambda width: width * 2.5)),
    "mark gone": each(a(it.Fills, it.Rings, it.Lozenges, it.Trace, it.Disc), nothing),
    "mark moved": each(a(it.Fills, it.Rings, it.Lozenges, it.Trace, it.Disc), moved),
    "mark twice": each(
        a(it.Rings, it.Lozenges, it.Trace, it.Disc), lambda one, rng: (one, moved(one, rng))
    ),
    "mark of another ink": each(
        tinted, lambda one, _: replace(one, ink="quiet" if one.ink != "quiet" else "ink")
    ),
    "patch": each(
        in_cells,
        lambda one, _: (one, it.Fills(tuple(
            (x - 1, y - 1, x + one.size * 0.6, y + one.size * 0.8) for x, y, _ in one.places[:1]
        ), "paper")),
    ),
    "letter of a word": each(long_text, spelt),
    "word left out": each(long_text, shortened),
    "number in words": each(numbered, counted_on),
    "way to the rules": each(
        lambda item: isinstance(item, it.Text) and item.text.startswith("The rules: page"),
        counted_on,
    ),
    "line of words gone": each(long_text, nothing),
    "line of words moved": each(long_text, with_(y=lambda y: y + 7.0)),
    "line of words pale": each(long_text, with_(ink="shade")),
    "line of words in another face": each(
        long_text, lambda one, _: replace(
            one, face=CLUE if one.face != CLUE else "SourceSerifPro-Regular"
        )
    ),
    "reading order": order,
    "link elsewhere": each(a(it.Link), elsewhere),
    "link gone": each(a(it.Link, it.WebLink), nothing),
    "link moved": each(
        a(it.Link, it.WebLink), with_(box=lambda box: tuple(v + 9 for v in box))
    ),
    "address": each(a(it.WebLink), with_(url=lambda url: url.replace("://", "://x"))),
    "place of a link moved": each(a(it.Destination), with_(y=lambda y: y - 40)),
    "pages exchanged": pages(swap),
    "page gone": pages(lambda some, k: some.pop(k) and None),
    "page twice": pages(lambda some, k: some.insert(k, some[k])),
    "grids exchanged": grids_exchanged,
    "field gone": field(lambda some, k: some.pop(k) and None),
    "field named for another cell": field(other_cell),
    "field moved": field(other_place),
    "role of a tag": each(told, other_role),
    "summary of a grid": each(a(Table), with_(summary=lambda words: words + " Or not.")),
    "words for a figure": each(
        a(it.Figure), lambda one, _: replace(one, tag=Tag("Figure", one.tag.within, "No picture."))
    ),
    "bookmark renamed": bookmark(lambda one: replace(one, title=one.title + "s")),
    "bookmark gone": bookmark(lambda one: None if one.level else replace(one, title="Page")),
    "title of the file": whole(title=lambda title: f"The {title}"),
    "author of the file": whole(author=lambda name: name[::-1]),
    "month of the file": whole(dated=lambda dated: (dated[0] + 1, dated[1])),
    "greys": lambda plan, rng: replace(
        plan, inks={**plan.inks, (k := rng.choice(["ink", "quiet"])): abs(plan.inks[k] - 0.2)}
    ),
}  # fmt: skip

SCRIPT = "<</S/JavaScript/JS(app.alert\\(1\\))>>"
OBJECTS: dict[str, Callable[[random.Random], Change]] = {
    "white over a page": lambda rng: added(f"1 g {rng.randint(30, 300)} 90 250 400 re f"),
    "invisible letters": lambda rng: added("3 Tr"),
    "page turned": lambda rng: obj("/Tabs/S", f"/Rotate {rng.choice((90, 180, 270))}/Tabs/S"),
    "page cropped": lambda rng: obj(
        r"/MediaBox\[0 0 (\d+)", rf"/CropBox[0 {rng.randint(5, 300)} 400 500]/MediaBox[0 0 \1"
    ),
    "script": lambda rng: obj("/Type/Catalog", f"/OpenAction{SCRIPT}/Type/Catalog"),
    "file within": lambda rng: obj("/Type/Catalog", f"/AF[{rng.randint(1, 9)} 0 R]/Type/Catalog"),
    "producer": lambda rng: obj(r"/Producer\(.", "/Producer(x"),
    "width of a letter": lambda rng: obj(r"/Widths \[ (\d+)", rf"/Widths [ {rng.randint(1, 9)}\1"),
    "name of a font": lambda rng: obj("/FontName /AAAAAA", "/FontName /AAAAAB"),
    "tongue": lambda rng: obj(r"/Lang\(en", "/Lang(de"),
}


# --- bytes and lines -----------------------------------------------------------------------------


def bit(data: bytes, rng: random.Random) -> bytes:
    turned = bytearray(data)
    k = rng.randrange(8 * len(data))
    turned[k // 8] ^= 1 << k % 8
    return bytes(turned)


def cut(data: bytes, rng: random.Random) -> bytes:
    return data[: rng.randrange(len(data))]


def appended(data: bytes, rng: random.Random) -> bytes:
    return data + rng.choice((b"\n", b"% more\n%%EOF\n", data, b" "))


def byte_gone(data: bytes, rng: random.Random) -> bytes:
    k = rng.randrange(len(data))
    return data[:k] + data[k + 1 :]


def blocks_exchanged(data: bytes, rng: random.Random) -> bytes:
    k = rng.randrange(0, len(data) - 256)
    return data[:k] + data[k + 128 : k + 256] + data[k : k + 128] + data[k + 256 :]


BYTES: dict[str, OfBytes] = {
    "bit": bit, "cut short": cut, "bytes behind the end": appended, "byte gone": byte_gone,
    "blocks exchanged": blocks_exchanged,
}  # fmt: skip


def _line(fits: Callable[[str], object], change: Callable[[str, random.Random], str]) -> OfLines:
    def alter(lines: list[str], rng: random.Random) -> list[str]:
        k = rng.choice([k for k, line in enumerate(lines) if fits(line)])
        return [*lines[:k], change(lines[k], rng), *lines[k + 1 :]]

    return alter


def _sign(fits: Callable[[str], object], others: str) -> OfLines:
    """One sign of a line another of its kind."""

    def change(line: str, rng: random.Random) -> str:
        k = rng.choice([k for k, sign in enumerate(line) if fits(sign)])
        return line[:k] + rng.choice([o for o in others if o != line[k]]) + line[k + 1 :]

    return _line(lambda line: any(map(fits, line)), change)


def _lines(change: Callable[[list[str], int], list[str]]) -> OfLines:
    def alter(lines: list[str], rng: random.Random) -> list[str]:
        return change(lines, rng.randrange(len(lines) - 1))

    return alter


LINES: dict[str, OfLines] = {
    "digit of a text": _sign(str.isdigit, "123456789"),
    "letter of a text": _sign(str.isalpha, "aeinorst"),
    "empty cell of a text": _sign(lambda sign: sign == ".", "123456789"),
    "line of a text gone": _lines(lambda some, k: some[:k] + some[k + 1 :]),
    "line of a text twice": _lines(lambda some, k: [*some[: k + 1], *some[k:]]),
    "lines of a text exchanged": _lines(
        lambda some, k: [*some[:k], some[k + 1], some[k], *some[k + 2 :]]
    ),
    "line of a text more": _lines(lambda some, k: [*some[:k], "Not so.", *some[k:]]),
    "word of a text gone": _line(
        lambda line: " " in line, lambda line, _: line.partition(" ")[2]
    ),
}  # fmt: skip


def kinds() -> Iterator[str]:
    yield from (*PLANS, *OBJECTS, *BYTES, *LINES)
