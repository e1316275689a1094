"""What a reader is shown of each rule: the right case is right, the wrong one wrong, and only so.

The judges are the models of OR-Tools in `judge`, written from the manifest's text: a case is right
if a full grid with its digits keeps the rule, and wrong if none does but one without the rule has
them. Source of each rule: as the trade states it.
"""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest

from packbuilder.book.pictures import pictures
from packbuilder.grid import SYMBOLS, Geometry, blocks, default_shape, latin, parse_cell
from packbuilder.rules import kinds
from packbuilder.rules.cases import Case, Cases, Choices
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


SHOWN = [(slug, size) for slug in kinds() for size in (4, 6, 9, 16)]


@pytest.mark.parametrize("slug, size", SHOWN)
def test_cases_lie_near_the_corner_and_have_digits_of_the_grid(slug: str, size: int) -> None:
    """So that a picture of them is small; by the contract of `Kind.cases`."""
    for cases, geometry in shown(slug, size):
        for picture in pictures(kinds()[slug], cases, geometry):
            assert 2 <= picture.rows <= picture.columns <= size
            assert len(picture.digits) == picture.rows * picture.columns
            assert max(picture.digits) <= size
            assert all(picture.digits[cell] for cell in (*picture.ringed, *picture.grey))
            assert not any(picture.digits[cell] for cell in picture.crossed)


@pytest.mark.parametrize("slug, moves", [
    ("anti-king", {(a, b) for a in (-1, 0, 1) for b in (-1, 0, 1)} - {(0, 0)}),
    ("anti-knight", {(a, b) for a in (-2, -1, 1, 2) for b in (-2, -1, 1, 2) if abs(a * b) == 2}),
])  # fmt: skip
def test_the_whole_star_of_a_leap_is_crossed_and_its_centre_grey(
    slug: str, moves: set[tuple[int, int]]
) -> None:
    """All eight cells, those of its own row, column or block too: the moves of chess."""
    for size in (5, 6, 9):
        ((cases, geometry),) = shown(slug, size)
        star, right, wrong = pictures(kinds()[slug], cases, geometry)
        (centre,) = star.grey
        r, c = divmod(centre, star.columns)
        found = {divmod(cell, star.columns) for cell in star.crossed}
        assert found == {(r + down, c + along) for down, along in moves}
        (a, b) = (divmod(cell, wrong.columns) for cell in wrong.ringed)
        assert (b[0] - a[0], b[1] - a[1]) in moves
        (p, q) = (divmod(k, right.columns) for k, digit in enumerate(right.digits) if digit)
        assert (q[0] - p[0], q[1] - p[1]) not in moves


@pytest.mark.parametrize("size", [4, 5, 6, 9, 12])
def test_tables_have_all_that_may_go_together(size: int) -> None:
    """By trying all: three different digits of a sum; digits half the size apart or more."""
    digits = range(1, size + 1)
    for slug in ("cages", "whispers"):
        for cases, _ in shown(slug, size):
            if not isinstance(cases.aside, Choices):
                assert slug == "cages"  # without a sum
                continue
            rows = cases.aside.rows
            if slug == "cages":
                total = int(cases.aside.heads[0].split()[0])
                due = [t for t in combinations(digits, 3) if sum(t) == total]
                assert sorted(tuple(map(int, row[0].split(" + "))) for row in rows) == due
                assert sum(cases.right.digits.values()) == total
            else:
                for digit, row in zip(digits, rows, strict=True):
                    apart = [SYMBOLS[e] for e in digits if 2 * abs(e - digit) >= size]
                    assert row == (SYMBOLS[digit], " ".join(apart) or "nothing")
