"""Whatever the gate lets pass is built, in every edition; or it has said why, and how to mend it.

Some packs of those that `python -m tests.legitimate` makes by hundreds: those of few puzzles.
"""

from __future__ import annotations

import re

import pytest

from packbuilder.editions import EDITIONS
from packbuilder.release.proof_cache import cached
from tests.legitimate.building import outcome

SEEDS = (6, 12, 13, 108, 1870, 1943)
PROVE = cached()


@pytest.mark.parametrize("seed", SEEDS)
def test_what_passes_the_gate_is_built(seed: int) -> None:
    made = outcome(seed, list(EDITIONS)[seed % 3 :: 3], PROVE)
    assert not made.wrong
    for words in made.told:
        assert re.fullmatch(r"[a-z-]+: .{10,} \| .{10,}", words)  # what is wrong, and a mend
