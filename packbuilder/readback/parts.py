"""How the parts of a rule that are heard or read differ from the book's, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from packbuilder.readback.report import TOLD
from packbuilder.rules.contract import Part


def parts_amiss(found: Sequence[Part], due: Sequence[Part], size: int) -> Iterator[tuple[str, str]]:
    """A code of a finding, and its words: nothing where both have the same parts."""
    lost = list((Counter(due) - Counter(found)).elements())
    new = list((Counter(found) - Counter(due)).elements())
    if any(part.shapes() for part in (*lost, *new)):  # what follows from these is not told too
        lost, new = ([part for part in some if part.shapes()] for some in (lost, new))
    told = [f"{part.name(size)} is not printed as the book has it" for part in lost]
    told += [f"{part.name(size)} is printed, which the book does not have" for part in new]
    if told:
        code = "rule-wrong" if lost and new else "rule-missing" if lost else "rule-extra"
        more = f"; and {len(told) - TOLD} more" if len(told) > TOLD else ""
        yield code, "; ".join(told[:TOLD]) + more
