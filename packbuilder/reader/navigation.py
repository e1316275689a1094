"""Where the file leads its reader: named places and links, by pdfium."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from ctypes import byref, c_float, c_int, c_long
from typing import Any, NamedTuple

import pypdfium2.raw as pdfium

from packbuilder.reader.marks import Box

MOST = 100_000
"""Named places and links that are read: a pack has a few hundred."""

Places = dict[str, "Target"]
"""The named places of a file, by name."""


class Target(NamedTuple):
    """Where a destination leads: page from 1 (None: no page of the file), and the point there."""

    page: int | None
    left: float | None = None
    top: float | None = None

    def moved(self, dx: float, dy: float) -> Target:
        """The same place, measured from elsewhere."""
        left = None if self.left is None else self.left + dx
        return Target(self.page, left, None if self.top is None else self.top + dy)


class Link(NamedTuple):
    """A link on a page: the box to press, and where it leads.

    ``name`` is the name of the place it leads to, where that has one; ``uri`` an outside address;
    ``action`` what else pressing it does, which print cannot show.
    """

    box: Box
    name: str | None = None
    place: Target | None = None
    uri: str | None = None
    action: str | None = None


_ACTIONS = {
    pdfium.PDFACTION_REMOTEGOTO: "a jump into another file",
    pdfium.PDFACTION_LAUNCH: "a program",
    pdfium.PDFACTION_EMBEDDEDGOTO: "a jump into a file within",
    pdfium.PDFACTION_UNSUPPORTED: "an action of another kind",
}


def places(document: Any) -> Places:
    """The named places of an open pdfium document (its handle)."""
    found: Places = {}
    for k in range(min(pdfium.FPDF_CountNamedDests(document), MOST)):
        length = c_long(0)
        pdfium.FPDF_GetNamedDest(document, k, None, byref(length))
        name = ctypes.create_string_buffer(max(length.value, 2))
        target = pdfium.FPDF_GetNamedDest(document, k, name, byref(length))
        text = name.raw[: max(length.value - 2, 0)].decode("utf-16-le", "replace")
        found[text] = _target(document, target)
    return found


def links(document: Any, page: Any, named: Places) -> Iterator[Link]:
    """The links of a page (its handle), in their order; ``named`` are the places of the file."""
    by_place = {place: name for name, place in named.items()}
    position, link = c_int(0), pdfium.FPDF_LINK()
    for _ in range(MOST):
        if not pdfium.FPDFLink_Enumerate(page, byref(position), byref(link)):
            return
        rect = pdfium.FS_RECTF()
        pdfium.FPDFLink_GetAnnotRect(link, byref(rect))
        box = (rect.left, rect.bottom, rect.right, rect.top)
        yield _link(document, link, box, by_place)


def _link(document: Any, link: Any, box: Box, by_place: dict[Target, str]) -> Link:
    target = pdfium.FPDFLink_GetDest(document, link)
    action = pdfium.FPDFLink_GetAction(link)
    kind = pdfium.FPDFAction_GetType(action) if action else None
    if kind == pdfium.PDFACTION_URI:
        return Link(box, uri=_address(document, action))
    if kind in _ACTIONS:
        return Link(box, action=_ACTIONS[kind])
    place = _target(document, target)
    return Link(box, by_place.get(place), place)


def _target(document: Any, target: Any) -> Target:
    page = pdfium.FPDFDest_GetDestPageIndex(document, target) if target else -1
    if page < 0:
        return Target(None)
    across, up, zoomed = c_int(), c_int(), c_int()
    x, y, zoom = c_float(), c_float(), c_float()
    pdfium.FPDFDest_GetLocationInPage(
        target, byref(across), byref(up), byref(zoomed), byref(x), byref(y), byref(zoom)
    )
    left = round(x.value, 2) if across.value else None
    return Target(page + 1, left, round(y.value, 2) if up.value else None)


def _address(document: Any, action: Any) -> str:
    length = pdfium.FPDFAction_GetURIPath(document, action, None, 0)
    text = ctypes.create_string_buffer(max(length, 1))
    pdfium.FPDFAction_GetURIPath(document, action, text, length)
    return text.value.decode("utf-8", "replace")
