"""Hints: at the knots of the solve, three tiers, and a picture that shows the step."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import networkx as nx
import pytest

from packbuilder.grid import Geometry, Values, cell_name, latin
from packbuilder.ladder.english import takes_out
from packbuilder.ladder.hints import APART, EARLY, FEW, MOST, Hint, hint_at, hints, most
from packbuilder.ladder.path import Path, walk
from packbuilder.ladder.reasons import Reasons, without_detours
from packbuilder.ladder.step import Step
from packbuilder.ladder.words import tell
from tests.ladder import grids
from tests.ladder.definitions import is_area

ALL = grids.everything()


@pytest.mark.parametrize(("geometry", "clues"), ALL)
def test_each_tier_gives_only_what_it_should(geometry: Geometry, clues: Values) -> None:
    path = without_detours(walk(geometry, clues))
    found = hints(walk(geometry, clues))
    assert 1 <= len(found) <= most(path.grade) <= MOST
    assert sum(bool(hint.step.places) for hint in found) <= FEW
    taken = [place_of(hint, path) for hint in found]
    assert taken == sorted(set(taken))
    cells = [cell_name(cell, geometry.size) for cell in range(geometry.cell_count)]
    for hint, k in zip(found, taken, strict=True):
        assert re.match(r"(Look|Follow|Begin) ", hint.where) and hint.where.endswith(".")
        # A region goes by its first cell, which it names and does not give away.
        tiers = re.sub(r"regions? of r\d+c\d+( and r\d+c\d+)?", "", f"{hint.where} {hint.idea}")
        assert not any(cell in tiers.split() for cell in cells)
        goes = takes_out(hint.step.removes, geometry.size).removesuffix(".")
        assert hint.step.places or hint.step.told or goes in hint.told
        # So many can still be held in mind: common practice, no source.
        assert len({one.step for one in hint.because if one.kind == "step"}) <= 2
        _shows_what_is_needed(hint, path.position_before(k).values, clues, geometry)
    tiers_of_all = [(hint.where, hint.idea) for hint in found]
    assert len(set(tiers_of_all)) == len(found)


def bare(step: Step) -> Step:
    """A step without what it strikes."""
    return replace(step, removes=(), told="", untold=())


def place_of(hint: Hint, path: Path) -> int:
    """The number of a hint's step on a path, of whose strikes it may tell a part."""
    own = hint.step
    return next(
        k
        for k, step in enumerate(path.steps)
        if set(own.removes) <= set(step.removes) and bare(own) == bare(step)
    )


def _shows_what_is_needed(hint: Hint, before: Values, clues: Values, geometry: Geometry) -> None:
    """All clues, and of the digits found so far those that the evidence names, and those of each
    house whose places are counted: what is closed and what is filled must be told apart."""
    assert all(hint.position[c] == v for c, v in enumerate(clues) if v)
    assert all(v in (0, before[c]) for c, v in enumerate(hint.position))
    named = {c for one in hint.because for c in one.cells}
    named |= {c for one in hint.because if one.house >= 0 for c in geometry.houses[one.house].cells}
    assert all(hint.position[c] == before[c] for c in named)


@pytest.mark.parametrize("clues", grids.classics())
def test_the_hardest_rung_is_hinted_at_its_narrowest_point(clues: Values) -> None:
    path = without_detours(walk(grids.CLASSIC, clues))
    top = max(step.rung for step in path.steps)
    hinted = hints(path)
    assert max(hint.step.rung for hint in hinted) == top
    if top >= 3 and path.solved:
        ways = path.ways()
        fruitful = [
            k
            for k, step in enumerate(path.steps[:-1])
            if step.rung == top and path.steps[k + 1].rung < top
        ]
        narrowest = min(fruitful, key=lambda k: (ways[k], k))
        # Or a hint so near that another would help with the same knot.
        assert any(abs(place_of(hint, path) - narrowest) < APART for hint in hinted)


