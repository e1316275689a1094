"""The file's own signposts, by pypdf: named places, links, bookmarks, page labels, paper."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from packbuilder.readback.document import readable
from packbuilder.readback.sections import ANSWERS, PUZZLES, TIERS
from packbuilder.readback.shapes import Box

if TYPE_CHECKING:
    from pypdf import PdfReader


class Place(NamedTuple):
    """Where a destination leads: page from 1 (None: no page of the file), and the point there."""

    page: int | None
    left: float | None = None
    top: float | None = None


class Aim(NamedTuple):
    """What a destination's name means: a section and a puzzle's number in it."""

    section: str
    number: int


_NAME = re.compile(r"(puzzle|hint|answer)-(\d+)(?:-([123]))?")


def aim(name: str | None) -> Aim | None:
    """The meaning of a destination's name; None where the house style does not know it."""
    found = _NAME.fullmatch(name or "")
    if not found or (found[1] == "hint") != bool(found[3]):
        return None
    section = {"puzzle": PUZZLES, "answer": ANSWERS}.get(found[1]) or TIERS[int(found[3]) - 1]
    return Aim(section, int(found[2]))


FIELDS = ("a field to type in", "form fields")
"""What of a file's active content belongs to an edition with fields."""


class Link(NamedTuple):
    """A link on a page: the box to press, and where it leads.

    ``name`` is the name of the place it leads to, where that has one; ``uri`` an outside address;
    ``action`` what else pressing it does (a PDF action's name), which print cannot show. ``words``
    are what it is called in place of the text that it covers.
    """

    page: int
    box: Box
    name: str | None = None
    place: Place | None = None
    uri: str | None = None
    action: str | None = None
    words: str = ""


class Bookmark(NamedTuple):
    """An entry of the outline; ``level`` 0 is the top."""

    level: int
    title: str
    page: int | None


class Paper(NamedTuple):
    """A page's paper in points, how it is turned (degrees), and whether part of it is cropped
    away or it begins elsewhere than at its corner."""

    width: float
    height: float
    turned: int
    cropped: bool


@dataclass(frozen=True)
class Signposts:
    """All that leads a reader through the file. ``active`` says in words what else is in it."""

    papers: tuple[Paper, ...]
    labels: tuple[str, ...]
    places: dict[str, Place]
    links: tuple[Link, ...]
    bookmarks: tuple[Bookmark, ...]
    active: tuple[tuple[int | None, str], ...]


def signposts(reader: PdfReader) -> Signposts:
    """Read the signposts. Raises InputError where they are damaged."""
    with readable("its links or bookmarks"):
        pages = {
            p.indirect_reference.idnum: k
            for k, p in enumerate(reader.pages, 1)
            if p.indirect_reference is not None
        }
        places = {
            str(name).lstrip("/"): _place(dest.dest_array, pages)
            for name, dest in reader.named_destinations.items()
        }
        links: list[Link] = []
        active = list(_active_file(reader))
        for number, page in enumerate(reader.pages, start=1):
            for kind, note in _annotations(page):
                if kind == "/Link":
                    link = _link(number, note, places, pages)
                    links.append(link._replace(words=str(note.get("/Contents", ""))))
                else:
                    what = FIELDS[0] if kind == "/Widget" else f"a {kind.lstrip('/')} annotation"
                    active.append((number, what))
            if "/AA" in page:
                active.append((number, "an action that runs when the page opens"))
        return Signposts(
            papers=tuple(_paper(page) for page in reader.pages),
            labels=tuple(reader.page_labels),
            places=places,
            links=tuple(links),
            bookmarks=tuple(_bookmarks(reader, reader.outline, 0, pages)),
            active=tuple(active),
        )


def _paper(page: Any) -> Paper:
    media, crop = page.mediabox, page.cropbox
    cropped = any(abs(float(a) - float(b)) > 0.5 for a, b in zip(media, crop, strict=True))
    shifted = abs(float(media.left)) + abs(float(media.bottom)) > 0.5
    unit = float(page.user_unit)
    width, height = float(media.width) * unit, float(media.height) * unit
    return Paper(width, height, int(page.rotation) % 360, cropped or shifted)


def _annotations(page: Any) -> Iterator[tuple[str, Any]]:
    notes = page.get("/Annots")
    for one in notes.get_object() if notes is not None else ():
        note = one.get_object()
        yield str(note.get("/Subtype")), note


def _link(number: int, note: Any, places: dict[str, Place], pages: dict[int, int]) -> Link:
    x0, y0, x1, y1 = (float(v) for v in note["/Rect"])
    box = (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
    action = note.get("/A")
    target = note.get("/Dest")
    if action is not None:
        action = action.get_object()
        kind = str(action.get("/S"))
        if kind == "/URI":
            return Link(number, box, uri=str(action.get("/URI")))
        if kind != "/GoTo":
            return Link(number, box, action=kind.lstrip("/"))
        target = action.get("/D")
    target = target.get_object() if target is not None else None
    if isinstance(target, (str, bytes)):
        name = target.decode("latin-1") if isinstance(target, bytes) else str(target).lstrip("/")
        return Link(number, box, name, places.get(name))
    place = _place(target, pages)
    names = [name for name, one in places.items() if one == place and aim(name)]
    return Link(number, box, names[0] if names else None, place)


def _place(target: Any, pages: dict[int, int]) -> Place:
    """A destination's array: the page, then how to show it and where."""
    if not isinstance(target, list) or not target:
        return Place(None)
    page = pages.get(getattr(target[0], "idnum", -1))
    kind, rest = str(target[1]) if len(target) > 1 else "", list(target[2:])
    if kind == "/XYZ":
        left, top = _number(rest, 0), _number(rest, 1)
    elif kind in ("/FitH", "/FitBH"):
        left, top = None, _number(rest, 0)
    elif kind == "/FitR":
        left, top = _number(rest, 0), _number(rest, 3)
    else:
        left = top = None
    return Place(page, left, top)


def _number(rest: list[Any], k: int) -> float | None:
    try:
        return float(rest[k])
    except (IndexError, TypeError, ValueError):
        return None


def _bookmarks(reader: Any, outline: Any, level: int, pages: dict[int, int]) -> Iterator[Bookmark]:
    for item in outline:
        if isinstance(item, list):
            yield from _bookmarks(reader, item, level + 1, pages)
        else:
            yield Bookmark(level, str(item.title), _place(item.dest_array, pages).page)


def _active_file(reader: Any) -> Iterator[tuple[int | None, str]]:
    """What the whole file holds that could show or do more than the printed page."""
    root = reader.trailer["/Root"]
    names = root.get("/Names")
    if "/OCProperties" in root:
        yield None, "layers that can be shown or hidden"
    if "/AA" in root or (names is not None and "/JavaScript" in names.get_object()):
        yield None, "a script"
    opening = root.get("/OpenAction")
    if opening is not None and isinstance(opening.get_object(), dict):
        kind = str(opening.get_object().get("/S"))
        if kind != "/GoTo":
            yield None, f"an action that runs when the file opens ({kind.lstrip('/')})"
    form = root.get("/AcroForm")
    if form is not None and form.get_object().get("/Fields"):
        yield None, FIELDS[1]
    if form is not None and "/XFA" in form.get_object():
        yield None, "an XFA form"
