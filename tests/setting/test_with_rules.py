"""New grids with rules: each rule has clues, and OR-Tools finds one answer to what comes of it."""

from __future__ import annotations

import random
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml

from packbuilder import manifest, rules
from packbuilder.cli import run
from packbuilder.errors import InputError, Unfinished
from packbuilder.grid import Geometry, blocks, format_grid, latin, parse_grid
from packbuilder.ladder.path import walk
from packbuilder.ladder.puzzle_ladder import with_rules as ladder_with_rules
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import kernel
from packbuilder.rules.contract import Kind, Solved
from packbuilder.setting import search, solved_grids
from packbuilder.setting.entries import as_manifest_entry
from packbuilder.setting.new_grid import NewGrid
from packbuilder.setting.removal import remove_with_rules
from packbuilder.setting.rule_lines import rule_lines
from packbuilder.symmetry import orbits
from tests.rules import judge

WritePack = Callable[..., Path]

SMALL = blocks(2, 3)
WITH_CLUES = [slug for slug in rules.kinds() if not solved_grids.is_bare(slug)]
TOGETHER = [
    ("anti-knight", "thermometers"),
    ("arrows", "renban"),
    ("diagonals", "cages"),
    ("whispers", "parity", "dots"),
    ("sightlines", "sandwich"),
    ("sandwich", "little-sums", "sightlines"),
]
EVERY = [*((slug,) for slug in rules.kinds()), *TOGETHER]


def made(slugs: tuple[str, ...], geometry: Geometry = SMALL, **request: Any) -> NewGrid:
    clues = search.usual_clues(geometry, with_rules=True)
    asked: dict[str, Any] = {"count": 1, "seed": 3, "clues": clues} | request
    return next(search.set_grids(geometry, rules=slugs, **asked))


def as_text(value: Any) -> Any:
    """A value with every scalar as text, as the manifest hands it over."""
    if isinstance(value, dict):
        return {str(key): as_text(item) for key, item in value.items()}
    if isinstance(value, list):
        return [as_text(item) for item in value]
    return value if value is None else str(value).lower() if isinstance(value, bool) else str(value)


@pytest.mark.parametrize("slugs", EVERY, ids="+".join)
def test_an_outside_judge_finds_the_one_answer(
    slugs: tuple[str, ...], write_pack: WritePack
) -> None:
    """Source of the models: tests/rules/judge.py."""
    grid = made(slugs)
    entry = as_manifest_entry(grid, 1)
    puzzle = manifest.load(write_pack(entry)).puzzles[0]
    assert (puzzle.clues, puzzle.rules) == (grid.clues, grid.parts)
    assert puzzle.rule_names == slugs
    (written,) = yaml.safe_load(entry)
    listed = [
        (rule, None)
        if isinstance(rule, str)
        else (next(iter(rule)), as_text(next(iter(rule.values()))))
        for rule in written["rules"]
    ]
    shape = (2, 3)
    assert judge.solutions(6, shape, grid.clues, listed) == {grid.solution}
    for k in range(len(listed)):
        others = listed[:k] + listed[k + 1 :]
        assert len(judge.solutions(6, shape, grid.clues, others)) == 2, "a rule for show"


@pytest.mark.parametrize("slug", WITH_CLUES)
def test_what_a_rule_is_given_holds_and_can_be_read_from_print(slug: str) -> None:
    kind = rules.kinds()[slug]
    for seed in range(6):
        for geometry in (SMALL, blocks(3, 3), latin(5)):
            values = kernel.random_solution(geometry, seed)
            grid = solved(geometry, values, seed)
            value = kind.random_value(grid)
            assert value is not None
            parts = kind.read(value, geometry)
            assert all(part.holds(values, geometry.size) for part in parts)
            assert solved_grids.legible(geometry, ((slug, value),))
            assert kind.random_value(solved(geometry, values, seed)) == value


def solved(geometry: Geometry, values: tuple[int, ...], seed: int) -> Solved:
    free = frozenset(range(geometry.cell_count))
    return Solved(geometry, values, free, random.Random(seed).random)


