"""A sample of the alterations of `tests.readback.thousand`: each kind once, and bits that turn."""

from __future__ import annotations

import random

import pytest

from packbuilder.readback import read
from tests.readback import kinds
from tests.readback.as_planned.plans import PRINTED, real
from tests.readback.thousand import TEXT, altered, bits, honest, of, refused


@pytest.mark.parametrize("edition", PRINTED)
def test_honest_files_pass(edition: str) -> None:
    """Else whatever is refused below would say nothing."""
    assert [one.words() for one in read(honest(edition), of(edition), real(edition)).findings] == []


@pytest.mark.parametrize("kind", [*kinds.kinds()])
def test_an_alteration_of_each_kind_is_refused(kind: str) -> None:
    rng = random.Random(kind)
    editions = [TEXT] if kind in kinds.LINES else rng.sample(PRINTED, len(PRINTED))
    one = next(filter(None, (altered(kind, edition, rng) for edition in editions)))
    assert refused(one)


def test_bits_that_turn_are_refused_wherever_a_viewer_shows_something_else() -> None:
    """`python -m tests.readback.thousand --bits --count 500` turns more of them."""
    found = list(bits(28, seed=2))
    assert not [edition for edition, shown, told in found if shown and not told]
    assert sum(shown for _, shown, _ in found) > 5
