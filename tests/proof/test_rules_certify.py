"""The certificate of grids with rules."""

from __future__ import annotations

import pytest

from packbuilder.grid import Values, blocks, format_grid, latin, parse_grid
from packbuilder.proof import kernel, mending, rule_search, sat
from packbuilder.proof.certify import certify
from packbuilder.proof.verdict import Verdict
from packbuilder.rules.houses import with_houses
from tests.proof.rule_parts import Apart, Cage, Rising, Same, Sum

LATIN = latin(4)
EMPTY: Values = (0,) * 16
# Row 1 and column 1 in order: the four reduced squares of size 4 (source: OEIS A000315).
REDUCED = (Rising((0, 1, 2, 3)), Rising((4, 8, 12)))
ONE = (*REDUCED, Sum((4, 5), 6))


def test_one_solution_by_search_and_sat(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kernel, "prove", lambda *_, **__: pytest.fail("the kernel was asked"))
    proof = certify(LATIN, EMPTY, ONE)
    assert proof.unique
    assert format_grid(proof.verdict.first or ()) == "1234" + "2413" + "3142" + "4321"


def test_a_rule_of_houses_goes_through_the_kernel(monkeypatch: pytest.MonkeyPatch) -> None:
    for engine in (rule_search,):
        monkeypatch.setattr(engine, "prove", lambda *_, **__: pytest.fail("the search was asked"))
    parts = (Same((0, 5, 10, 15)), Same((3, 6, 9, 12)))
    proof = certify(with_houses(blocks(2, 2), parts), parse_grid("12.." + "." * 12, 4), parts)
    assert proof.verdict.solutions == 2


def test_two_solutions_are_mended() -> None:
    proof = certify(LATIN, EMPTY, REDUCED)
    assert proof.verdict.solutions == 2
    assert proof.differing
    assert proof.mend is not None
    cell, digit = proof.mend
    mended = (*EMPTY[:cell], digit, *EMPTY[cell + 1 :])
    assert certify(LATIN, mended, REDUCED).unique


@pytest.mark.parametrize("sample", [2, 200])
def test_the_mend_is_the_first_of_all(sample: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mending, "RULE_SAMPLE", sample)
    mends = [
        (cell, digit)
        for cell in range(16)
        for digit in range(1, 5)
        if sat.prove(LATIN, (*EMPTY[:cell], digit, *EMPTY[cell + 1 :]), REDUCED).solutions == 1
    ]
    assert certify(LATIN, EMPTY, REDUCED).mend == mends[0]


def test_no_solution_names_parts_and_clues() -> None:
    # 1 + 2 in r1c1 r1c2 leaves 3 and 4 beside them; r1c3 rises to r2c3, so it is 3 and r2c3 is 4.
    cage, rising, other = Cage((0, 1), 3), Rising((2, 6)), Apart((9, 14), 1)
    parts = (other, cage, rising)
    clues = (*EMPTY[:7], 4, *EMPTY[8:])
    proof = certify(with_houses(LATIN, parts), clues, parts)
    assert proof.verdict.solutions == 0
    assert (proof.clash, proof.clash_parts) == ((7,), (cage, rising))


def test_the_houses_of_a_part_clash_under_its_name() -> None:
    diagonal = Same((0, 5, 10, 15))
    clues = (1,) + (0,) * 9 + (1,) + (0,) * 5
    proof = certify(with_houses(LATIN, [diagonal]), clues, [diagonal])
    assert (proof.clash, proof.clash_parts) == ((0, 10), (diagonal,))


def test_limits_of_the_search_are_told() -> None:
    for limits, said in [
        ({"node_limit": 0}, "the rule search stopped after 0 branches"),
        (
            {"time_limit": 0},
            "the rule search stopped after 0 seconds and the SAT solver stopped after 0 seconds",
        ),
    ]:
        proof = certify(LATIN, EMPTY, ONE, **limits)
        assert proof.verdict.solutions is None
        assert proof.undecided == said


SOLVED = parse_grid("1234" + "2143" + "3412" + "4321", 4)


@pytest.mark.parametrize("liar", [rule_search, sat])
@pytest.mark.parametrize(
    "lie",
    [
        pytest.param(Verdict(0), id="no-solution"),
        pytest.param(Verdict(1, SOLVED), id="breaks-the-part"),
    ],
)
def test_engines_that_disagree_release_nothing(
    liar: object, lie: Verdict, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(liar, "prove", lambda *_, **__: lie)
    proof = certify(LATIN, EMPTY, ONE)
    assert not proof.agree
    assert proof.verdict == Verdict(None)


def test_engines_that_agree_are_not_believed_against_the_parts(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for engine in (rule_search, sat):
        monkeypatch.setattr(engine, "prove", lambda *_, **__: Verdict(1, SOLVED))
    assert not certify(LATIN, EMPTY, (Sum((0, 1), 4),)).agree
    assert certify(LATIN, EMPTY, (Sum((0, 1), 3),)).agree


def test_what_one_engine_knows_is_the_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    cage, rising = Cage((0, 1), 3), Rising((2, 6))
    clues = (*EMPTY[:7], 4, *EMPTY[8:])
    for engine in (sat, rule_search):
        with monkeypatch.context() as patch:
            real = engine.prove
            patch.setattr(engine, "prove", lambda *_, **__: Verdict(None))
            proof = certify(LATIN, clues, (cage, rising), node_limit=10**6)
            assert (proof.verdict.solutions, proof.clash) == (0, (7,))
            several = certify(LATIN, EMPTY, REDUCED)
            assert several.verdict.solutions == 2 and several.agree
            assert engine.prove is not real
