"""Comparing: a file against a plan, page by page; nothing is kept but findings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from packbuilder.plan.imposition import sides
from packbuilder.plan.items import Plan
from packbuilder.readback.as_planned.document import Document
from packbuilder.readback.as_planned.file import File
from packbuilder.readback.as_planned.objects import Comparison
from packbuilder.readback.as_planned.syntax import Damaged
from packbuilder.readback.report import Finding

CODES = {
    "file-damaged": "the file is not, byte for byte, built as this program builds files",
    "file-entries": "the catalogue of the file holds more, less or something else than planned",
    "not-as-planned": "a page shows more, less or something else than planned, or elsewhere",
    "page-entries": "the boxes of a page, or what else it has beside its marks, are not as planned",
    "font": "a font is not the house's own, letter by letter, or does not say what it shows",
    "tag": "what a screen reader is told is not what is planned",
    "link": "a link is not where it must be, or does not lead where it must",
    "field": "a field to type in is not where it must be, or is not made as it must be",
    "bookmark": "bookmarks, named places or labels of pages are not as planned",
    "metadata": "what the file says of itself is not as planned",
}
"""The codes of these findings, with what each means."""

MEND = (
    "no file is mended by hand: fetch it anew or build the edition again; where it has only just "
    "been built, the fault is in the program"
)
"""What to do about any of them."""

_TOLD = 3
"""How many findings of a kind are told of one page; the rest are counted."""


def differences(data: bytes, plan: Plan) -> Iterator[Finding]:
    """All that a file does not share with the plan that it was printed from.

    A file that another version of packbuilder made is not to be asked: see `made_by`.
    """
    told: Counter[tuple[int | None, str]] = Counter()
    for finding in _all(data, plan):
        kind = finding.page, finding.code
        told[kind] += 1
        if told[kind] <= _TOLD:
            yield finding
    for (page, code), count in told.items():
        if count > _TOLD:
            yield Finding(code, f"{count - _TOLD} more of this kind", page)


def _all(data: bytes, plan: Plan) -> Iterator[Finding]:
    try:
        file = File(data, len(sides(plan)))
        document, comparison, count = Document(plan, file), Comparison(file), 0
        for planned, ref in ((document.catalogue, file.root), (document.information, file.info)):
            for finding in comparison.findings(planned, ref):
                count += 1
                yield finding
        for name in document.unused():
            yield Finding("font", f"the font {name} sets no letter")
        if not count and (rest := file.rest()):
            yield Finding("file-damaged", f"it holds {rest} objects that nothing leads to")
    except Damaged as damage:
        yield Finding("file-damaged", f"this is not the file as it was made: {damage}")
