"""Forcing against a graph of implications, walked by networkx; and positions set up by hand.

Common practice, no source: what forcing is.
"""

from __future__ import annotations

import random
from collections.abc import Iterator

import networkx as nx
import pytest

from packbuilder.grid import Geometry, blocks
from packbuilder.ladder.bit_layout import cells_in
from packbuilder.ladder.table import DEFAULT
from tests.ladder.definitions import Candidates, Removal, full_houses, places
from tests.ladder.positions import leave_only, only_in, random_board
from tests.ladder.test_by_hand import empty, removed
from tests.ladder.test_chains import Node, seen, ties
from tests.ladder.test_definitions import found, sets

Pair = tuple[int, int]


def implications(geometry: Geometry, candidates: Candidates) -> nx.DiGraph:
    """Which node makes which other true, by way of one that is false."""
    graph = nx.DiGraph()
    tied = ties(geometry, candidates, cells_only=False)
    nodes: set[Node] = {node for tie in tied for node in tie}
    nodes |= {(frozenset({c}), d) for c, ds in enumerate(candidates) for d in ds}
    graph.add_nodes_from(nodes)
    sights = {node: seen(node, geometry, candidates) for node in nodes}
    for one, other in map(tuple, tied):
        for false, true in ((one, other), (other, one)):
            cells = {(cell, false[1]) for cell in false[0]}
            graph.add_edges_from((start, true) for start in nodes if cells <= sights[start])
    return graph


def choices(geometry: Geometry, candidates: Candidates, slug: str) -> Iterator[list[Pair]]:
    """Three candidates or more of which one is true."""
    if slug == "forcing-cell":
        yield from ([(c, d) for d in ds] for c, ds in enumerate(candidates) if len(ds) > 2)
        return
    for house in full_houses(geometry):
        for d in range(1, geometry.size + 1):
            if len(here := places(house, d, candidates)) > 2:
                yield [(cell, d) for cell in here]


def by_graph(geometry: Geometry, candidates: Candidates, slug: str) -> set[Removal]:
    """What every candidate of a choice rules out, by the shortest longest way, then in all."""
    graph = implications(geometry, candidates)
    sights = {node: seen(node, geometry, candidates) for node in graph}
    far: dict[Pair, dict[Pair, int]] = {}
    for cell, ds in enumerate(candidates):
        for d in ds:
            start, ends = (frozenset({cell}), d), dict[Pair, int]()
            for node, steps in nx.single_source_shortest_path_length(graph, start).items():
                for gone in sights[node]:
                    ends[gone] = min(steps, ends.get(gone, steps))
            far[cell, d] = ends
    best: dict[tuple[int, int], set[Removal]] = {}
    for choice in choices(geometry, candidates, slug):
        for gone in set.intersection(*(set(far[start]) for start in choice)):
            steps = [far[start][gone] for start in choice]
            best.setdefault((max(steps), sum(steps)), set()).add(frozenset({gone}))
    return best[min(best)] if best else set()


@pytest.mark.parametrize("slug", ["forcing-cell", "forcing-house"])
def test_the_shortest_forcing_is_found(slug: str) -> None:
    hits = 0
    technique = DEFAULT.named(slug)
    for name in ("9x9", "6x6", "latin 6", "irregular 6", "diagonals 6"):
        rng = random.Random(f"{slug} {name}")
        for _ in range(4 if name == "9x9" else 20):
            board, full = random_board(name, rng)
            geometry = board.fields.geometry
            expected = by_graph(geometry, sets(board), slug)
            assert found(board, slug) == expected
            assert all(full[cell] != d for removal in expected for cell, d in removal)
            # All at once: what the longest ways strike, whatever they are in all.
            assert technique.sweep
            count = board.fields.cell_count
            swept = {(bit % count, bit // count + 1) for bit in cells_in(technique.sweep(board))}
            assert swept >= {pair for removal in expected for pair in removal}
            assert bool(swept) == bool(expected)
            assert all(full[cell] != d for cell, d in swept)
            hits += bool(expected)
    assert hits > 10


def test_a_cell_whose_digits_all_lead_to_one() -> None:
    board = empty(blocks(3, 3))
    # r1c1 is 1, 2 or 3; each drives 9 into a cell that r9c9 sees.
    leave_only(board, "r1c1 123", "r1c9 19", "r9c1 29", "r2c2 34", "r2c9 49")
    assert "9: r9c9" in removed(board, "forcing-cell")
    leave_only(board, "r2c9 4")
    assert "9: r9c9" not in removed(board, "forcing-cell")


def test_a_house_whose_places_all_lead_to_one() -> None:
    board = empty(blocks(3, 3))
    only_in(board, "row 1", 1, "r1c1", "r1c5", "r1c9")
    leave_only(board, "r9c1 17", "r9c5 17", "r8c9 17")
    # Each place of the 1 makes another cell 7, and r9c7 sees them all.
    assert "7: r9c7 r9c8 r9c9" not in removed(board, "forcing-house")
    assert {"7: r9c7", "7: r9c8"} <= set(removed(board, "forcing-house"))


def test_it_is_told_way_by_way() -> None:
    board = empty(blocks(3, 3))
    leave_only(board, "r1c1 123", "r1c9 19", "r9c1 29", "r2c2 34", "r2c9 49")
    technique = DEFAULT.named("forcing-cell")
    assert technique.find
    find = next(f for f in technique.find(board) if f.removes == (80 * 9 + 8,))
    assert find.told
    assert find.told() == (
        "r1c1 is 1, 2 or 3. If it is 1, in row 1 r1c9 is not 1 but 9 (r1c9 has only 1 and 9); so "
        "r9c9 is not 9. If it is 2, in column 1 r9c1 is not 2 but 9 (r9c1 has only 2 and 9); so "
        "r9c9 is not 9. If it is 3, in block 1 r2c2 is not 3 but 4 (r2c2 has only 3 and 4); so in "
        "row 2 r2c9 is not 4 but 9 (r2c9 has only 4 and 9); so r9c9 is not 9. That takes 9 out of "
        "r9c9."
    )
