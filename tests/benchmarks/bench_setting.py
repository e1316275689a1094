"""What setting costs: stripped grids, grids in fixed pictures, techniques, and own designs.

Times are seconds of the processor, of this process alone and of one core: other work on the machine
only ever slows a search. Medians are over ten seeds; a picture without a name is the same half-turn
picture for all of them.
"""

from __future__ import annotations

import os
import statistics
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, process_time
from typing import Any

from packbuilder.errors import Unfinished
from packbuilder.grid import blocks
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import kernel, picture_kernel
from packbuilder.setting.design_file import read_design
from packbuilder.setting.month import Month
from packbuilder.setting.picture import Picture, find_picture, read_picture
from packbuilder.setting.removal import remove
from packbuilder.setting.request import Request
from packbuilder.setting.search import Search
from packbuilder.setting.wishes import read_wishes
from packbuilder.symmetry import orbits
from tests.benchmarks import Row

CLASSIC = blocks(3, 3)
BATCH, BATCHES = 128, 6
BUDGET = 60.0
SEEDS = range(1, 11)

HALF_TURN = {
    28: "....#.... #....#... .###.##.. .#..#..## .##...##. ##..#..#. ..##.###. ...#....# ....#....",
    26: "..#...#.. .#..#..#. #..#....# ..#..#... .##...##. ...#..#.. #....#..# .#..#..#. ..#...#..",
    24: "#...#..#. ..#..#... .#....#.# ...##..#. ..#...#.. .#..##... #.#....#. ...#..#.. .#..#...#",
}
TARGETS = {"skyscraper": "1 s", "hidden-triple": "3 s", "x-wing": "5 s", "swordfish": "30 s"}


def rows() -> Iterator[Row]:
    """(what, figure, target) of each measurement."""
    kernel.ready()
    picture_kernel.run.ready()
    yield _minimal_grids()
    for clues, target in ((26, "10 ms"), (24, "50 ms")):
        yield _first(f"a grid in a fixed half-turn picture of {clues}", half_turn(clues), target)
    for name in ("arrow", "heart"):
        yield _first(
            f"a grid in our {name} of 24", find_picture(name), "2 s for 95 in 100", many=40
        )
    for slug in DEFAULT.slugs:
        if DEFAULT.rung_of(slug) > 2:
            yield _technique(slug)
    yield _five_x_wings()
    yield _design()
    yield _month()


def half_turn(clues: int) -> Picture:
    """The picture with so many clues."""
    return read_picture(HALF_TURN[clues].replace(" ", "\n"), "half-turn")


def _minimal_grids() -> Row:
    places = orbits("none", 9)
    times = []
    for k in range(BATCHES):
        start = process_time()
        remove(CLASSIC, places, range(k * BATCH, (k + 1) * BATCH), seed="bench")
        times.append(process_time() - start)
    figure = f"{BATCH / min(times):,.0f} a second"
    return Row("minimal grids by removal", figure, "3,000 a second")


def _first(what: str, picture: Picture, target: str, many: int = 10) -> Row:
    times = sorted(_seconds(picture, seed) * 1000 for seed in range(1, many + 1))
    worst = times[int(0.95 * (len(times) - 1))]
    figure = f"{statistics.median(times):.0f} ms median, {worst:.0f} ms for 95 in 100"
    return Row(what, figure, target)


def _technique(slug: str) -> Row:
    times = [_seconds(half_turn(28), seed, needs=(slug,)) for seed in SEEDS]
    found = [time for time in times if time < BUDGET]
    figure = f"{statistics.median(times):.2f} s median, {max(times):.2f} s worst"
    if len(found) < len(times):
        figure = f"{len(found)} of {len(times)} within {BUDGET:.0f} s, {figure}"
    return Row(f"needs {slug}, in a picture of 28", figure, TARGETS.get(slug, "60 s"))


def _seconds(picture: Picture, seed: int, **asked: Any) -> float:
    """For one grid; at least `BUDGET` where none was found."""
    request = Request(CLASSIC, picture.span, picture=picture, **asked)
    start = process_time()
    try:
        next(iter(Search(request, 1, seed=seed, budget=BUDGET)))
    except Unfinished:
        return BUDGET
    return process_time() - start


def _five_x_wings() -> Row:
    request = Request(CLASSIC, (24, 30), "rotational", needs=("x-wing",), no_notes=3)
    start = process_time()
    search = Search(request, 5, seed=1, budget=BUDGET)
    try:
        found = len(list(search))
    except Unfinished:
        found = search.found
    figure = f"{found} of 5 in {process_time() - start:.1f} s"
    return Row("half-turn grids that need an X-wing, no notes, 3 marks", figure, "5 in 60 s")


DESIGN = """\
rules:
  - thermometers: [r1c1 r1c2 r1c3 r1c4, r9c9 r9c8 r9c7 r9c6, r4c1 r5c1 r6c1 r7c1,
                   r6c9 r5c9 r4c9 r3c9]
  - cages:
      picture: |
        .........
        .aa...bb.
        .a.....b.
        ...ccc...
        ..d...e..
        ..d.f.e..
        .ggg.hhh.
        .........
        .ii......
      sums: {a: ?, b: ?, c: ?, d: ?, e: ?, f: 7, g: ?, h: ?, i: ?}
promise: {clues: 0-8}
"""


def _design() -> Row:
    times = []
    with TemporaryDirectory() as folder:
        file = Path(folder) / "design.yaml"
        file.write_text(DESIGN, encoding="utf-8")
        request = read_design(file).request
    for seed in SEEDS:
        start = process_time()
        with suppress(Unfinished):
            next(iter(Search(request, 1, seed=seed, budget=BUDGET)))
        times.append(process_time() - start)
    figure = f"{statistics.median(times):.1f} s median, {max(times):.1f} s worst"
    return Row("a design of 9 cages and 4 thermometers, 8 clues at the most", figure, "60 s")


MONTH = """\
- grade: 1
- {grade: 1, symmetry: vertical}
- grade: 2
- {grade: 2, size: 6}
- grade: 3
- {grade: 3, symmetry: diagonal}
- grade: 4
- {grade: 4, symmetry: horizontal}
- grade: 5
- {grade: 5, symmetry: quarter-turn}
- grade: 6
- {picture: heart, grade: 3}
- picture: arrow
- {needs: [skyscraper], picture: ring, no-notes: 3}
- {needs: [skyscraper], no-notes: 3}
- {needs: [skyscraper], symmetry: diagonal, no-notes: 3}
- {rules: [thermometers], grade: 3}
- {rules: [cages], grade: 4}
"""


def _month() -> Row:
    with TemporaryDirectory() as folder:
        file = Path(folder) / "month.yaml"
        file.write_text(MONTH, encoding="utf-8")
        start = perf_counter()
        month = Month(read_wishes(file, 1), budget=300.0, workers=os.cpu_count() or 1)
        with suppress(Unfinished):
            list(month)
        took = perf_counter() - start
    what = "a month of 18: grades 1 to 6, two pictures, three skyscrapers by looking, two rules"
    return Row(what, f"{month.found} of {month.count} in {took:.0f} s, all cores", "18 in 300 s")


if __name__ == "__main__":
    for row in rows():
        print(" | ".join(row), flush=True)
