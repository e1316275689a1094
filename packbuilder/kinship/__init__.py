"""Kinship: is this the same puzzle as that one, in whatever disguise?

Renaming the digits, swapping rows or columns that stand in one band, swapping whole bands, and
turning or mirroring the page change how a puzzle looks and nothing of how it is solved. What may be
done to a puzzle with rules is for its rules to say: lines may move where every shape stays a shape
of its rule, and digits may take one another's names as far as the narrowest rule lets them
(`rules.relations`). `canon` brings all disguises of a puzzle to one form, and no other puzzle.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from hashlib import sha256

from packbuilder.grid import Geometry, Values
from packbuilder.kinship.disguise import Disguise, Posed, carries, disguise
from packbuilder.kinship.forms import form_of, keys_of, ready
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import without_houses

__all__ = [
    "SMALL",
    "Disguise",
    "Posed",
    "carries",
    "disguise",
    "fingerprint",
    "fingerprints",
    "ready",
    "solution_fingerprint",
]

SMALL = 6
"""Up to this size solved grids are of so few kinds that two of one kind say nothing: of 6x6 with
blocks there are 49 (Russell and Jarvis)."""


def fingerprint(geometry: Geometry, clues: Values, parts: Sequence[Part] = ()) -> str:
    """A text of 32 hexadecimal digits that two puzzles share if one is the other in disguise.

    ``clues`` has an entry a cell, 0 for an empty one; ``parts`` are those of the puzzle's rules,
    the houses that they bring are in the geometry. The text never changes: not from machine to
    machine, nor between versions of anything. Raises ValueError where ``clues`` does not fit.
    """
    return _digest(form_of(geometry, clues, parts).key)


def fingerprints(geometry: Geometry, grids: Iterable[Values]) -> Iterator[str]:
    """`fingerprint` of each of many grids without rules, in order."""
    return map(_digest, keys_of(geometry, list(grids)))


def solution_fingerprint(
    geometry: Geometry, solution: Values, parts: Sequence[Part] = ()
) -> str | None:
    """`fingerprint` of a puzzle's solved grid: shared by puzzles that differ in a clue or two.

    Of small grids only with their rules (see `SMALL`): None where they have none.
    """
    if geometry.size > SMALL:
        return fingerprint(without_houses(geometry, parts), solution)
    return fingerprint(geometry, solution, parts) if parts else None


def _digest(key: bytes) -> str:
    return sha256(key).hexdigest()[:32]