@pytest.mark.parametrize("clues", [c for g in (1, 2) for c in grids.lines(grids.BY_GRADE[g])])
def test_singles_are_hinted_early(clues: Values) -> None:
    path = without_detours(walk(grids.CLASSIC, clues))
    ways = path.ways()
    for hint in hints(path):
        k = place_of(hint, path)
        assert k <= EARLY * len(path.steps)
        assert ways[k] <= 2 or hint.step.rung == path.grade


@pytest.mark.parametrize(("geometry", "clues"), ALL)
def test_the_picture_shows_the_step(geometry: Geometry, clues: Values) -> None:
    path = walk(geometry, clues)
    for k, step in enumerate(path.steps):
        hint = hint_at(Reasons(path), k, onward=False)
        before = path.position_before(k)
        shown = dict(hint.shown)
        assert all(set(ds) <= set(before.candidates[cell]) for cell, ds in shown.items())
        rest = {c for one in hint.because if one.step >= 0 for c in path.steps[one.step].cells}
        assert hint.held == {cell for cell in rest if not before.values[cell]}
        if step.places:
            assert {*shown} <= hint.held and not hint.struck
            continue
        assert hint.struck == step.removes
        assert all(digit in shown[cell] for cell, digit in hint.struck)
        assert set(step.cells) <= set(shown)
        # Not one cell more than that, but those on which what was struck earlier rests.
        struck_cells = {cell for cell, _ in step.removes}
        assert set(shown) <= {*step.cells, *struck_cells, *hint.held}
        for one in (one for one in hint.because if one.step >= 0):
            # What an earlier step closes was struck: no placed digit shows that all of it is gone.
            peers = {cell: geometry.peers[cell] for cell in one.closes}
            unseen = [c for c, some in peers.items()
                      if one.digit not in {before.values[peer] for peer in some}]  # fmt: skip
            assert unseen
            for cell in unseen:
                assert one.digit not in before.candidates[cell]
                assert (cell, one.digit) in path.steps[one.step].removes


def test_a_cell_that_is_settled_shows_its_digit_and_no_candidates() -> None:
    found = 0
    for geometry, clues in ALL:
        reasons = Reasons(without_detours(walk(geometry, clues)))
        for k in range(len(reasons.path.steps)):
            hint = hint_at(reasons, k)
            removes = hint.step.removes
            for cell in {cell for cell, _ in removes} - {cell for cell, _ in hint.struck}:
                ((at, digit),) = hint.gives
                left = set(reasons.candidates(k)[cell]) - {d for c, d in removes if c == cell}
                assert cell == at and left == {digit} == {hint.pictured[cell]}
                assert cell not in dict(hint.shown) and cell not in hint.loses
                assert hint.told.endswith(f" {cell_name(cell, geometry.size)} is {_sign(digit)}.")
                found += 1
    assert found > 20


def _sign(digit: int) -> str:
    return "0123456789ABCDEFG"[digit]


def test_no_candidate_is_shown_that_the_step_does_not_speak_of() -> None:
    trimmed = set()
    for geometry, clues in ALL:
        path = walk(geometry, clues)
        for k, step in enumerate(path.steps):
            if not step.removes:
                continue
            hint, before = hint_at(Reasons(path), k, onward=False), path.position_before(k)
            linked = {(cell, d) for cells, d in step.nodes for cell in cells}
            for cell, shown in hint.shown:
                own = {*step.cells, *(at for at, _ in step.removes)}
                if cell not in own or cell in hint.held:
                    continue
                here = set(before.candidates[cell])
                gone = {d for at, d in step.removes if at == cell}
                speaks = {d for d in here if (cell, d) in linked} if linked else set(step.digits)
                if not linked and len(speaks) > 1:
                    assert set(shown) == here  # cells that are told by all they can be
                    continue
                # What it speaks of, what it strikes, and the last digit that it leaves, if one.
                least = (here & speaks) | gone
                assert set(shown) == (here if gone and len(here - gone) == 1 else least)
                if set(shown) < here:
                    trimmed.add(step.technique)
    assert {"pointing", "x-wing", "skyscraper", "chain"} <= trimmed


