"""``python -m tests.legitimate [COUNT] [FIRST] [EDITION ...]``: so many packs, in every edition.

``two`` in place of editions: each pack in two of them, in turn. A line for each pack: what the gate
told of it, which editions were made, and what is wrong. Exit 1 if anything is.
"""

from __future__ import annotations

import sys

from packbuilder.editions import EDITIONS
from packbuilder.release.proof_cache import cached
from tests.legitimate.building import outcome

TWO = ("two",)


def main(count: int = 300, first: int = 0, editions: tuple[str, ...] = tuple(EDITIONS)) -> int:
    """Make the packs, and say what became of them."""
    prove, bad, total = cached(), 0, 0
    for seed in range(first, first + count):
        told, made, wrong = outcome(seed, _two(seed) if editions == TWO else editions, prove)
        bad, total = bad + bool(wrong), total + len(made)
        print(f"{seed}: made in {', '.join(made) or 'no edition'}", flush=True)
        for words in told:
            print(f"    told: {words}", flush=True)
        for words in wrong:
            print(f"    WRONG: {words}", flush=True)
    print(f"{count} packs in {total} editions, {bad} with something wrong")
    return int(bad > 0)


def _two(seed: int) -> tuple[str, str]:
    """Two editions that are three apart: in eight packs each edition comes twice."""
    names = [*EDITIONS]
    return names[seed % len(names)], names[(seed + 3) % len(names)]


if __name__ == "__main__":
    numbers, names = sys.argv[1:3], tuple(sys.argv[3:])
    sys.exit(main(*map(int, numbers), **({"editions": names} if names else {})))
