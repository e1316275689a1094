"""What was a bug once is none now, and small damage to sound files is a fault for people.

That bad input never gives a traceback is this house's promise (common practice, no source).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzzing.targets import KEPT, TARGETS

FILES = [pytest.param(p, id=f"{p.parent.name}-{p.name}") for p in sorted(KEPT.glob("*/*"))]


@pytest.mark.parametrize("file", FILES)
def test_what_was_a_bug_once_is_none_now(file: Path) -> None:
    TARGETS[file.parent.name].try_out(file.read_bytes())


@pytest.mark.parametrize("name", [name for name in TARGETS if name != "print"])
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_damage_is_a_fault_for_people(name: str, data: st.DataObject) -> None:
    target = TARGETS[name]
    sound = bytearray(data.draw(st.sampled_from(target.seeds())))
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, max(0, len(sound) - 1)))
        cut = data.draw(st.integers(0, 8))
        sound[at : at + cut] = data.draw(st.binary(max_size=8))
    target.try_out(bytes(sound))
