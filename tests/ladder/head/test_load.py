"""The mark load: exactly what the definition says, and the same whatever is placed first."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.grid import Geometry, Values, blocks, latin, parse_grid
from packbuilder.ladder.head.load import NoNotes, first_failure, no_notes
from packbuilder.ladder.head.position import Mark, Play, least, scene_of
from packbuilder.ladder.head.trial import is_found, ruled_out, shows
from packbuilder.proof import kernel
from tests.ladder import grids
from tests.ladder.disguise import disguised
from tests.ladder.head import definition
from tests.ladder.positions import GEOMETRIES

CLASSIC = grids.CLASSIC
SHAPES = {"4x4": blocks(2, 2), "latin 5": latin(5), **GEOMETRIES}
SMALL = ("4x4", "latin 5", "latin 6", "6x6", "irregular 6", "diagonals 6", "cage 6")

# Made for these tests by removing clues from random full grids.
BY_LOAD: dict[int, str] = {
    2: """
        4...2.1.3...9.....6.2....4939.........613...22.4.7......53....4...8..39......6.5.
        .48..7..2..9...7...1.62......5.39..4..............46375..............4.5.3..4.12.
        .......28...147...4....23..2.6..8....5...18....7.....3.3....9.....39......2715...
        """,
    3: """
        4..895.2...5....6...16.....94.2...36....3.....2....8...7.9....2.....7.83.3.12...7
        .137......9.4....2......9.6....2...8.7.9...6.....3.7.4..9..4.8....1.....8.2..5...
        """,
}
NOTES_NEEDED = """
    6.8.........4.9.......81..347.913.5...967.............3..5.6..71...4.3.52......4.
    1......73....6...2...5...4..8..9.....5273.........2.964...7.9......8......72.4...
    """


def stripped(geometry: Geometry, seed: int, share: float = 1.0) -> Values:
    """A random grid with one solution: so many of its clues taken out as chance and share allow."""
    rng = random.Random(seed)
    clues = list(kernel.random_solution(geometry, seed))
    for cell in rng.sample(range(len(clues)), int(len(clues) * share)):
        digit, clues[cell] = clues[cell], 0
        if kernel.prove(geometry, tuple(clues)).solutions != 1:
            clues[cell] = digit
    return tuple(clues)


def loaded() -> list[tuple[int, Values]]:
    return [(k, grid) for k, text in BY_LOAD.items() for grid in grids.lines(text)]


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("name", SMALL)
def test_up_to_two_marks_the_load_is_what_the_definition_says(name: str, seed: int) -> None:
    geometry = SHAPES[name]
    clues = stripped(geometry, seed)
    answer, (expected, values) = no_notes(geometry, clues), definition.load(geometry, clues, 2)
    assert (answer.marks if answer.marks != 3 else None) == expected
    if expected is not None:
        assert answer.values == values


@pytest.mark.parametrize(("name", "text"), [
    ("irregular 6", "........21..............43.......61."),
    ("irregular 6", "...3.4..4..2......6..1.............."),
])  # fmt: skip
def test_small_grids_that_need_two_marks(name: str, text: str) -> None:
    geometry, clues = SHAPES[name], parse_grid(text, 6)
    assert definition.load(geometry, clues, 2)[0] == no_notes(geometry, clues).marks == 2


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("name", ["irregular 6", "diagonals 6"])
def test_what_two_marks_do_not_show_three_do_by_the_definition(name: str, seed: int) -> None:
    """Where the solver finds three marks in a small grid, the definition finds them, and no two."""
    geometry = SHAPES[name]
    clues = stripped(geometry, 1000 + seed)
    play = Play(scene_of(geometry), clues)
    while True:
        play.place_free()
        if play.solved:
            return
        found = least(play, 3)
        if found.marks == 3:
            break
        if found.marks is None:
            return
        play.place(found.sighting.keys)
    values = tuple(play.values)
    assert not definition.in_sight(geometry, values, 2)


@pytest.mark.parametrize(("load", "clues"), loaded())
def test_a_classic_grid_needs_so_many_marks_and_no_fewer(load: int, clues: Values) -> None:
    assert no_notes(CLASSIC, clues).marks == load
    assert first_failure(CLASSIC, clues, load) is None
    failure = first_failure(CLASSIC, clues, load - 1)
    assert failure and (failure.code, failure.marks) == ("too-many-marks", load)
    assert f"takes {('no', 'one', 'two', 'three')[load]} marks" in failure.words
    assert len(failure.cells) == 1 and not failure.values[failure.cells[0]]
    if load == 2:
        assert not definition.in_sight(CLASSIC, failure.values, 1)


@pytest.mark.parametrize("light", [False, True])
@pytest.mark.parametrize(("load", "clues"), loaded())
def test_what_is_held_shows_what_is_placed(load: int, clues: Values, light: bool) -> None:
    """The compiled search and the plain one of the telling agree on what marks rule out."""
    solution = kernel.prove(CLASSIC, clues).first
    assert solution
    play = Play(scene_of(CLASSIC), clues)
    while True:
        play.place_free()
        if play.solved:
            break
        found = least(play, 3, light=light)
        held = found.sighting.held
        assert found.marks == len(held) <= load
        if light or found.marks == 3:
            assert any(shows(play, key, held) for key in found.sighting.keys)
        if light:
            known: set[Mark] = set()
            for find in found.sighting.finds:
                assert set(find.held) <= known and len(find.held) < found.marks
                assert is_found(play, find.mark, find.held)
                known.add(find.mark)
            assert set(held) <= known
        gone = ruled_out(play, held)
        assert all(solution[key // 9] != key % 9 + 1 for key in gone)
        play.place(found.sighting.keys)
    assert tuple(play.values) == solution


@settings(max_examples=30, deadline=None)
@given(st.sampled_from([grid for _, grid in loaded()]), st.integers(0, 2**32))
def test_what_marks_rule_out_is_what_the_definition_says(clues: Values, seed: int) -> None:
    """Any two or three marks found in a position, held together."""
    rng, play = random.Random(seed), Play(scene_of(CLASSIC), clues)
    play.place_free()
    values = tuple(play.values)
    plain = definition.by_placed_digits(CLASSIC, values)
    found = sorted(
        definition.facts(CLASSIC, plain), key=lambda one: (sorted(one[0]), sorted(one[1]))
    )
    chosen = rng.sample(found, rng.randint(1, 3))
    seen = definition.seen(CLASSIC, values, frozenset(chosen))
    marks = [Mark(tuple(sorted(cells)), tuple(sorted(digits))) for cells, digits in chosen]
    gone = {(key // 9, key % 9 + 1) for key in ruled_out(play, marks)}
    assert gone == {(cell, d) for cell, ds in enumerate(plain) for d in ds - seen[cell]}
    assert all(is_found(play, mark, ()) for mark in marks)


@pytest.mark.parametrize("clues", [*grids.classics()[::5], *(grid for _, grid in loaded())])
def test_every_disguise_has_the_same_load(clues: Values) -> None:
    rng, answer = random.Random(str(clues)), no_notes(CLASSIC, clues)
    for _ in range(2):
        other = no_notes(CLASSIC, disguised(clues, rng))
        if None not in (answer.solved, other.solved):
            assert (other.solved, other.marks) == (answer.solved, answer.marks)
            assert other.placed == answer.placed


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(loaded()), st.integers(0, 2**32), st.floats(0, 0.4))
def test_another_right_digit_never_makes_it_harder(
    one: tuple[int, Values], seed: int, share: float
) -> None:
    load, clues = one
    solution, rng = kernel.prove(CLASSIC, clues).first, random.Random(seed)
    assert solution
    more = tuple(v if rng.random() < share else c for v, c in zip(solution, clues, strict=True))
    after = no_notes(CLASSIC, more)
    assert after.marks is not None and after.marks <= load


def test_answers_for_machines() -> None:
    twos = grids.lines(BY_LOAD[2])
    assert no_notes(CLASSIC, twos[0]).as_json == {"solved": True, "marks": 2}
    stuck = no_notes(CLASSIC, grids.lines(NOTES_NEEDED)[0])
    left = stuck.values.count(0)
    placed = grids.lines(NOTES_NEEDED)[0].count(0) - left
    assert stuck.as_json == {"solved": False, "marks": None, "placed": placed}
    assert left


def test_notes_needed_names_the_point_where_nothing_more_is_seen() -> None:
    for clues in grids.lines(NOTES_NEEDED):
        failure = first_failure(CLASSIC, clues, 3)
        assert failure and failure.code == "notes-needed" and failure.marks is None
        assert not definition.in_sight(CLASSIC, failure.values, 1)
        assert failure.cells == tuple(c for c, digit in enumerate(failure.values) if not digit)
        assert failure.placed == clues.count(0) - len(failure.cells)
        assert f"{len(failure.cells)} cells are left" in failure.words


def test_a_search_that_is_cut_short_says_unknown_and_never_no() -> None:
    clues = grids.lines(BY_LOAD[3])[0]
    answer = no_notes(CLASSIC, clues, work=300)
    assert (answer.solved, answer.marks) == (None, None)
    assert answer.as_json == {"solved": None, "marks": None, "placed": answer.placed}
    failure = first_failure(CLASSIC, clues, 3, work=300)
    assert failure and failure.code == "undecided" and "not known" in failure.words


def test_grids_without_a_question() -> None:
    full = kernel.random_solution(CLASSIC, 1)
    assert no_notes(CLASSIC, full) == NoNotes(True, 0, full, 0)
    assert no_notes(CLASSIC, (0,) * 81).solved is False
    assert first_failure(CLASSIC, full, 0) is None


def test_clashing_clues_are_not_solved() -> None:
    twice = parse_grid("11" + "." * 79, 9)
    assert not no_notes(CLASSIC, twice).solved
    wrong = list(kernel.random_solution(CLASSIC, 1))
    wrong[0] = wrong[1]
    assert not no_notes(CLASSIC, tuple(wrong)).solved
    # No clash on the page, and yet no solution: r1c9 sees all nine digits.
    none = parse_grid("12345678." + "." * 8 + "9" + "." * 63, 9)
    assert not no_notes(CLASSIC, none).solved


def test_the_largest_grid() -> None:
    geometry = blocks(4, 4)
    clues = list(kernel.random_solution(geometry, 3))
    for cell in random.Random(3).sample(range(256), 110):
        clues[cell] = 0
    assert no_notes(geometry, tuple(clues)).solved