def test_a_hidden_digit_is_told_whole() -> None:
    # Where a digit is held to some cells of a house, the page shows that no other could be it.
    for geometry, clues in ALL:
        path = walk(geometry, clues)
        for k, step in enumerate(path.steps):
            before, hint = path.position_before(k), hint_at(Reasons(path), k, onward=False)
            shown = dict(hint.shown)
            noted = {(cell, d) for cell, ds in hint.shown for d in ds}
            holding = {
                "pointing": step.houses[:1],
                "claiming": step.houses[:1],
                "hidden-pair": step.houses[:1],
                "hidden-triple": step.houses[:1],
                "skyscraper": step.houses[:2],
                "two-string-kite": step.houses[:2],
                "x-wing": step.houses[:2],
                "swordfish": step.houses[:3],
                "w-wing": step.houses[:1],
            }.get(step.technique, ())
            digits = step.digits[:1] if step.technique == "w-wing" else step.digits
            for cell in (cell for h in holding for cell in geometry.houses[h].cells):
                if cell in step.cells or before.values[cell]:
                    continue
                # It cannot be the digit, and the page shows why: the digits placed, or its own.
                placed = {before.values[peer] for peer in geometry.peers[cell]}
                assert not set(before.candidates[cell]) & set(digits)
                closed = {o.digit for o in hint.because if o.step >= 0 and cell in o.closes}
                assert all((c, o.digit) in noted for o in hint.because if o.kind == "held"
                           for c in o.cells
                           if o.house >= 0 and o.digit in before.candidates[c])  # fmt: skip
                assert cell in shown or set(digits) <= placed | closed


def test_cells_that_prove_themselves_are_shown_alone() -> None:
    # What a naked set or a wing of cells rests on is to be seen in its cells, and in those of the
    # earlier steps that closed them.
    plain = ("naked-pair", "naked-triple", "locked-pair", "locked-triple", "xy-wing", "xy-chain")
    seen = set()
    for geometry, clues in ALL:
        path = walk(geometry, clues)
        for k, step in enumerate(path.steps):
            if step.technique in plain:
                seen.add(step.technique)
                cells = {*step.cells, *(cell for cell, _ in step.removes)}
                hint = hint_at(Reasons(path), k, onward=False)
                assert cells <= {cell for cell, _ in hint.shown} <= cells | hint.held
    assert len(seen) >= 5


def test_the_ties_of_a_chain_are_shown() -> None:
    ties = 0
    for geometry, clues in ALL:
        path = walk(geometry, clues)
        for k, step in enumerate(path.steps):
            before = path.position_before(k) if step.nodes else None
            hint = hint_at(Reasons(path), k, onward=False) if step.nodes else None
            shown = dict(hint.shown) if hint else {}
            by_held = {(cell, one.digit) for one in (hint.because if hint else ())
                       for cell in one.closes if one.step >= 0}  # fmt: skip
            for (one, d), (other, e) in list(pairwise(step.nodes))[::2]:
                if d != e or step.technique != "chain" or not before:
                    continue
                # In some house the digit is held to the two nodes, and the page shows it.
                houses = [h for h in geometry.houses if {*one, *other} <= set(h.cells)]
                assert any(
                    all(
                        cell in (*one, *other)
                        or before.values[cell]
                        or d in {before.values[peer] for peer in geometry.peers[cell]}
                        or (cell in shown and d not in shown[cell])
                        or (cell, d) in by_held
                        for cell in house.cells
                    )
                    for house in houses
                )
                ties += 1
    assert ties > 20


