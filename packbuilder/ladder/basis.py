"""Basis: what a strike rests on, told in the two ways in which candidates are seen to be gone.

Of some houses it says that they hold a digit to the cells of the step; of some cells, that they
have no other digits than they have. Whatever else it reasons, it reasons from these.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from packbuilder.grid import Geometry
from packbuilder.ladder.step import Step
from packbuilder.ladder.techniques.fish import bases_of


class Basis(NamedTuple):
    """``held``: (house, digit) pairs that have all their places among the cells of the step.
    ``bare``: cells of which each candidate counts.
    """

    held: tuple[tuple[int, int], ...] = ()
    bare: tuple[int, ...] = ()


def basis_of(step: Step, geometry: Geometry) -> Basis | None:
    """The basis of a strike; None where the step does not show it."""
    find = _BASES.get(step.technique)
    return find(step, geometry) if find else None


def _first_house(step: Step, _geometry: Geometry) -> Basis:
    return Basis(tuple((step.houses[0], d) for d in step.digits))


def _two_houses(step: Step, _geometry: Geometry) -> Basis:
    return Basis(tuple((h, step.digits[0]) for h in step.houses[:2]))


def _cells(step: Step, _geometry: Geometry) -> Basis:
    return Basis(bare=step.cells)


def _fish(step: Step, geometry: Geometry) -> Basis:
    return Basis(tuple((h, step.digits[0]) for h in bases_of(step, geometry)))


def _w_wing(step: Step, _geometry: Geometry) -> Basis:
    return Basis(((step.houses[0], step.digits[0]),), (step.cells[0], step.cells[-1]))


def _ties(step: Step, _geometry: Geometry) -> Basis:
    return Basis(tuple((h, step.digits[0]) for h in step.ties))


def _chain(step: Step, _geometry: Geometry) -> Basis:
    """From what is false to what is then true: the only other place, or the only other digit."""
    held, bare = list[tuple[int, int]](), list[int]()
    for k in range(0, len(step.nodes) - 1, 2):
        ((cell, *_), d), (_, e) = step.nodes[k : k + 2]
        if d == e:
            held.append((step.ties[k], d))
        else:
            bare.append(cell)
    return Basis(tuple(dict.fromkeys(held)), tuple(dict.fromkeys(bare)))


def _rectangle_4(step: Step, _geometry: Geometry) -> Basis:
    return Basis(((step.houses[0], step.digits[0]),), step.cells[:2])


def _three_corners(step: Step, _geometry: Geometry) -> Basis:
    return Basis(bare=step.cells[:3])


_BASES: dict[str, Callable[[Step, Geometry], Basis]] = {
    **dict.fromkeys(("pointing", "claiming"), _first_house),
    **dict.fromkeys((f"{kind}-{n}" for kind in ("locked", "naked") for n in
                     ("pair", "triple", "quad")), _cells),
    **dict.fromkeys(("hidden-pair", "hidden-triple", "hidden-quad"), _first_house),
    **dict.fromkeys(("x-wing", "swordfish", "jellyfish"), _fish),
    **dict.fromkeys(("finned-x-wing", "finned-swordfish"), _fish),
    **dict.fromkeys(("skyscraper", "two-string-kite", "empty-rectangle"), _two_houses),
    **dict.fromkeys(("xy-wing", "xyz-wing", "almost-locked-sets"), _cells),
    "w-wing": _w_wing,
    "simple-colouring": _ties,
    **dict.fromkeys(("chain", "xy-chain"), _chain),
    "unique-rectangle-1": _three_corners,
    **dict.fromkeys(("unique-rectangle-2", "unique-rectangle-3"), _cells),
    "unique-rectangle-4": _rectangle_4,
}  # fmt: skip
"""For each technique that shows it, how. A forcing or a refutation tells its links in words only;
and what a rule needs, its part must say."""

COUNTS_ALL = ("bivalue-universal-grave",)
"""The techniques that count every candidate of the grid."""
