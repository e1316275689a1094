"""needs and uses, held against their definition spelled out with plain walks."""

from __future__ import annotations

import pytest

from packbuilder.errors import InputError
from packbuilder.grid import Values
from packbuilder.ladder.path import walk
from packbuilder.ladder.promises import kept, needed, needs, rivals, sole, uses
from packbuilder.ladder.rounds import rate
from packbuilder.ladder.table import DEFAULT, Ladder
from tests.ladder import grids

CLASSIC = grids.CLASSIC
CLASSICS = grids.classics()


def by_definition(clues: Values, slug: str) -> bool:
    """Solved by all techniques on rungs below T's plus T; not by those below T's rung alone."""
    rung = min(t.rung for t in DEFAULT.techniques if t.slug == slug)
    below = tuple(t for t in DEFAULT.techniques if t.rung < rung and t.slug != slug)
    itself = tuple(t for t in DEFAULT.techniques if t.slug == slug)
    solved = walk(CLASSIC, clues, ladder=Ladder(below + itself)).solved
    return solved and not (below and walk(CLASSIC, clues, ladder=Ladder(below)).solved)


@pytest.mark.parametrize("clues", CLASSICS[::3])
def test_needs_is_what_its_definition_says(clues: Values) -> None:
    for slug in DEFAULT.slugs:
        (need,) = needs(CLASSIC, clues, [slug])
        assert need.holds == by_definition(clues, slug), slug


def test_some_grids_need_what_others_do_not() -> None:
    found = {
        (slug, needs(CLASSIC, clues, [slug])[0].holds)
        for clues in CLASSICS[:17]
        for slug in ("naked-single", "pointing", "hidden-pair", "naked-pair")
    }
    assert len(found) == 8


def test_a_need_names_where_the_solve_is_stuck() -> None:
    clues = next(c for c in CLASSICS if needs(CLASSIC, c, ["hidden-pair"])[0].holds)
    need = needs(CLASSIC, clues, ["hidden-pair"])[0]
    stuck = len(need.without.steps)
    assert not need.without.solved and need.instead == ()
    assert need.words == (
        f"Hidden pair is needed: without it the solve is stuck after {stuck} steps"
    )
    # What stands there is what the allowed path has before its first hidden pair, at the latest.
    first = next(k for k, s in enumerate(need.allowed.steps) if s.technique == "hidden-pair")
    assert need.allowed.steps[:first] == need.without.steps[:first]


def test_what_solves_it_instead() -> None:
    clues = grids.lines(grids.BY_GRADE[2])[0]
    (need,) = needs(CLASSIC, clues, ["naked-triple"])
    assert not need.holds and need.without.solved
    assert need.instead[0] == rate(CLASSIC, clues).hardest
    assert need.words == (
        "Naked triple is not needed: the puzzle is solved without it, with nothing above rung 2 "
        f"({need.instead[0].replace('-', ' ')})"
    )


def test_a_technique_that_is_not_enough() -> None:
    clues = grids.lines(grids.BY_GRADE[4])[0]
    (need,) = needs(CLASSIC, clues, ["pointing"])
    assert not need.holds
    assert need.words == (
        f"Pointing does not solve the puzzle: even with it the solve is stuck after "
        f"{len(need.allowed.steps)} steps; on the whole ladder it takes "
        f"a {rate(CLASSIC, clues).hardest.replace('-', ' ')} (rung 4)"
    )
    beyond = (0,) * 81
    words = needs(CLASSIC, beyond, ["pointing"])[0].words
    assert words.endswith("stuck after 0 steps, and the whole ladder fails too")


def test_several_needs_are_allowed_together_and_none_may_be_left_out() -> None:
    together = 0
    for clues in CLASSICS[:17]:
        pair = needs(CLASSIC, clues, ["naked-single", "naked-pair"])
        rest = [t for t in DEFAULT.techniques if t.rung < 4 or t.slug == "naked-pair"]
        for need in pair:
            left = Ladder(tuple(t for t in rest if t.slug != need.slug))
            both = walk(CLASSIC, clues, ladder=Ladder(tuple(rest))).solved
            assert need.holds == (both and not walk(CLASSIC, clues, ladder=left).solved)
        together += all(need.holds for need in pair)
    assert together


def test_all_that_a_grid_needs() -> None:
    several = 0
    for clues in CLASSICS[2::4]:
        found = needed(CLASSIC, clues)
        assert found == tuple(s for s in DEFAULT.slugs if needs(CLASSIC, clues, [s])[0].holds)
        several += len(found) > 0
    assert several >= 2
    assert needed(CLASSIC, (0,) * 81) == ()