def test_each_link_of_a_chain_has_its_reason() -> None:
    links = 0
    for geometry, clues in ALL:
        path = walk(geometry, clues)
        for k, step in enumerate(path.steps):
            if step.technique not in ("chain", "xy-chain"):
                continue
            left = path.position_before(k).candidates
            for n, ((one, d), (other, e)) in enumerate(pairwise(step.nodes)):
                if d != e:
                    assert step.ties[n] == -1 and one == other
                    assert n % 2 or set(left[one[0]]) == {d, e}
                    continue
                house = geometry.houses[step.ties[n]].cells
                assert step.ties[n] >= 0 and {*one, *other} <= set(house)
                if n % 2 == 0:
                    assert {cell for cell in house if d in left[cell]} == {*one, *other}
                links += 1
    assert links > 40


def test_no_cell_is_told_twice_in_a_list() -> None:
    """The ends of a chain may share cells."""
    shared = 0
    for geometry, clues in ALL:
        for step in walk(geometry, clues).steps:
            if step.technique == "chain":
                (one, d), *_, (other, e) = step.nodes
                shared += d == e and one != other and bool({*one} & {*other})
                lists = re.findall(r"(?:r\d+c\d+(?:, | and | or )?)+", tell(step, geometry))
                for names in (re.findall(r"r\d+c\d+", cells) for cells in lists):
                    assert len(set(names)) == len(names)
    assert shared


def test_the_pairs_of_a_colouring_join_all_its_cells() -> None:
    found = 0
    for geometry, clues in ALL:
        path = walk(geometry, clues)
        for k, step in enumerate(path.steps):
            if step.technique != "simple-colouring":
                continue
            left, (d,) = path.position_before(k).candidates, step.digits
            graph = nx.Graph()
            for h in step.ties:
                pair = [cell for cell in geometry.houses[h].cells if d in left[cell]]
                assert len(pair) == 2
                graph.add_edge(*pair)
            assert set(graph) == set(step.cells) and nx.is_tree(graph)
            found += 1
    assert found


def test_a_chain_is_hinted_by_its_digits_and_three_blocks_at_most() -> None:
    ideas = set()
    for geometry, clues in ALL:
        path = walk(geometry, clues)
        for k, step in enumerate(path.steps):
            if step.technique in ("chain", "xy-chain"):
                hint = hint_at(Reasons(path), k, onward=False)
                assert len(re.findall(r"\d", hint.where)) <= 3
                ends = re.search(
                    r", from (?:one|an?) (\d) (?:to (another|an? (\d))|round)", hint.idea
                )
                assert ends and int(ends[1]) == step.nodes[0][1]
                assert int(ends[3] or ends[1]) == step.nodes[-1][1]
                ideas.add(hint.idea)
    assert len(ideas) > 3


def test_no_area_to_look_at() -> None:
    geometry = latin(5)
    clues = grids.parse_grid("1.3...25.....325...3.....", 5)
    assert not any(is_area(house) for house in geometry.houses)
    assert all(h.where.split()[2] in ("row", "column") for h in hints(walk(geometry, clues)))


def test_where_to_look_is_told_in_order() -> None:
    wheres = {
        hint_at(Reasons(path), k, onward=False).where
        for path in (walk(*one) for one in ALL)
        for k, step in enumerate(path.steps)
        if step.technique in ("skyscraper", "xy-chain")
    }
    places = r"Look (along rows|down columns|at blocks?) [\d, and]+\.|Begin in block \d, .*"
    assert [w for w in wheres if not re.fullmatch(places, w)] == []
    assert any("blocks" in w for w in wheres) and any("rows" in w for w in wheres)
    for where in wheres:
        if "block" in where:
            numbers = re.findall(r"\d", where)
            assert numbers == sorted(numbers)


def test_nothing_to_say_of_a_grid_without_a_step() -> None:
    assert hints(walk(grids.CLASSIC, (0,) * 81)) == ()
