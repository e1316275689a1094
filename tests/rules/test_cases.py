"""What a reader is shown of each rule: the right case is right, the wrong one wrong, and only so.

The judges are the models of OR-Tools in `judge`, written from the manifest's text: a case is right
if a full grid with its digits keeps the rule, and wrong if none does but one without the rule has
them. Source of each rule: as the trade states it.
"""

from __future__ import annotations

from typing import Any

import pytest

from packbuilder.book.pictures import Picture, pictures
from packbuilder.grid import Geometry, blocks, default_shape, latin, parse_cell
from packbuilder.rules import kinds
from packbuilder.rules.cases import Case, Cases, Choices, Star
from tests.rules.judge import solutions
from tests.words.said import ALL, options

SIZES = [4, 5, 6, 7, 9, 12]


def usual(size: int) -> Geometry:
    shape = default_shape(size)
    return blocks(*shape) if shape else latin(size)


def shown(slug: str, size: int) -> list[tuple[Cases, Geometry]]:
    """The cases of a rule, for each thing that its wording may depend on."""
    kind, geometry = kinds()[slug], usual(size)
    parts = {option: kind.read(value, latin(size)) for option, value in options(slug, size).items()}
    return [(kind.cases(some, geometry), geometry) for some in parts.values()]


def is_ever_kept(slug: str, geometry: Geometry) -> bool:
    """Whether any grid keeps a rule that has no clues: no 4x4 grid keeps anti-king."""
    n = geometry.size
    return options(slug, n) != ALL or bool(
        solutions(n, geometry.shape, [0] * n * n, [(slug, None)], limit=1)
    )


def possible(case: Case, geometry: Geometry, slug: str | None) -> bool:
    clues = [0] * geometry.cell_count
    for name, digit in case.digits.items():
        clues[parse_cell(name, geometry.size)] = digit
    rules: list[tuple[str, Any]] = [(slug, case.value)] if slug else []
    return bool(solutions(geometry.size, geometry.shape, clues, rules, limit=1))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("slug", kinds())
def test_a_right_case_is_right_and_a_wrong_one_breaks_the_rule_alone(slug: str, size: int) -> None:
    if not is_ever_kept(slug, usual(size)):
        pytest.skip("no grid of this size keeps the rule")
    for cases, geometry in shown(slug, size):
        assert possible(cases.right, geometry, slug), cases.right
        assert possible(cases.wrong, geometry, None), cases.wrong
        assert not possible(cases.wrong, geometry, slug), cases.wrong
        assert not cases.right.ringed
        assert cases.wrong.ringed
