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

_TOLD = 3
"""How many findings of a kind are told of one page; the rest are counted."""


def differences(data: bytes, plan: Plan) -> Iterator[Finding]:
    """All that a file does not share with the plan that it was printed from."""
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
