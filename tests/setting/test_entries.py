"""A new grid as YAML: the text itself, and what the manifest reads out of it again."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from packbuilder import manifest
from packbuilder.grid import Geometry, Values, blocks, irregular, latin, parse_grid
from packbuilder.puzzle import BEYOND, Grade, Promise
from packbuilder.setting.entries import as_manifest_entry
from packbuilder.setting.new_grid import NewGrid

JIGSAW = irregular("AABBB\nAACBB\nADCCE\nDDCEE\nDDCEE")


def grid_of(
    geometry: Geometry, clues: Values, grade: Grade = 2, needs: tuple[str, ...] = (), seed: int = 7
) -> NewGrid:
    """A grid for show: an entry is words about it, and does not ask whether they are true."""
    return NewGrid(
        geometry=geometry,
        clues=clues,
        solution=clues,
        grade=grade,
        hardest="naked-single",
        effort=12.25,
        symmetry="rotational",
        needs=needs,
        seed=seed,
        attempt=31,
        request="3f0a",
    )


def test_an_entry_in_full() -> None:
    clues = parse_grid("1....6 .2..5. ..3... ...4.. .5..2. 6....1", 6)
    grid = grid_of(blocks(3, 2), clues, needs=("hidden-triple", "naked-pair"))
    assert as_manifest_entry(grid, 3) == (
        "  # naked-single, effort 12; seed 7, attempt 31\n"
        "  - id: set-7-3f0a-3\n"
        "    title: Grid 3\n"
        "    size: 6\n"
        "    blocks: 3x2\n"
        "    grid: |\n"
        "      1. .. .6\n"
        "      .2 .. 5.\n"
        "      .. 3. ..\n"
        "      .. .4 ..\n"
        "      .5 .. 2.\n"
        "      6. .. .1\n"
        "    promise:\n"
        "      grade: 2\n"
        "      needs: [hidden-triple, naked-pair]\n"
        "      clues: 10\n"
        "      symmetry: rotational\n"
    )


GEOMETRIES = [
    blocks(3, 3),
    blocks(2, 3),
    blocks(3, 2),
    blocks(4, 4),
    latin(5),
    latin(9),
    JIGSAW,
]


@pytest.mark.parametrize("geometry", GEOMETRIES, ids=lambda g: g.name())
def test_a_manifest_reads_it_back(geometry: Geometry, write_pack: Callable[..., Path]) -> None:
    clues = tuple((i * 7) % (geometry.size + 1) for i in range(geometry.cell_count))
    entries = [as_manifest_entry(grid_of(geometry, clues, grade), k) for k, grade in GRADES]
    pack = manifest.load(write_pack("\n".join(entries)))
    for puzzle, (number, grade) in zip(pack.puzzles, GRADES, strict=True):
        assert (puzzle.id, puzzle.title) == (f"set-7-3f0a-{number}", f"Grid {number}")
        assert puzzle.clues == clues
        assert [h.cells for h in puzzle.geometry.houses] == [h.cells for h in geometry.houses]
        count = sum(v > 0 for v in clues)
        assert puzzle.promise == Promise(grade=grade, clues=count, symmetry="rotational")


def test_a_seed_of_any_length_makes_an_id_that_a_manifest_takes(
    write_pack: Callable[..., Path],
) -> None:
    clues = parse_grid("1....6 .2..5. ..3... ...4.. .5..2. 6....1", 6)
    entry = as_manifest_entry(grid_of(blocks(2, 3), clues, seed=10**60 + 7), 10**6)
    (puzzle,) = manifest.load(write_pack(entry)).puzzles
    assert puzzle.id == "set-10000000000000000000-3f0a-1000000"


GRADES: list[tuple[int, Grade]] = [(1, 4), (2, BEYOND)]
