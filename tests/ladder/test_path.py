"""The path: sound, easiest first, with the eye, and one source of truth for every figure."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.errors import InputError
from packbuilder.grid import Geometry, Values, blocks, parse_grid
from packbuilder.ladder.board import Board
from packbuilder.ladder.climb import Move, climb, openings
from packbuilder.ladder.path import Path, walk
from packbuilder.ladder.profile import profile
from packbuilder.ladder.rounds import rate
from packbuilder.ladder.table import DEFAULT, Ladder
from packbuilder.proof import kernel
from packbuilder.puzzle import BEYOND
from tests.ladder import grids
from tests.ladder.positions import GEOMETRIES

CLASSICS = grids.classics()
ALL = grids.everything()


def solved(geometry: Geometry, clues: Values) -> Values:
    verdict = kernel.prove(geometry, clues)
    assert verdict.solutions == 1 and verdict.first
    return verdict.first


def assert_sound(path: Path) -> None:
    solution = solved(path.geometry, path.clues)
    for step in path.steps:
        assert all(solution[cell] == digit for cell, digit in step.places), step
        assert all(solution[cell] != digit for cell, digit in step.removes), step
        assert step.places or step.removes


@pytest.mark.parametrize("k", range(len(ALL)))
def test_every_step_keeps_to_the_solution(k: int) -> None:
    path = walk(*ALL[k])
    assert_sound(path)
    if path.solved:
        end = path.position_before(len(path.steps)).values
        assert end == solved(*ALL[k])


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 2**32), st.sampled_from([*GEOMETRIES.values(), blocks(2, 2), blocks(2, 5)]))
def test_every_step_keeps_to_the_solution_of_a_grid_made_at_random(
    seed: int, geometry: Geometry
) -> None:
    rng = random.Random(seed)
    clues = list(kernel.random_solution(geometry, seed))
    for cell in rng.sample(range(len(clues)), len(clues))[: len(clues) * 2 // 3]:
        digit, clues[cell] = clues[cell], 0
        if kernel.prove(geometry, clues).solutions != 1:
            clues[cell] = digit
    assert_sound(walk(geometry, tuple(clues)))


@pytest.mark.parametrize(
    ("grade", "clues"), [(g, c) for g, text in grids.BY_GRADE.items() for c in grids.lines(text)]
)
def test_the_grade_is_the_rung_of_the_hardest_step(grade: int, clues: Values) -> None:
    path = walk(grids.CLASSIC, clues)
    assert path.grade == grade == max(step.rung for step in path.steps)
    assert path.hardest in {step.technique for step in path.steps if step.rung == grade}


@pytest.mark.parametrize("k", range(len(ALL)))
def test_a_path_bears_out_the_rating(k: int) -> None:
    geometry, clues = ALL[k]
    path, rating = walk(geometry, clues), rate(geometry, clues)
    assert path.rating == rating
    assert path.grade == max(step.rung for step in path.steps) or not path.solved
    assert rating.hardest in path.slugs
    placed = sum(len(step.places) for step in path.steps)
    sights = {t.slug for t in DEFAULT.techniques if t.sight}
    assert sum(count for slug, count in rating.techniques if slug in sights) == placed


def test_techniques_come_easiest_first() -> None:
    for geometry, clues in ALL:
        slugs = [slug for slug, _ in rate(geometry, clues).techniques]
        assert slugs == sorted(slugs, key=DEFAULT.slugs.index)


@pytest.mark.parametrize("clues", CLASSICS)
def test_the_grade_does_not_depend_on_which_step_of_a_rung_is_taken(clues: Values) -> None:
    rng = random.Random(str(clues))
    for _ in range(2):
        board, top = Board(grids.CLASSIC, clues), 1
        while moves := list(openings(board, DEFAULT)):
            move = rng.choice(moves)
            top = max(top, move.technique.rung)
            play(board, move)
        assert (BEYOND if board.open else top) == rate(grids.CLASSIC, clues).grade


def play(board: Board, move: Move) -> None:
    if move.find:
        board.strike(move.find.removes)
    else:
        board.place(move.key)


@pytest.mark.parametrize("clues", CLASSICS[::2])
def test_nothing_easier_or_lighter_is_open_and_the_eye_stays_where_it_can(clues: Values) -> None:
    geometry = grids.CLASSIC
    path = walk(geometry, clues)
    board, touched = Board(geometry, clues), None
    for step, ways in zip(path.steps, path.ways(), strict=True):
        moves = list(openings(board, DEFAULT))
        assert {move.technique.rung for move in moves} == {step.rung}
        lightest = min(move.technique.weight for move in moves)
        own = [m for m in moves if m.technique.weight == lightest]
        assert {m.technique.slug for m in own} == {step.technique}
        strikes = [frozenset(move.find.removes) for move in moves if move.find]
        assert len(moves) == ways >= 1 and len(set(strikes)) == len(strikes)
        if touched and step.places:
            places = [(m.key // 9, m.key % 9 + 1) for m in own if not m.find]
            for look in (stays, near):
                if any(look(touched, place) for place in places):
                    assert look(touched, step.places[0])
                    break
        touched = step.places or step.removes
        size = geometry.size
        for cell, digit in step.places:
            board.place(cell * size + digit - 1)
        board.strike(cell * size + digit - 1 for cell, digit in step.removes)


def stays(touched: tuple[tuple[int, int], ...], place: tuple[int, int]) -> bool:
    regions = grids.CLASSIC.regions
    assert regions
    cell, digit = place
    return any(regions[cell] == regions[c] or digit == d for c, d in touched)


def near(touched: tuple[tuple[int, int], ...], place: tuple[int, int]) -> bool:
    """In the band or the stack of a cell that was touched."""
    row, column = divmod(place[0], 9)
    return any(row // 3 == c // 9 // 3 or column // 3 == c % 9 // 3 for c, _ in touched)


@pytest.mark.parametrize(("geometry", "clues"), ALL)
def test_a_full_house_is_called_so_wherever_it_lies(geometry: Geometry, clues: Values) -> None:
    values = list(clues)
    for step in walk(geometry, clues).steps:
        for cell, digit in step.places:
            alone = any(
                sum(not values[c] for c in geometry.houses[h].cells) == 1
                for h in geometry.houses_of[cell]
            )
            assert (step.technique == "full-house") == alone
            values[cell] = digit


def test_the_profile_has_a_bar_a_step() -> None:
    for geometry, clues in ALL[::4]:
        path = walk(geometry, clues)
        lines = profile(path, 25)
        assert "".join(lines[::2]) == "".join("▁▂▃▄▅▆▇█"[min(w, 8) - 1] for w in path.ways())
        rungs = "".join(line.ljust(25) for line in lines[1::2])
        assert [int(ch) if ch != " " else 2 for ch in rungs[: len(path.steps)]] == [
            max(2, step.rung) for step in path.steps
        ]
    with pytest.raises(ValueError, match="one column"):
        profile(path, 0)


def test_two_walks_are_one() -> None:
    clues = CLASSICS[-1]
    assert walk(grids.CLASSIC, clues).steps == walk(blocks(3, 3), clues).steps


def test_positions_can_be_recovered() -> None:
    path = walk(grids.CLASSIC, CLASSICS[10])
    positions = list(path.positions())
    assert len(positions) == len(path.steps) + 1
    for k in (0, 7, len(path.steps)):
        assert positions[k] == path.position_before(k)
    for step, before, after in zip(path.steps, positions, positions[1:], strict=False):
        for cell, digit in step.places:
            assert (before.values[cell], after.values[cell]) == (0, digit)
            assert digit in before.candidates[cell] and not after.candidates[cell]
        for cell, digit in step.removes:
            assert digit in before.candidates[cell] and digit not in after.candidates[cell]
    assert positions[0].values == path.clues
    with pytest.raises(IndexError, match="there is no step"):
        path.position_before(len(path.steps) + 1)


def test_first_candidates_are_what_no_placed_peer_rules_out() -> None:
    for geometry, clues in ALL[::5]:
        before = walk(geometry, clues).position_before(0)
        for cell, found in enumerate(before.candidates):
            seen = {clues[peer] for peer in geometry.peers[cell]}
            expected = [d for d in range(1, geometry.size + 1) if d not in seen]
            assert list(found) == ([] if clues[cell] else expected)


def test_only_leaves_nothing_else() -> None:
    path = walk(grids.CLASSIC, CLASSICS[0], only=["naked-single"])
    assert {step.technique for step in path.steps} <= {"naked-single"}
    with pytest.raises(InputError, match="did you mean 'naked-single'"):
        walk(grids.CLASSIC, CLASSICS[0], only=["naked single"])


def test_a_single_on_another_rung_is_found_there() -> None:
    # A ladder that knows naked singles first and no others: rungs are the ladder's to say.
    clues = CLASSICS[4]
    path = walk(grids.CLASSIC, clues, ladder=DEFAULT.without("full-house", "pointing"))
    assert {"full-house", "pointing"}.isdisjoint(step.technique for step in path.steps)
    flat = Ladder(DEFAULT.rungs[1][1] + DEFAULT.rungs[2][1])  # rungs 2 and 3 alone
    assert {step.rung for step in walk(grids.CLASSIC, clues, ladder=flat).steps} <= {2, 3}
    assert_sound(walk(grids.CLASSIC, clues, ladder=flat))


def test_clashing_clues_have_no_grade() -> None:
    twice = parse_grid("11" + "." * 79, 9)
    assert rate(grids.CLASSIC, twice).grade == BEYOND
    # Full, and yet no solution.
    full = list(kernel.random_solution(grids.CLASSIC, 1))
    full[0] = full[1]
    assert not walk(grids.CLASSIC, tuple(full)).solved


def test_a_full_grid_needs_no_step() -> None:
    full = kernel.random_solution(grids.CLASSIC, 1)
    path = walk(grids.CLASSIC, full)
    assert (path.grade, path.hardest, path.effort, path.steps) == (1, "", 0, ())


def test_an_empty_grid_is_beyond_and_leaves_its_cells() -> None:
    path = walk(grids.CLASSIC, (0,) * 81)
    assert (path.grade, path.positions_left()) == (BEYOND, 81)


def test_the_largest_grid_is_solved_too() -> None:
    geometry = blocks(4, 4)
    clues = list(kernel.random_solution(geometry, 3))
    for cell in random.Random(3).sample(range(256), 100):
        clues[cell] = 0
    path = walk(geometry, tuple(clues))
    assert path.solved and len(path.steps) >= 100


def test_the_rating_of_a_latin_square_knows_no_block() -> None:
    for geometry, clues in ALL:
        if geometry.regions is None:
            rungs = {s.rung for s in walk(geometry, clues).steps if s.technique == "hidden-single"}
            assert rungs == {2}


def test_climbing_a_full_board_makes_no_move() -> None:
    board = Board(grids.CLASSIC, kernel.random_solution(grids.CLASSIC, 2))
    assert climb(board, DEFAULT) == []


# Facts of the trade: common practice, no source.


def test_a_cell_that_sees_eight_digits_takes_the_ninth() -> None:
    clues = parse_grid(".23456...1" + "." * 8 + "." * 9 + "7" + "." * 8 + "8" + "." * 44, 9)
    step = walk(grids.CLASSIC, clues).steps[0]
    assert (step.technique, step.places) == ("naked-single", ((0, 9),))


def test_the_last_empty_cell_of_a_house_is_a_full_house() -> None:
    step = walk(grids.CLASSIC, parse_grid("12345678." + "." * 72, 9)).steps[0]
    assert (step.technique, step.rung, step.places) == ("full-house", 1, ((8, 9),))
    assert grids.CLASSIC.houses[step.houses[0]].label == "row 1"
