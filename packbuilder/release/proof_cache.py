"""Proofs of printed grids that are remembered: every edition prints the same grids."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from packbuilder.grid import Geometry, Values
from packbuilder.proof.verdict import Verdict
from packbuilder.readback.uniqueness import Prove, by_engines
from packbuilder.rules.contract import Part


def cached(prove: Prove = by_engines) -> Prove:
    """The same proof, made once for each grid as it stands in print.

    What is remembered is the verdict on digits, houses and rules that were read from print, so a
    grid that is printed otherwise in one edition is proved anew.
    """
    known = cache(prove)

    def once(geometry: Geometry, clues: Values, parts: Sequence[Part]) -> Verdict:
        return known(geometry, tuple(clues), tuple(parts))

    return once
