"""Rails run over every border between the places that they join, whatever stands in between."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from packbuilder.pages.grid_place import GridPlace
from packbuilder.pages.rails import rails

PLACE = GridPlace(0.0, 360.0, 40.0, 9)


@given(st.sets(st.integers(0, 8)), st.integers(2, 8), st.booleans())
def test_rails_run_over_every_border(full: set[int], last: int, down: bool) -> None:
    step = 9 if down else 1
    (trace,) = rails(PLACE, [(0, last * step)], {cell * step for cell in full}, ())
    for border in range(1, last + 1):
        at = 40.0 * border
        sides = set()
        for run in trace.runs:
            ends = sorted(360.0 - y if down else x for x, y in run)
            if ends[0] - 0.01 <= at <= ends[-1] + 0.01:
                sides.add(round(run[0][0] if down else run[0][1], 2))
        assert len(sides) == 2
