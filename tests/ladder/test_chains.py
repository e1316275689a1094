"""Chains against a graph of implications, walked by networkx."""

from __future__ import annotations

import random
from itertools import combinations, pairwise

import networkx as nx
import pytest

from packbuilder.grid import Geometry
from packbuilder.ladder.board import Board
from packbuilder.ladder.table import DEFAULT
from tests.ladder.definitions import Candidates, Removal, full_houses, places
from tests.ladder.positions import GEOMETRIES, random_board
from tests.ladder.test_definitions import found, sets

Node = tuple[frozenset[int], int]


def seen(node: Node, geometry: Geometry, candidates: Candidates) -> set[tuple[int, int]]:
    """The candidates that cannot be true with the node."""
    cells, digit = node
    common = set.intersection(*(set(geometry.peers[cell]) for cell in cells))
    found = {(c, digit) for c in common if digit in candidates[c]}
    if len(cells) == 1:
        (cell,) = cells
        found |= {(cell, d) for d in candidates[cell] if d != digit}
    return found


def ties(geometry: Geometry, candidates: Candidates, *, cells_only: bool) -> set[frozenset[Node]]:
    """Two nodes of which one is true."""
    tied = set()
    for cell, ds in enumerate(candidates):
        if len(ds) == 2:
            tied.add(frozenset((frozenset({cell}), d) for d in ds))
    for house in [] if cells_only else full_houses(geometry):
        meets = [set(house.cells) & set(h.cells) for h in geometry.houses if h is not house]
        meets = [m for m in meets if len(m) > 1 and m < set(house.cells)]
        for digit in range(1, geometry.size + 1):
            here = places(house, digit, candidates)
            parts = {frozenset({cell}) for cell in here}
            parts |= {frozenset(here & meet) for meet in meets if here & meet}
            for a, b in combinations(parts, 2):
                if a | b == here and not a & b:
                    tied.add(frozenset({(a, digit), (b, digit)}))
    return tied


def by_graph(geometry: Geometry, candidates: Candidates, *, cells_only: bool) -> set[Removal]:
    """What the shortest chains remove: ties are walked from false to true, sight back to false."""
    graph = nx.DiGraph()
    tied = ties(geometry, candidates, cells_only=cells_only)
    nodes = {node for tie in tied for node in tie}
    sights = {node: seen(node, geometry, candidates) for node in nodes}
    if cells_only:
        sights = {node: {x for x in s if x[1] == node[1]} for node, s in sights.items()}
    for a, b in map(tuple, tied):
        graph.add_edge((a, False), (b, True))
        graph.add_edge((b, False), (a, True))
    for a in nodes:
        for b in nodes:
            if {(cell, b[1]) for cell in b[0]} <= sights[a]:
                graph.add_edge((a, True), (b, False))
    shortest: dict[int, set[Removal]] = {}
    for start in nodes:
        for (end, true), steps in nx.single_source_shortest_path_length(
            graph, (start, False)
        ).items():
            if true and not (cells_only and end == start):
                gone = frozenset(sights[start] & sights[end])
                if gone:
                    shortest.setdefault(steps, set()).add(gone)
    return shortest[min(shortest)] if shortest else set()


@pytest.mark.parametrize("slug", ["chain", "xy-chain"])
def test_the_shortest_chains_are_found(slug: str) -> None:
    hits = 0
    for name in ("9x9", "6x6", "latin 6", "irregular 6", "diagonals 6", "cage 6"):
        rng = random.Random(f"{slug} {name}")
        for _ in range(5 if name == "9x9" else 20):
            board, full = random_board(name, rng)
            expected = by_graph(board.fields.geometry, sets(board), cells_only=slug == "xy-chain")
            assert found(board, slug) == expected
            assert all(full[cell] != digit for removal in expected for cell, digit in removal)
            hits += bool(expected)
    assert hits > 10


@pytest.mark.parametrize("slug", ["chain", "xy-chain"])
def test_the_told_links_hold_one_by_one(slug: str) -> None:
    rng = random.Random(slug)
    technique = DEFAULT.named(slug)
    lengths = set()
    for _ in range(60):
        board, _ = random_board("9x9", rng)
        geometry, candidates = board.fields.geometry, sets(board)
        tied = ties(geometry, candidates, cells_only=slug == "xy-chain")
        assert technique.find
        for find in technique.find(board):
            nodes: list[Node] = [(frozenset(cells), d) for cells, d in find.nodes]
            lengths.add(len(nodes))
            for k, (a, b) in enumerate(pairwise(nodes)):
                if k % 2 == 0:
                    assert frozenset({a, b}) in tied
                else:
                    assert {(c, b[1]) for c in b[0]} <= seen(a, geometry, candidates)
            for key in find.removes:
                gone = key // 9, key % 9 + 1
                assert gone in seen(nodes[0], geometry, candidates)
                assert gone in seen(nodes[-1], geometry, candidates)
    assert {n for n in lengths if n % 2} == set() and max(lengths) >= 4


def test_no_chain_on_an_empty_board() -> None:
    board = Board(GEOMETRIES["9x9"], (0,) * 81)
    assert found(board, "chain") == found(board, "xy-chain") == set()
