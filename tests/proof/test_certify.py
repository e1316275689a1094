"""The certificate: both engines or nothing, and what would mend a faulty grid."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.grid import Geometry, Values, blocks, latin, parse_grid
from packbuilder.proof import kernel, sat
from packbuilder.proof.certify import certify
from packbuilder.proof.mending import MOST_CORRECTIONS, Mender
from packbuilder.proof.verdict import Verdict
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED
from tests.ladder import grids
from tests.proof.geometries import MANY, random_clues

NINE = blocks(3, 3)
CLUES = parse_grid(EXAMPLE, 9)
SOLVED = parse_grid(EXAMPLE_SOLVED, 9)
# r1c1 and r1c3 hold 1 and 3, r3c1 and r3c3 hold 3 and 1; exchanged, they fit as well.
RECTANGLE = parse_grid(".2.4 2143 .4.2 4321".replace(" ", ""), 4)
RECTANGLE_CELLS = (0, 2, 8, 10)


def with_clue(clues: Values, cell: int, digit: int) -> Values:
    return (*clues[:cell], digit, *clues[cell + 1 :])


def test_one_solution() -> None:
    proof = certify(NINE, CLUES)
    assert proof.unique
    assert proof.agree
    assert proof.verdict.first == SOLVED
    assert (proof.differing, proof.mend, proof.clash, proof.undecided) == ((), None, (), "")


def test_two_solutions_made_by_hand() -> None:
    proof = certify(latin(4), RECTANGLE)
    assert proof.verdict.solutions == 2
    assert not proof.unique
    assert {proof.verdict.first, proof.verdict.second} == {
        parse_grid("1234 2143 3412 4321".replace(" ", ""), 4),
        parse_grid("3214 2143 1432 4321".replace(" ", ""), 4),
    }
    assert proof.differing == RECTANGLE_CELLS
    assert proof.mend == (0, 1)  # the first in reading order; any of the eight would do


def test_no_solution() -> None:
    proof = certify(latin(4), parse_grid("123. ...4 .... 3...".replace(" ", ""), 4))
    assert proof.verdict.solutions == 0
    assert proof.clash == (0, 1, 2, 7)


def mends(geometry: Geometry, clues: Values) -> set[tuple[int, int]]:
    """All single clues that leave one solution, each tried."""
    return {
        (cell, digit)
        for cell, clue in enumerate(clues)
        for digit in range(1, geometry.size + 1)
        if not clue and kernel.prove(geometry, with_clue(clues, cell, digit)).solutions == 1
    }


@pytest.mark.parametrize("sample", [2, 10, 2000])
@pytest.mark.parametrize(("name", "share"), [("6x6", 0.25), ("9x9", 0.36), ("5x5-irregular", 0.2)])
def test_a_mend_mends_and_is_found_if_there_is_one(
    name: str, share: float, sample: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("packbuilder.proof.mending.SAMPLE", sample)
    seen = set()
    for seed in range(10):
        clues = random_clues(MANY[name], seed, share)
        if kernel.prove(MANY[name], clues).solutions == 2:
            with Mender(MANY[name], clues) as mender:
                mend, all_mends = mender.clue(), mends(MANY[name], clues)
            assert mend == min(all_mends, default=None)
            seen.add(mend is None)
    assert seen == {True, False}, "the grids should show both cases"


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([0.25, 0.35, 0.5]), st.sampled_from([0, 1]))
def test_the_parts_of_a_proof_belong_together(seed: int, share: float, wrong: int) -> None:
    clues = random_clues(NINE, seed, share, wrong)
    proof = certify(NINE, clues)
    assert proof.agree
    assert proof.unique == (proof.verdict.solutions == 1)
    assert bool(proof.differing) == (proof.verdict.solutions == 2)
    assert bool(proof.clash) == (proof.verdict.solutions == 0)
    if proof.differing:
        first, second = proof.verdict.first, proof.verdict.second
        assert first is not None
        assert second is not None
        assert proof.differing == tuple(np.flatnonzero(np.array(first) != np.array(second)))
    if proof.mend:
        mended = with_clue(clues, *proof.mend)
        assert sat.prove(NINE, mended).solutions == 1


def test_a_limit_of_either_engine_leaves_the_grid_undecided() -> None:
    clues = grids.lines(grids.BY_GRADE[8])[0]  # the kernel has to branch for its one solution
    for limits, said in [
        ({"node_limit": 0}, "the kernel stopped after 0 branches"),
        ({"time_limit": 0}, "the SAT solver stopped after 0 seconds"),
        (
            {"node_limit": 0, "time_limit": 0},
            "the kernel stopped after 0 branches and the SAT solver stopped after 0 seconds",
        ),
    ]:
        proof = certify(NINE, clues, **limits)  # type: ignore[arg-type]
        assert proof.verdict.solutions is None
        assert proof.verdict.first is None
        assert not proof.unique
        assert proof.agree
        assert proof.undecided == said


def test_two_solutions_in_hand_outweigh_a_limit() -> None:
    clues = random_clues(NINE, 11, 0.32)
    for limits in ({"node_limit": 0}, {"time_limit": 0}):
        proof = certify(NINE, clues, **limits)  # type: ignore[arg-type]
        assert proof.verdict.solutions == 2
        assert proof.differing


OTHER = with_clue(SOLVED, 0, 6)
TWIN = kernel.random_solution(NINE, 1)


@pytest.mark.parametrize("liar", ["kernel", "sat"])
@pytest.mark.parametrize(
    "lie",
    [
        pytest.param(Verdict(0), id="no-solution"),
        pytest.param(Verdict(2, SOLVED, TWIN), id="second-breaks-the-clues"),
        pytest.param(Verdict(1, OTHER), id="breaks-a-house"),
        pytest.param(Verdict(1, TWIN), id="breaks-the-clues"),
        pytest.param(Verdict(2, SOLVED, SOLVED), id="the-same-twice"),
        pytest.param(Verdict(1), id="shows-nothing"),
        pytest.param(Verdict(None, TWIN), id="undecided-but-wrong"),
    ],
)
def test_engines_that_cannot_both_be_right_release_nothing(
    liar: str, lie: Verdict, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(f"packbuilder.proof.{liar}.prove", lambda *_, **__: lie)
    proof = certify(NINE, CLUES)
    assert not proof.agree
    assert not proof.unique
    assert proof.verdict == Verdict(None)


@pytest.mark.parametrize(
    "lie", [Verdict(1, OTHER), Verdict(1, TWIN)], ids=["breaks-a-house", "breaks-the-clues"]
)
def test_engines_that_agree_are_not_believed_against_the_plain_rule(
    lie: Verdict, monkeypatch: pytest.MonkeyPatch
) -> None:
    for engine in (kernel, sat):
        monkeypatch.setattr(engine, "prove", lambda *_, **__: lie)
    proof = certify(NINE, CLUES if lie.first == TWIN else OTHER)
    assert not proof.agree
    assert proof.verdict == Verdict(None)


def test_a_solution_shown_by_an_undecided_engine_refutes_none(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(kernel, "prove", lambda *_, **__: Verdict(None, SOLVED))
    both_may_be_true = certify(NINE, CLUES)
    assert both_may_be_true.agree
    assert both_may_be_true.undecided
    monkeypatch.setattr(sat, "prove", lambda *_, **__: Verdict(0))
    assert not certify(NINE, CLUES).agree


def test_a_clash_that_the_kernel_can_solve_releases_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    clues = parse_grid("123. ...4 .... ....".replace(" ", ""), 4)
    monkeypatch.setattr(sat, "clash", lambda *_, **__: (0, 1, 2))
    assert not certify(latin(4), clues).agree


def test_all_clues_are_the_clash_when_there_is_no_time_to_find_a_smaller_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    clues = parse_grid("123. ...4 .... 3...".replace(" ", ""), 4)
    monkeypatch.setattr(sat, "prove", lambda *_, **__: Verdict(0))
    assert certify(latin(4), clues, time_limit=0).clash == (0, 1, 2, 7, 12)


@pytest.mark.parametrize("sample", [3, 2000])
def test_two_clues_where_one_will_not_do(sample: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("packbuilder.proof.mending.SAMPLE", sample)
    found = 0
    for seed in range(40):
        clues = random_clues(MANY["6x6"], seed, 0.2)
        proof = certify(MANY["6x6"], clues)
        if proof.verdict.solutions != 2:
            continue
        assert not (proof.mend and proof.pair)
        if proof.pair:
            assert not mends(MANY["6x6"], clues)
            one, other = proof.pair
            assert one[0] < other[0] and not clues[one[0]] and not clues[other[0]]
            mended = with_clue(with_clue(clues, *one), *other)
            assert kernel.prove(MANY["6x6"], mended).solutions == 1
            found += 1
    assert found > 3


def corrections(geometry: Geometry, clues: Values, cells: tuple[int, ...]) -> list[tuple[int, int]]:
    """For each clue the lowest other digit that leaves one solution, each tried."""
    found: dict[int, int] = {}
    for cell in cells:
        for digit in range(geometry.size, 0, -1):
            mended = with_clue(clues, cell, digit)
            if digit != clues[cell] and sat.prove(geometry, mended).solutions == 1:
                found[cell] = digit
    return list(found.items())


def test_a_slip_is_found_where_another_digit_would_do() -> None:
    slips = 0
    for seed in range(25):
        clues = random_clues(NINE, seed, 0.36, 1)
        proof = certify(NINE, clues)
        if proof.verdict.solutions == 0 and proof.clash:
            every = corrections(NINE, clues, proof.clash)
            assert list(proof.corrections) == every[:MOST_CORRECTIONS]
            slips += bool(every)
    assert slips > 2


def test_a_contradiction_that_one_engine_finds_is_the_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    clues = parse_grid("123. ...4 .... 3...".replace(" ", ""), 4)
    for engine in (kernel, sat):
        with monkeypatch.context() as patch:
            patch.setattr(engine, "prove", lambda *_, **__: Verdict(None))
            proof = certify(latin(4), clues)
        assert (proof.verdict.solutions, proof.clash) == (0, (0, 1, 2, 7))
        assert proof.agree and not proof.undecided
