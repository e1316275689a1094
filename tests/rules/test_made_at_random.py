"""Rules on grids made at random: both engines and OR-Tools agree; nothing that holds is struck.

Lines have tests of their own (`test_lines_alike`), and so have rules of the whole grid.
"""

from __future__ import annotations

from typing import NamedTuple

import pytest

from tests.rules import random_values
from tests.rules.checks import check_against_judge, check_all, check_round_trip


class Trial(NamedTuple):
    """Seeds for the judge with clues shown, and the least deductions seen in small and in large."""

    seeds: int = 10
    clues: int = 4
    small: int = 0
    large: int = 0


TRIALS = {
    "cages": Trial(12, small=500, large=100),
    "dots": Trial(14, small=200),
    "extra-regions": Trial(8, clues=9),
    "inequalities": Trial(14, small=200),
    "little-sums": Trial(small=200, large=20),
    "parity": Trial(clues=8, small=50),
    "sandwich": Trial(small=250, large=30),
    "sightlines": Trial(small=500, large=50),
    "xv": Trial(14, small=200),
}
MAKERS = {slug: getattr(random_values, slug.replace("-", "_")) for slug in TRIALS}


@pytest.mark.parametrize(
    ("slug", "seed"), [(slug, seed) for slug, one in TRIALS.items() for seed in range(one.seeds)]
)
def test_engines_and_judge_agree(slug: str, seed: int) -> None:
    size = 5 + seed % 2 if slug == "sightlines" else 6
    check_against_judge(slug, MAKERS[slug], seed, size=size, clues=TRIALS[slug].clues)


@pytest.mark.parametrize("slug", [slug for slug, one in TRIALS.items() if one.small])
def test_sound_exact_and_read_back(slug: str) -> None:
    assert check_all(slug, MAKERS[slug], range(25)) > TRIALS[slug].small
    assert check_all(slug, MAKERS[slug], range(3), sizes=(9, 16)) > TRIALS[slug].large


@pytest.mark.parametrize("seed", range(30))
def test_regions_are_read_back(seed: int) -> None:
    check_round_trip("extra-regions", MAKERS["extra-regions"], seed, 9)
