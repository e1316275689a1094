"""A sample of the alterations of `tests.gate_alterations`: each kind once."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.gate_alterations import KINDS, Broken, bare, bases, broken, refused


@pytest.mark.parametrize("kind", KINDS)
def test_a_broken_promise_of_each_kind_is_refused(kind: str, tmp_path: Path) -> None:
    one = broken(kind, random.Random(kind))
    assert one is not None
    assert refused(one, tmp_path)


def test_good_manifests_pass(tmp_path: Path) -> None:
    """Else whatever is refused above would say nothing."""
    assert len(bases()) > 30
    assert not [base.entry["id"] for base in random.Random(1).sample(bases(), 5)
                if refused(Broken("", [bare(base)]), tmp_path)]  # fmt: skip
