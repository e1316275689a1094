"""A thousand alterations of finished files, in all editions; how many the read-back finds.

`python -m tests.readback.thousand [--count 1000] [--seed 1] [--eyes]` prints a table by kind and
edition, and every alteration that passed. Asked is the verdict of a build: both proofs. With
``--eyes`` only the first one is, what a reader sees is the book, which does not know the plan: that
is what finds a fault of whoever made the plan.
"""

from __future__ import annotations

import argparse
import io
import random
from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import cycle, islice
from typing import NamedTuple

import numpy as np
import pypdfium2

from packbuilder import plaintext
from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.editions import EDITIONS
from packbuilder.errors import InputError
from packbuilder.plan.items import Plan
from packbuilder.readback import read, read_text
from packbuilder.readback.as_planned import differences
from tests.readback import kinds
from tests.readback.as_planned.plans import PRINTED, book, printed, real, reprinted
from tests.readback.as_planned.sealing import sealed

TEXT = "text"


class Altered(NamedTuple):
    """An altered file: of which edition, by which kind of alteration, and the bytes."""

    edition: str
    kind: str
    data: bytes


@cache
def honest(edition: str) -> bytes:
    if edition != TEXT:
        return printed(real(edition))
    out = io.BytesIO()
    plaintext.write_text(plaintext.outline_of(of(TEXT)), out)
    return out.getvalue()


@cache
def of(edition: str) -> Book:
    return book_of(book(), EDITIONS[edition])


def altered(kind: str, edition: str, rng: random.Random) -> Altered | None:
    """A file altered in that way, other than the honest one; None where the edition has nothing
    that could be."""
    for _ in range(20):
        try:
            data = _altered(kind, edition, rng)
        except (LookupError, AssertionError):  # nothing there, or no such object
            continue
        if data is not None and data != honest(edition):
            return Altered(edition, kind, data)
    return None


def _altered(kind: str, edition: str, rng: random.Random) -> bytes | None:
    if kind in kinds.BYTES:
        return kinds.BYTES[kind](honest(edition), rng)
    if edition == TEXT:
        lines = kinds.LINES[kind](honest(edition).decode().split("\n"), rng)
        return "\n".join(lines).encode()
    if kind in kinds.OBJECTS:
        return sealed(real(edition), kinds.OBJECTS[kind](rng))
    return reprinted(kinds.PLANS[kind](real(edition), rng))


def alterations(count: int, seed: int) -> Iterator[Altered]:
    """So many, by turns of every kind, and by turns of every edition."""
    rng = random.Random(seed)
    pdfs, found = cycle(PRINTED), 0
    editions = cycle((*PRINTED, TEXT))
    for kind in cycle(kinds.kinds()):
        if found == count:
            return
        if kind in kinds.LINES:
            some = [TEXT]
        elif kind in kinds.BYTES:
            some = [next(editions)]
        else:
            some = list(islice(pdfs, len(PRINTED) + 1))  # one on, each time
        one = next(filter(None, (altered(kind, edition, rng) for edition in some)), None)
        if one:
            found += 1
            yield one


def refused(one: Altered, *, eyes: bool = False) -> bool:
    """Whether the read-back finds anything in it; of a reader's ``eyes``, without the plan."""
    try:
        if one.edition == TEXT:
            return not read_text(one.data, of(TEXT), plaintext.outline_of(of(TEXT))).ok
        if not eyes and next(differences(one.data, real(one.edition)), None):
            return True
        return not read(one.data, of(one.edition)).ok
    except InputError:
        return True


def looks_like(data: bytes, plan: Plan) -> bool:
    """Whether a viewer shows the very same pixels, page by page, as of the honest file."""
    try:
        pages = pypdfium2.PdfDocument(data)
        if len(pages) != len(_pictures(plan.edition.name)):
            return False
        return all(
            np.array_equal(_picture(page), other)
            for page, other in zip(pages, _pictures(plan.edition.name), strict=True)
        )
    except pypdfium2.PdfiumError:
        return False


def _picture(page: pypdfium2.PdfPage) -> np.ndarray:
    return page.render(scale=1.0, grayscale=True).to_numpy().copy()


@cache
def _pictures(edition: str) -> list[np.ndarray]:
    return [_picture(page) for page in pypdfium2.PdfDocument(honest(edition))]


def bits(count: int, seed: int) -> Iterator[tuple[str, bool, bool]]:
    """Bits that turn: the edition, whether a viewer shows another thing, whether it was refused."""
    rng = random.Random(seed)
    for edition in islice(cycle(PRINTED), count):
        data = kinds.bit(honest(edition), rng)
        told = refused(Altered(edition, "bit", data))
        yield edition, not looks_like(data, real(edition)), told


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=1000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--eyes", action="store_true", help="the first proof alone")
    asked.add_argument("--bits", action="store_true", help="only bits, held against pixels")
    how = asked.parse_args()
    if how.bits:
        _tell_bits(list(bits(how.count, how.seed)))
        return
    made: Counter[tuple[str, str]] = Counter()
    caught: Counter[tuple[str, str]] = Counter()
    for number, one in enumerate(alterations(how.count, how.seed), start=1):
        made[one.kind, one.edition] += 1
        if refused(one, eyes=how.eyes):
            caught[one.kind, one.edition] += 1
        else:
            print(f"passed: {number}, {one.kind}, {one.edition}", flush=True)
    for place, of_what in ((0, "kind"), (1, "edition")):
        print(f"\n{of_what:34} altered  found")
        for name in dict.fromkeys(key[place] for key in made):
            some = [key for key in made if key[place] == name]
            total = sum(made[key] for key in some)
            print(f"{name:34} {total:7}  {sum(caught[key] for key in some):5}")
    print(f"\n{made.total()} alterations of {len({kind for kind, _ in made})} kinds; "
          f"{caught.total()} found")  # fmt: skip


def _tell_bits(found: list[tuple[str, bool, bool]]) -> None:
    shown = [one for one in found if one[1]]
    print(f"{len(found)} bits turned; {len(shown)} files show something else, "
          f"{sum(not told for *_, told in shown)} of them passed; "
          f"{sum(not told for *_, told in found)} of all passed")  # fmt: skip


if __name__ == "__main__":
    main()