def test_uses_is_being_on_the_path() -> None:
    path = walk(CLASSIC, grids.lines(grids.BY_GRADE[3])[0])
    on_path = [slug for slug, _ in path.techniques]
    assert uses(path, on_path)
    assert not uses(path, [*on_path, "hidden-triple"])


def test_an_unknown_technique_is_answered_with_the_nearest() -> None:
    path = walk(CLASSIC, CLASSICS[0])
    for ask in (lambda s: needs(CLASSIC, CLASSICS[0], [s]), lambda s: uses(path, [s])):
        with pytest.raises(InputError) as caught:
            ask("hidden_tripel")
        assert str(caught.value).startswith(
            "'hidden_tripel' is not a technique of the ladder; did you mean 'hidden-triple'? "
            "There are: full-house, hidden-single, "
        )
    with pytest.raises(InputError, match=r"'zzz' is not a technique of the ladder\. There are:"):
        needs(CLASSIC, CLASSICS[0], ["zzz"])


def test_no_technique_is_no_promise() -> None:
    assert needs(CLASSIC, CLASSICS[0], []) == ()


def alone(clues: Values, slug: str) -> bool:
    """`only`, by its definition: needed, and not solved by the rest up to its rung."""
    rung = min(t.rung for t in DEFAULT.techniques if t.slug == slug)
    rest = tuple(t for t in DEFAULT.techniques if t.rung <= rung and t.slug != slug)
    return by_definition(clues, slug) and not walk(CLASSIC, clues, ladder=Ladder(rest)).solved


def instead(clues: Values, slug: str, rung: int) -> bool:
    """Whether a technique solves the grid with all on rungs below a rung."""
    allowed = tuple(t for t in DEFAULT.techniques if t.rung < rung or t.slug == slug)
    return walk(CLASSIC, clues, ladder=Ladder(allowed)).solved


@pytest.mark.parametrize("clues", CLASSICS[1::5])
def test_only_is_what_its_definition_says(clues: Values) -> None:
    found = needed(CLASSIC, clues)
    assert sole(CLASSIC, clues, found) == tuple(s for s in DEFAULT.slugs if alone(clues, s))
    for slug in found:
        (rival,) = rivals(CLASSIC, clues, [slug])
        assert bool(rival) != alone(clues, slug)
        rung = DEFAULT.rung_of(slug)
        there = dict.fromkeys(t.slug for t in DEFAULT.techniques if t.rung == rung)
        beside = [s for s in there if s != slug]
        assert rival.each == tuple(s for s in beside if instead(clues, s, rung))
        assert not (rival.each and rival.together) and set(rival.together) <= set(beside)
        assert kept(CLASSIC, clues, [slug]) and kept(CLASSIC, clues, [], [slug]) != bool(rival)


def test_a_rival_is_named() -> None:
    found = [rivals(CLASSIC, clues, needed(CLASSIC, clues)[:1]) for clues in CLASSICS]
    told = {one.words for rival in found for one in rival if one}
    assert len(told) > 5
    assert all(" is needed, but " in words for words in told)
    assert all(words.endswith(" would do instead") for words in told)


def test_rivals_that_do_it_together() -> None:
    # A pair of techniques that need each other: neither alone does what a third does.
    ladder = DEFAULT.up_to(4, "naked-pair", "hidden-pair", "naked-triple", "hidden-triple")
    for clues in CLASSICS:
        for slug in needed(CLASSIC, clues, ladder=ladder):
            (rival,) = rivals(CLASSIC, clues, [slug], ladder=ladder)
            if rival.together:
                others = ladder.up_to(ladder.rung_of(slug), *rival.together)
                assert walk(CLASSIC, clues, ladder=others).solved
                assert len(rival.together) > 1 and rival.words.endswith("together would do instead")


def test_no_rival_where_several_are_promised_and_none_can_be_spared() -> None:
    pairs = 0
    asked = [
        (clues, ["naked-single", slug]) for clues in CLASSICS for slug in needed(CLASSIC, clues)
    ]
    for clues, promised in asked:
        if all(need.holds for need in needs(CLASSIC, clues, promised)):
            for rival in rivals(CLASSIC, clues, promised):
                top = max(DEFAULT.rung_of(slug) for slug in promised)
                rest = DEFAULT.up_to(top + 1).without(rival.slug)
                assert bool(rival) == walk(CLASSIC, clues, ladder=rest).solved
                pairs += 1
    assert pairs > 4