@pytest.mark.parametrize("slug", WITH_CLUES)
def test_clues_go_one_by_one_in_their_order(slug: str) -> None:
    """Leaving out the first and then the second is leaving out the second and then the first."""
    kind = rules.kinds()[slug]
    value = kind.random_value(solved(SMALL, kernel.random_solution(SMALL, 2), 2))
    fewer = kind.fewer(value)
    count = len(kind.read(value, SMALL))
    if not fewer:
        assert slug in ("cages", "extra-regions") or value["all-shown"] == "true"
        return
    assert len(fewer) == count
    assert all(len(kind.read(one, SMALL)) == count - 1 for one in fewer)
    assert kind.fewer(fewer[0])[1] == kind.fewer(fewer[2])[0]
    while fewer:
        value, fewer = fewer[-1], kind.fewer(fewer[-1])
    assert len(kind.read(value, SMALL)) == 1


def test_lines_of_two_rules_share_no_cell() -> None:
    for seed in range(5):
        found = solved_grids.solved_with_rules(
            blocks(3, 3), ("thermometers", "renban", "parity"), f"s{seed}"
        )
        assert found is not None
        cells = [c for p in solved_grids.meaning_of(found.base, found.rules).parts for c in p.cells]
        assert len(cells) == len(set(cells))


def test_what_print_cannot_tell_apart_is_not_given(monkeypatch: pytest.MonkeyPatch) -> None:
    """A tip on a bulb looks like one long thermometer; a disc at a line's end like its bulb."""
    one, other = ["r1c1 r1c2", "r1c2 r1c3"], ["r1c1 r1c2 r1c3"]
    assert not solved_grids.legible(SMALL, (("thermometers", one),))
    assert solved_grids.legible(SMALL, (("thermometers", other),))
    with_disc = (("thermometers", other), ("parity", {"odd": "r1c1 r3c3"}))
    assert not solved_grids.legible(SMALL, with_disc)
    deals = [one, one, other]
    kind = rules.kinds()["thermometers"]
    monkeypatch.setattr(type(kind), "random_value", lambda self, grid: deals.pop(0))
    found = solved_grids.solved_with_rules(SMALL, ("thermometers",), "seed")
    assert found is not None
    assert found.rules == (("thermometers", other),)


def test_half_of_a_rules_clues_stay_and_digits_as_many_as_wished() -> None:
    firsts = []
    for slug in ("sightlines", "inequalities", "parity"):
        start = solved_grids.solved_with_rules(SMALL, (slug,), "s")
        assert start is not None
        removal = remove_with_rules(start, orbits("none", 6), 1, random.Random(1).random, fewest=9)
        stages = [removal.rules(k) for k in range(removal.steps, -1, -1)]
        parts = [len(solved_grids.meaning_of(SMALL, rules).parts) for rules in stages]
        assert sum(v > 0 for v in removal.clues()) == removal.clue_count() == 9
        assert parts[0] > parts[-1] >= parts[0] / 2
        assert all(parts[k] - parts[k + 1] in (0, 1) for k in range(len(parts) - 1))
        lighter = next(rules for rules in stages if rules != start.rules)
        fewer = rules.kinds()[slug].fewer(start.rules[0][1])
        firsts.append(fewer.index(lighter[0][1]))
    assert set(firsts) != {0}, "which clue goes first is a matter of chance"


@pytest.mark.parametrize("seed", range(4))
def test_lines_neither_cross_nor_come_back_beside_themselves(seed: int) -> None:
    found = solved_grids.solved_with_rules(blocks(3, 3), ("whispers",), f"line {seed}")
    assert found is not None
    crossed = set()
    for part in solved_grids.meaning_of(found.base, found.rules).parts:
        places = [divmod(cell, 9) for cell in part.cells]
        for (r, c), (s, d) in pairwise(places):
            if r != s and c != d:
                assert (r + s, c + d) not in crossed
                crossed.add((r + s, c + d))
        for k, (r, c) in enumerate(places):
            assert all(abs(r - s) + abs(c - d) != 1 for s, d in places[k + 2 :])


def test_a_grid_that_keeps_whole_rules_is_drawn_by_the_seed() -> None:
    whole = (("anti-king", None), ("non-consecutive", None))
    meaning = solved_grids.meaning_of(latin(7), whole)
    grids = [
        solved_grids.full_grid(latin(7), whole, random.Random(k).random) for k in (0, 0, 1, 2, 3)
    ]
    assert grids[0] == grids[1]
    assert len(set(grids)) > 1
    for grid in grids:
        assert meaning.geometry.holds(grid)
        assert all(part.holds(grid, 7) for part in meaning.parts)


