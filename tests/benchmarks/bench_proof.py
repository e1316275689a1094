"""How fast grids are proved."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from functools import partial
from time import process_time

import numpy as np
from numpy.typing import NDArray

from packbuilder.grid import Geometry, Values, blocks, irregular, latin, parse_grid
from packbuilder.proof import grid_lines, kernel, sat
from packbuilder.proof.certify import certify
from tests.benchmarks import ROOT, Row, best, best_in_turn, data_file
from tests.conftest import EXAMPLE

NINE = blocks(3, 3)
PART = 400
"""Grids in a turn of the comparison with python-sat."""

IRREGULAR = irregular(
    "AAAABBBBB\nAAAAABBBB\nCCCDDDEEE\nCCCDDDEEE\nCCCDDDEEE\nFFFFGGGGG\nFFFFFGGGG\nHHHHHIIII\nHHHHIIIII"
)


def rows() -> Iterator[Row]:
    """Measure, from the most promised figure to the least."""
    kernel.ready()
    path = data_file("clue17.txt")
    if path is None:
        yield Row("uniqueness over 17-clue grids", "no data here")
    else:
        yield from _against_sat(grid_lines.cut(path.read_bytes()).grids)
        yield _both_cores(grid_lines.cut(path.read_bytes()).grids)
        yield _from_the_shell(str(path))
    for name in ("easy50.txt", "mixed.txt"):
        other = data_file(name)
        if other is not None:
            grids = grid_lines.cut(other.read_bytes()).grids
            seconds = best(partial(kernel.prove_many, NINE, grids, threads=1), clock=process_time)
            yield Row(f"uniqueness, {name}, one core", _micro(seconds / len(grids)))
    yield from _other_geometries()
    yield _counting()
    yield from _one_grid()
    yield _compiling()


def _against_sat(grids: NDArray[np.uint8]) -> Iterator[Row]:
    """One core against one, in turn, by processor time; the clauses are loaded before."""
    part = np.ascontiguousarray(grids[:: len(grids) // PART][:PART])
    listed = part.tolist()
    with sat.Prover(NINE) as ours, sat.Prover(NINE, engine="cadical153") as other:
        kernel_time, glucose, cadical = best_in_turn(
            [
                partial(kernel.prove_many, NINE, part, threads=1),
                lambda: [ours.prove(clues) for clues in listed],
                lambda: [other.prove(clues) for clues in listed],
            ]
        )
    whole = best(partial(kernel.prove_many, NINE, grids, threads=1), clock=process_time)
    yield Row("uniqueness, 17 clues, kernel, one core", _micro(whole / len(grids)), "10 µs")
    for what, seconds, target in (
        ("the same by the second proof (python-sat, Glucose 4); ratio", glucose, "35 times"),
        ("the same by python-sat's fastest here (CaDiCaL 1.5.3); ratio", cadical, ""),
    ):
        figure = f"{_micro(seconds / len(part))}; {seconds / kernel_time:.0f} times"
        yield Row(what, figure, target)


def _both_cores(grids: NDArray[np.uint8]) -> Row:
    many = np.concatenate([grids] * 4)
    seconds = best(partial(kernel.prove_many, NINE, many))
    return Row("the same, all cores, grids a second", f"{len(many) / seconds:,.0f}", "400,000")


def _from_the_shell(path: str) -> Row:
    command = [sys.executable, "-m", "packbuilder.cli", "prove", path]
    seconds = best(lambda: subprocess.run(command, capture_output=True, check=True, cwd=ROOT), 3)
    return Row("`prove` over the whole file, start included", f"{seconds:.2f} s", "2 s")


def _other_geometries() -> Iterator[Row]:
    for geometry in (blocks(2, 3), latin(9), IRREGULAR, blocks(3, 4), blocks(4, 4)):
        grids = np.array([_few_clues(geometry, seed) for seed in range(5)], np.uint8)
        seconds = best(partial(kernel.prove_many, geometry, grids, threads=1), clock=process_time)
        what = f"uniqueness, no clue to spare, {geometry.name()}"
        yield Row(what, _micro(seconds / len(grids)))


def _few_clues(geometry: Geometry, seed: int) -> Values:
    """A grid with one solution that can spare no clue."""
    grid = list(kernel.random_solution(geometry, seed))
    for cell in np.random.default_rng(seed).permutation(len(grid)).tolist():
        digit, grid[cell] = grid[cell], 0
        if kernel.prove(geometry, grid, node_limit=20_000).solutions != 1:
            grid[cell] = digit
    return tuple(grid)


def _counting() -> Row:
    found = 0

    def count() -> None:
        nonlocal found
        found = kernel.count(blocks(2, 3), (0,) * 36, limit=10**9)

    seconds = best(count, 1, process_time)
    return Row(f"counting the {found:,} grids of 6x6, one core", f"{seconds:.1f} s")


def _one_grid() -> Iterator[Row]:
    clues = parse_grid(EXAMPLE, 9)
    missing = (*clues[:30], *(0,) * 51)
    sixteen = blocks(4, 4)
    large = tuple(v if i % 2 else 0 for i, v in enumerate(kernel.random_solution(sixteen, 1)))
    for what, geometry, grid in (
        ("9x9, one solution", NINE, clues),
        ("9x9, several solutions", NINE, missing),
        ("9x9, clashing clues", NINE, (*clues[:2], 7, *clues[3:])),
        ("16x16", sixteen, large),
    ):
        seconds = best(partial(certify, geometry, grid))
        yield Row(f"both proofs of one grid with its mend, {what}", f"{seconds * 1e3:.0f} ms")
    seconds = best(lambda: [kernel.random_solution(NINE, seed) for seed in range(50)]) / 50
    yield Row("a random solved grid", _micro(seconds))


def _compiling() -> Row:
    code = "from packbuilder.proof import kernel; kernel.ready()"
    with tempfile.TemporaryDirectory() as folder:
        environment = {**os.environ, "PACKBUILDER_CACHE": folder}
        command = [sys.executable, "-c", code]
        run = partial(
            subprocess.run, command, env=environment, capture_output=True, check=True, cwd=ROOT
        )
        cold, warm = best(run, 1), best(run, 3)
    return Row("kernel ready: first use, later", f"{cold:.1f} s, {warm:.2f} s")


def _micro(seconds: float) -> str:
    return f"{seconds * 1e6:.1f} µs"
