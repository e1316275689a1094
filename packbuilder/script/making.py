"""Making: the files of a script, made aside, read back, and only then moved into place."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from packbuilder import press
from packbuilder.errors import Mismatch, Refused, Unfinished
from packbuilder.gate import Checked
from packbuilder.grid import Values
from packbuilder.ladder.head.solve import tell
from packbuilder.plan.items import Plan
from packbuilder.proof import kernel, rule_search
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.readback.report import Finding
from packbuilder.release.staging import move_in, staging
from packbuilder.script.board import board, board_pages
from packbuilder.script.looks import Look, looks_in_the_head, looks_with_notes
from packbuilder.script.markdown import markdown
from packbuilder.script.reading import read_board, read_pages
from packbuilder.script.sheets import rehearsal_plan, script_plan
from packbuilder.script.told import script_of

NOTHING = "nothing was written"


@dataclass(frozen=True)
class Wanted:
    """What is to be made, besides the script itself; ``pace`` in words a minute."""

    board: bool = False
    rehearsal: bool = False
    notes: bool = False
    pace: int = 150


def looks_of(checked: Checked, *, notes: bool) -> tuple[Look, ...]:
    """The looks of a solve. Raises Refused where it cannot be solved so, Unfinished if unknown."""
    puzzle, load, path = checked.puzzle, checked.no_notes, checked.path
    if checked.refused or path is None or load is None:
        codes = ", ".join(dict.fromkeys(f.code for f in checked.findings if f.refuses))
        raise Refused(f"{puzzle.id}: the gate refuses it ({codes}); `packbuilder check` says why")
    if notes:
        if not path.solved:
            raise Refused(f"{puzzle.id}: the ladder cannot finish it, so there is no solve to tell")
        return looks_with_notes(path)
    if load.solved is None:
        raise Unfinished(
            f"{puzzle.id}: whether it can be solved without notes is not known: a limit ran out; "
            "--notes tells the solve with notes"
        )
    if not load.solved:
        left = load.values.count(0)
        raise Refused(
            f"{puzzle.id}: it cannot be solved without notes: after {load.placed} digits nothing "
            f"more comes into sight and {left} cells are left; --notes tells the solve with notes"
        )
    return looks_in_the_head(tell(puzzle.geometry, puzzle.clues, puzzle.rules), puzzle.geometry)


def make(
    pack: Pack, checked: Checked, wanted: Wanted, out: Path, say: Callable[[str], None]
) -> tuple[Path, ...]:
    """Write the script's files into ``out``; gives their places.

    Raises Mismatch where a file is not what was meant, and then nothing is written.
    """
    puzzle, looks = checked.puzzle, looks_of(checked, notes=wanted.notes)
    with staging(out, NOTHING) as aside:
        made = [_script(pack, puzzle, looks, wanted, aside)]
        made[:0] = [_markdown(puzzle, looks, wanted, aside)]
        if wanted.board:
            say("drawing the board, and reading it back")
            made.append(_board(pack, puzzle, looks, aside))
        if wanted.rehearsal:
            made.append(_rehearsal(pack, puzzle, looks, aside))
        return move_in(made, out)


def _markdown(puzzle: Puzzle, looks: Sequence[Look], wanted: Wanted, aside: Path) -> Path:
    place = aside / f"{puzzle.id}-script.md"
    script = script_of(puzzle, looks, wanted.pace, notes=wanted.notes)
    place.write_text(markdown(script, puzzle), encoding="utf-8", newline="\n")
    return place


def _script(pack: Pack, puzzle: Puzzle, looks: Sequence[Look], wanted: Wanted, aside: Path) -> Path:
    script = script_of(puzzle, looks, wanted.pace, notes=wanted.notes)
    plan, shown = script_plan(pack, puzzle, script)
    data = _printed(plan)
    _check("script", tuple(read_pages(data, plan, puzzle, shown)))
    return _written(aside / f"{puzzle.id}-script.pdf", data)


def _rehearsal(pack: Pack, puzzle: Puzzle, looks: Sequence[Look], aside: Path) -> Path:
    plan, shown = rehearsal_plan(pack, puzzle, looks)
    data = _printed(plan)
    _check("rehearsal sheet", tuple(read_pages(data, plan, puzzle, shown)))
    return _written(aside / f"{puzzle.id}-rehearsal.pdf", data)


def _board(pack: Pack, puzzle: Puzzle, looks: Sequence[Look], aside: Path) -> Path:
    plan = board(pack, puzzle, board_pages(puzzle, looks))
    data = _printed(plan)
    positions = (puzzle.clues, *(look.after for look in looks))
    _check("board", tuple(read_board(data, plan, puzzle, positions, solution)))
    return _written(aside / f"{puzzle.id}-board.pdf", data)


def solution(puzzle: Puzzle, values: Values) -> Values | None:
    """The only solution from a position on, by the proof engines; None where there is not one."""
    if all(part.houses_only for part in puzzle.rules):
        verdict = kernel.prove(puzzle.geometry, values)
    else:
        verdict = rule_search.prove(puzzle.geometry, values, puzzle.rules, time_limit=60.0)
    return verdict.first if verdict.solutions == 1 else None


def _printed(plan: Plan) -> bytes:
    out = BytesIO()
    press.write_pdf(plan, out)
    return out.getvalue()


def _written(place: Path, data: bytes) -> Path:
    place.write_bytes(data)
    return place


def _check(what: str, findings: Sequence[Finding]) -> None:
    if findings:
        told = "; ".join(f"page {finding.page}: {finding.message}" for finding in findings[:5])
        raise Mismatch(
            f"the {what}, read back, is not what was meant: {told}; {NOTHING}. This is a fault of "
            "packbuilder: please report it"
        )