def test_the_same_seed_sets_the_same_grid() -> None:
    one, again = made(("little-sums",)), made(("little-sums",))
    assert one == again
    assert made(("little-sums",), seed=4) != one


@pytest.mark.parametrize("grade", [2, 3, 4])
def test_a_request_is_met(grade: int) -> None:
    grid = made(("arrows",), grade=grade, symmetry="diagonal", clues=(4, 12))
    path = walk(grid.geometry, grid.clues, ladder=ladder_with_rules(DEFAULT, grid.parts))
    assert grid.grade == path.grade == grade
    assert 4 <= grid.clue_count <= 12


def test_a_technique_of_the_rule_can_be_asked_for() -> None:
    grid = made(("thermometers",), needs=("thermometer-rise",))
    ladder = ladder_with_rules(DEFAULT, grid.parts).without("thermometer-rise")
    assert walk(grid.geometry, grid.clues, ladder=ladder).grade != grid.grade


@pytest.mark.parametrize(
    ("slugs", "words"),
    [
        (("thermo",), "'thermo' is not a rule; did you mean thermometers?"),
        (("anti-king",), "no full grid keeps anti-king (4x4, blocks 2x2)"),
    ],
)
def test_requests_that_cannot_be_met(slugs: tuple[str, ...], words: str) -> None:
    """Four cells of a 2x2 block see all cells around: no 4x4 grid can keep anti-king."""
    geometry = blocks(2, 2)
    with pytest.raises(InputError) as refused:
        list(search.set_grids(geometry, rules=slugs, count=1, clues=(0, 6)))
    assert words in str(refused.value)


def test_the_budget_is_kept_while_a_grid_is_filled() -> None:
    grids = search.set_grids(
        blocks(4, 4), rules=("non-consecutive", "anti-knight"), count=1, clues=(0, 60), budget=0.1
    )
    with pytest.raises(Unfinished, match=r"0 of 1 grids found .* the time ran out"):
        next(grids)


def test_too_much_to_ask_ends_with_what_was_found() -> None:
    asked = {"count": 1, "clues": (0, 0), "grade": 1, "attempts": 2}
    with pytest.raises(Unfinished, match=r"0 of 1 grids found .*with parity.*grade 1"):
        list(search.set_grids(SMALL, rules=("parity",), **asked))  # type: ignore[arg-type]


def test_rules_as_a_person_writes_them() -> None:
    value = {"left": "10 . 0", "top": ". 7 ."}
    written = [
        ("anti-king", None),
        ("thermometers", ["r1c1 r1c2", "r2c1 r2c2"]),
        ("cages", {"picture": "aab\nccb", "sums": {"a": "3", "b": "4"}}),
        ("sandwich", value),
        ("dots", {"white": ["r1c1 r1c2"] * 9, "all-shown": "true"}),
        ("little-sums", [{"sum": "9", "from": "r1c2", "towards": "down-left"}] * 2),
    ]
    assert (
        "\n".join(rule_lines(written))
        == """\
rules:
  - anti-king
  - thermometers: [r1c1 r1c2, r2c1 r2c2]
  - cages:
      picture: |
        aab
        ccb
      sums: {a: 3, b: 4}
  - sandwich: {left: "10 . 0", top: ". 7 ."}
  - dots:
      white:
        [r1c1 r1c2, r1c1 r1c2, r1c1 r1c2, r1c1 r1c2, r1c1 r1c2, r1c1 r1c2, r1c1 r1c2, r1c1 r1c2,
         r1c1 r1c2]
      all-shown: true
  - little-sums:
      - {sum: 9, from: r1c2, towards: down-left}
      - {sum: 9, from: r1c2, towards: down-left}"""
    )
    assert rule_lines(()) == []


def test_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert (
        run(["set", "--size", "5", "--blocks", "none", "--rule", "sightlines", "--seed", "2"]) == 0
    )
    (entry,) = yaml.safe_load(capsys.readouterr().out)
    grid = made(("sightlines",), latin(5), seed=2)
    assert parse_grid(entry["grid"], 5) == grid.clues, format_grid(grid.clues)
    assert run(["set", "--rule", "sandwhich"]) == 2
    assert "did you mean sandwich?" in capsys.readouterr().err


def test_every_rule_that_has_clues_gives_some() -> None:
    for slug in WITH_CLUES:
        assert type(rules.kinds()[slug]).random_value is not Kind.random_value, slug
