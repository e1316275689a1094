"""Where the links of a file lead its reader, by pdfium."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from ctypes import byref, c_int
from typing import Any, NamedTuple

import pypdfium2.raw as pdfium

from packbuilder.reader.marks import Box

MOST = 100_000
"""Links of a page that are read: a pack has a few hundred."""


class Link(NamedTuple):
    """A link on a page: the box to press, and where it leads.

    ``page`` is counted from 1, None where it is none of the file; ``uri`` is an outside address;
    ``action`` what else pressing it does, which print cannot show.
    """

    box: Box
    page: int | None = None
    uri: str | None = None
    action: str | None = None


_ACTIONS = {
    pdfium.PDFACTION_REMOTEGOTO: "a jump into another file",
    pdfium.PDFACTION_LAUNCH: "a program",
    pdfium.PDFACTION_EMBEDDEDGOTO: "a jump into a file within",
    pdfium.PDFACTION_UNSUPPORTED: "an action of another kind",
}


def links(document: Any, page: Any) -> Iterator[Link]:
    """The links of a page (its handle), in their order."""
    position, link = c_int(0), pdfium.FPDF_LINK()
    for _ in range(MOST):
        if not pdfium.FPDFLink_Enumerate(page, byref(position), byref(link)):
            return
        rect = pdfium.FS_RECTF()
        pdfium.FPDFLink_GetAnnotRect(link, byref(rect))
        box = (rect.left, rect.bottom, rect.right, rect.top)
        yield _link(document, link, box)


def _link(document: Any, link: Any, box: Box) -> Link:
    target = pdfium.FPDFLink_GetDest(document, link)
    action = pdfium.FPDFLink_GetAction(link)
    kind = pdfium.FPDFAction_GetType(action) if action else None
    if kind == pdfium.PDFACTION_URI:
        return Link(box, uri=_address(document, action))
    if kind in _ACTIONS:
        return Link(box, action=_ACTIONS[kind])
    return Link(box, _page(document, target))


def _page(document: Any, target: Any) -> int | None:
    page = pdfium.FPDFDest_GetDestPageIndex(document, target) if target else -1
    return page + 1 if page >= 0 else None


def _address(document: Any, action: Any) -> str:
    length = pdfium.FPDFAction_GetURIPath(document, action, None, 0)
    text = ctypes.create_string_buffer(max(length, 1))
    pdfium.FPDFAction_GetURIPath(document, action, text, length)
    return text.value.decode("utf-8", "replace")
