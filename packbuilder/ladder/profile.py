"""Profile: where a solve is narrow, drawn as a strip of bars, one a step."""

from __future__ import annotations

from packbuilder.ladder.path import Path

BARS = "▁▂▃▄▅▆▇█"
"""One way on, two, ..., eight or more."""


def profile(path: Path, columns: int = 60) -> tuple[str, ...]:
    """The strip in lines of so many steps: ways on above, and below them the rung where it is 3 up.

    Raises ValueError for less than one column.
    """
    if columns < 1:
        raise ValueError("a strip needs at least one column")
    bars = "".join(BARS[min(ways, len(BARS)) - 1] for ways in path.ways())
    rungs = "".join(str(step.rung) if step.rung > 2 else " " for step in path.steps)
    lines = []
    for k in range(0, len(bars), columns):
        lines += [bars[k : k + columns], rungs[k : k + columns].rstrip()]
    return tuple(lines)
