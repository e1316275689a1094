"""The mark load: exactly what the definition says, and the same whatever is placed first."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.grid import Geometry, Values, blocks, latin, parse_grid
from packbuilder.ladder.head.load import NoNotes, first_failure, no_notes
from packbuilder.ladder.head.search import Budget, Play, farthest, sightings
from packbuilder.proof import kernel
from tests.ladder import grids
from tests.ladder import no_notes_definition as definition
from tests.ladder.disguise import disguised
from tests.ladder.positions import GEOMETRIES

CLASSIC = grids.CLASSIC
SHAPES = {"4x4": blocks(2, 2), "latin 5": latin(5), **GEOMETRIES}
SMALL = ("4x4", "latin 5", "latin 6", "6x6", "irregular 6", "diagonals 6", "cage 6")

# Made for these tests by removing clues from random full grids; each load is
# confirmed below by the definition.
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
    4: """
        1.95...4...2.......8...46.........3..48.79..27.52..4........9.7..6......2..781...
        """,
}
NOTES_NEEDED = """
    6.8.........4.9.......81..347.913.5...967.............3..5.6..71...4.3.52......4.
    1......73....6...2...5...4..8..9.....5273.........2.964...7.9......8......72.4...
    ...7.89..5.6.1.....7...5.......57..2.9.2.47.....1.....3.....4.....98..3..62.4..19
    """
SMALL_BY_LOAD = (
    ("irregular 6", "........21..............43.......61.", 2),
    ("irregular 6", "...3.4..4..2......6..1..............", 2),
)


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


@pytest.mark.parametrize("seed", range(7))
@pytest.mark.parametrize("name", SMALL)
def test_the_load_is_what_the_definition_says(name: str, seed: int) -> None:
    geometry = SHAPES[name]
    clues = stripped(geometry, seed)
    answer = no_notes(geometry, clues)
    expected, values = definition.load(geometry, clues, pick=seed)
    assert (answer.marks, answer.values) == (expected, values)
    assert answer.solved == (expected is not None)


@pytest.mark.parametrize(("name", "text", "load"), SMALL_BY_LOAD)
def test_the_load_of_grids_that_need_more(name: str, text: str, load: int) -> None:
    geometry, clues = SHAPES[name], parse_grid(text, 6)
    assert definition.load(geometry, clues, pick=3)[0] == load
    assert no_notes(geometry, clues).marks == load


@pytest.mark.parametrize(("load", "clues"), loaded())
def test_a_classic_grid_needs_so_many_marks_and_no_fewer(load: int, clues: Values) -> None:
    assert no_notes(CLASSIC, clues).marks == load
    failure = first_failure(CLASSIC, clues, load - 1)
    assert failure and failure.marks == load
    assert not definition.in_sight(CLASSIC, failure.values, load - 1)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(SMALL), st.integers(0, 2**32), st.floats(0.2, 0.7))
def test_any_position_goes_as_far_as_the_definition_says(
    name: str, seed: int, share: float
) -> None:
    # Digits of a full grid left in at random: often not enough for one solution.
    geometry, rng = SHAPES[name], random.Random(seed)
    full = kernel.random_solution(geometry, seed % 50)
    clues = tuple(digit if rng.random() < share else 0 for digit in full)
    now = list(clues)
    while found := definition.at_all(geometry, tuple(now)):
        for cell, digit in found:
            now[cell] = digit
    answer = no_notes(geometry, clues)
    assert answer.values == tuple(now)
    assert answer.solved == (0 not in now)
    assert all(v in (0, full[cell]) for cell, v in enumerate(answer.values))


def grids_of_interest() -> list[Values]:
    return [*grids.classics()[::4], *grids.lines(NOTES_NEEDED), *(grid for _, grid in loaded())]


@pytest.mark.parametrize("clues", grids_of_interest())
def test_it_keeps_to_the_solution(clues: Values) -> None:
    solution = kernel.prove(CLASSIC, clues).first
    assert solution
    answer = no_notes(CLASSIC, clues)
    assert all(v in (0, solution[cell]) for cell, v in enumerate(answer.values))
    assert answer.solved == (answer.values == solution)


@pytest.mark.parametrize("clues", grids_of_interest())
def test_every_disguise_has_the_same_load(clues: Values) -> None:
    rng, answer = random.Random(str(clues)), no_notes(CLASSIC, clues)
    for _ in range(3):
        other = no_notes(CLASSIC, disguised(clues, rng))
        assert (other.solved, other.marks) == (answer.solved, answer.marks)
        assert other.values.count(0) == answer.values.count(0)


@pytest.mark.parametrize("clues", grids_of_interest())
def test_the_order_of_placements_does_not_matter(clues: Values) -> None:
    """Whatever is placed of all that the load allows to see, the load is enough, and needed."""
    answer, rng = no_notes(CLASSIC, clues), random.Random(str(clues))
    if answer.marks is None:
        return
    play, needed = Play(CLASSIC, clues), 0
    while play.bits:
        for k in range(answer.marks + 1):
            if found := in_sight(play, k):
                break
        else:
            pytest.fail(f"stuck with {answer.marks} marks after {len(play.placed)} placements")
        needed = max(needed, k)
        if k < answer.marks and rng.random() < 0.1:
            found = found | in_sight(play, answer.marks)
        play.place_all(1 << rng.choice([b for b in range(found.bit_length()) if found >> b & 1]))
    assert (needed, play.values) == (answer.marks, answer.values)


def in_sight(play: Play, k: int) -> int:
    """Field bits of placements seen with at most k marks held: some dozens of them, or all."""
    if pool := play.marks.singles(play.bits):
        return pool
    for number, way in enumerate(sightings(play.marks, play.bits, k, Budget(10_000))):
        pool |= way.pool
        if number == 30:
            break
    return pool


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(grids_of_interest()), st.integers(0, 2**32), st.floats(0, 0.4))
def test_another_right_digit_never_makes_it_harder(clues: Values, seed: int, share: float) -> None:
    solution, rng = kernel.prove(CLASSIC, clues).first, random.Random(seed)
    assert solution
    more = tuple(v if rng.random() < share else c for v, c in zip(solution, clues, strict=True))
    before, after = no_notes(CLASSIC, clues), no_notes(CLASSIC, more)
    if before.marks is not None:
        assert after.marks is not None and after.marks <= before.marks


def test_answers_for_machines() -> None:
    twos = grids.lines(BY_LOAD[2])
    assert no_notes(CLASSIC, twos[0]).as_json == {"solved": True, "marks": 2}
    stuck = no_notes(CLASSIC, grids.lines(NOTES_NEEDED)[0])
    assert stuck.as_json == {"solved": False, "marks": None}
    assert stuck.known and 0 in stuck.values


def test_grids_without_a_question() -> None:
    full = kernel.random_solution(CLASSIC, 1)
    assert no_notes(CLASSIC, full) == NoNotes(True, 0, full)
    assert no_notes(CLASSIC, (0,) * 81) == NoNotes(False, None, (0,) * 81)
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


# Promises


@pytest.mark.parametrize(("load", "clues"), loaded())
def test_a_promise_holds_from_the_load_on(load: int, clues: Values) -> None:
    assert first_failure(CLASSIC, clues, load) is None
    assert first_failure(CLASSIC, clues, load + 3) is None
    for k in range(load):
        failure = first_failure(CLASSIC, clues, k)
        assert failure and failure.code == "too-many-marks"
        assert failure.marks and k < failure.marks <= load
        assert failure.placed == clues.count(0) - failure.values.count(0)
        (cell,) = failure.cells
        assert not failure.values[cell]
        play = Play(CLASSIC, failure.values)
        assert not in_sight(play, k)
        assert in_sight(play, failure.marks)


def test_too_many_marks_in_words() -> None:
    geometry, clues = SHAPES["irregular 6"], parse_grid(SMALL_BY_LOAD[0][1], 6)
    failure = first_failure(geometry, clues, 1)
    assert failure and failure.marks == 2
    (cell,) = failure.cells
    found = definition.in_sight(geometry, failure.values, 2)
    assert cell in {where for where, _ in found}
    assert not definition.in_sight(geometry, failure.values, 1)
    name = f"r{cell // 6 + 1}c{cell % 6 + 1}"
    assert failure.words == (
        f"after two placements the next digit that comes into sight, that of {name}, takes two "
        "marks at one time; the promise is one mark"
    )


def test_notes_needed_names_the_point_where_nothing_more_is_seen() -> None:
    for clues in grids.lines(NOTES_NEEDED):
        failure = first_failure(CLASSIC, clues, 5)
        assert failure and failure.code == "notes-needed"
        assert failure.marks is None
        assert not definition.at_all(CLASSIC, failure.values)
        assert failure.cells == tuple(c for c, digit in enumerate(failure.values) if not digit)
        assert failure.placed == clues.count(0) - len(failure.cells)
        assert f"{len(failure.cells)} cells are left" in failure.words
        assert failure.values == farthest(Play(CLASSIC, clues)).values


def test_a_search_that_is_cut_short_says_so() -> None:
    clues = grids.lines(BY_LOAD[3])[0]
    answer = no_notes(CLASSIC, clues, limit=25)
    assert (answer.solved, answer.marks, answer.known) == (True, None, False)
    assert answer.at_least in (2, 3)
    assert answer.as_json == {"solved": True, "marks": None, "at_least": answer.at_least}
    failure = first_failure(CLASSIC, clues, answer.at_least, limit=25)
    assert failure and failure.code == "undecided" and "not known" in failure.words
    # Fewer are too few, and that is known.
    failure = first_failure(CLASSIC, clues, answer.at_least - 1, limit=25)
    assert failure and (failure.code, failure.cells) == ("too-many-marks", ())
    assert "takes at least" in failure.words
