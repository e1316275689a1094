"""Rating a stream: in order, bad lines told and passed over, no grade without one solution."""

from __future__ import annotations

import io
import json
from concurrent.futures import ProcessPoolExecutor
from typing import Any

import pytest

from packbuilder.grid import Values, format_grid, parse_grid
from packbuilder.ladder.head.load import no_notes
from packbuilder.ladder.overrides import changed
from packbuilder.ladder.path import walk
from packbuilder.ladder.promises import needed
from packbuilder.ladder.rating import Rate
from packbuilder.ladder.rounds import rate
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import grid_lines, kernel, stream
from packbuilder.proof.stream import Tally
from tests.ladder import grids

GRIDS = [format_grid(clues) for clues in grids.classics()]
NONE, SEVERAL = "11" + "." * 79, "." * 81


def run(
    text: str, *, jsonl: bool, workers: int | None = None, **asked: Any
) -> tuple[list[str], list[str], Tally]:
    out, said = io.StringIO(), list[str]()
    source = io.BytesIO(text.encode())
    tally = stream.run(Rate(jsonl, **asked), source, out, report=said.append, workers=workers)
    return out.getvalue().splitlines(), said, tally


def test_each_grid_has_its_facts() -> None:
    out, said, tally = run("\n".join(GRIDS), jsonl=True)
    assert said == [] and tally.unique == tally.lines == len(GRIDS)
    for grid, line in zip(GRIDS, out, strict=True):
        facts = json.loads(line)
        clues = parse_grid(grid, 9)
        rating, first = rate(grids.CLASSIC, clues), kernel.prove(grids.CLASSIC, clues).first
        assert first
        assert facts == {
            "grid": grid,
            "solutions": 1,
            "solution": format_grid(first),
            "grade": rating.grade,
            "hardest": rating.hardest,
            "effort": rating.effort,
            "techniques": dict(rating.techniques),
            "no_notes": no_notes(grids.CLASSIC, clues).as_json,
        }


def test_a_grid_without_exactly_one_solution_has_no_grade() -> None:
    out, _, tally = run(f"{NONE}\n{SEVERAL}\n", jsonl=True)
    none, several = map(json.loads, out)
    assert (none["solutions"], none["grade"], none["reason"]) == (0, None, "no solution")
    assert (several["solutions"], several["grade"], several["reason"]) == (
        2,
        None,
        "several solutions",
    )
    assert several["solution"] is several["effort"] is several["no_notes"] is None
    assert (tally.none, tally.several, tally.unique) == (1, 1, 0)


def test_a_limit_that_runs_out_is_no_grade_either() -> None:
    hard = GRIDS[-1]
    (line,), _, tally = run(hard, jsonl=True, node_limit=0)
    facts = json.loads(line)
    assert (facts["solutions"], facts["grade"], facts["reason"]) == (None, None, "undecided")
    assert (tally.undecided, tally.none, tally.several) == (1, 0, 0)


def test_a_bad_line_is_told_and_the_rest_goes_on() -> None:
    out, said, tally = run(f"{GRIDS[0]}\nhello\n\n{GRIDS[1]}\n", jsonl=True)
    assert [json.loads(line)["grid"] for line in out] == [GRIDS[0], None, GRIDS[1]]
    told = "line 2: it has 5 characters; a grid is 81 cells in one line, no blanks"
    assert said == [told] and json.loads(out[1])["error"] == told
    assert (tally.unique, tally.bad, tally.lines) == (2, 1, 4)


def test_columns_for_people() -> None:
    lines = f"{GRIDS[0]}\n{SEVERAL}\n{GRIDS[-1]}\nhello\n"
    out, _, _ = run(lines, jsonl=False, ladder=DEFAULT.up_to(8))
    rating = rate(grids.CLASSIC, parse_grid(GRIDS[0], 9))
    assert out[0] == f"     1  hidden-single      {rating.effort:7.0f}   0  {GRIDS[0]}"
    assert out[1] == f"     -  several solutions        -   -  {SEVERAL}"
    assert out[2].startswith("beyond  ") and out[2].split()[3] == "-"
    assert out[3].startswith("     -  no grid                  -   -  line 4: it has 5 characters")


def test_processes_give_the_same_in_the_same_order(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "\n".join([*GRIDS, "oops", *reversed(GRIDS)])
    alone, _, _ = run(text, jsonl=True, workers=1)
    monkeypatch.setattr(Rate, "alone", 10)
    monkeypatch.setattr(Rate, "grids_a_chunk", 7)
    monkeypatch.setattr(grid_lines, "TRICKLE", 1)
    handed: list[int] = []
    real = ProcessPoolExecutor.submit

    def submit(*args: Any) -> Any:
        handed.append(len(args[2].grids))
        return real(*args)

    monkeypatch.setattr(ProcessPoolExecutor, "submit", submit)
    together, _, tally = run(text, jsonl=True, workers=2)
    assert together == alone and tally.bad == 1
    assert 0 < 2 * len(GRIDS) - sum(handed) <= 10  # the first grids are done here
    assert len(handed) > 2


def alone_will_do(clues: Values, slug: str) -> bool:
    """Whether all other techniques up to its rung do not solve the grid."""
    rest = DEFAULT.up_to(DEFAULT.rung_of(slug) + 1).without(slug)
    return not walk(grids.CLASSIC, clues, ladder=rest).solved


def test_the_techniques_that_a_grid_needs() -> None:
    rated = [(grid, needed(grids.CLASSIC, parse_grid(grid, 9))) for grid in GRIDS[::3]]
    only = [
        [slug for slug in found if alone_will_do(parse_grid(grid, 9), slug)]
        for grid, found in rated
    ]
    text = "\n".join(grid for grid, _ in rated)
    told, _, _ = run(text, jsonl=True, needs=True)
    assert [json.loads(line)["needs"] for line in told] == [list(found) for _, found in rated]
    assert [json.loads(line)["only"] for line in told] == only
    assert any(only) and not all(only)
    told, _, _ = run(text, jsonl=False, needs=True)
    for line, (grid, found), alone in zip(told, rated, only, strict=True):
        assert line.endswith(f"{grid}  {', '.join(found) or '-'}  {', '.join(alone) or '-'}")
    told, _, _ = run(f"{SEVERAL}\nhello\n", jsonl=True, needs=True)
    assert [json.loads(line)["needs"] for line in told] == [None, None]
    told, _, _ = run(SEVERAL, jsonl=False, needs=True)
    assert told[0].endswith(f"{SEVERAL}  -  -")
    assert any(found for _, found in rated) and not all(found for _, found in rated)


def test_another_ladder_may_be_asked_in_other_processes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Rate, "alone", 0)
    monkeypatch.setattr(Rate, "grids_a_chunk", 7)
    ladder = changed(DEFAULT, {"pointing": False, "hidden-single": {"rung": 2}})
    told, _, _ = run("\n".join(GRIDS), jsonl=True, ladder=ladder, workers=2)
    facts = [json.loads(line) for line in told]
    assert [f["grade"] for f in facts] == [
        rate(grids.CLASSIC, parse_grid(grid, 9), ladder=ladder).grade for grid in GRIDS
    ]
    assert not any("pointing" in f["techniques"] for f in facts)
