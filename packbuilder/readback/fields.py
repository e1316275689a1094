"""Fields to type in: one over each empty cell of each puzzle and of each grid to try, named for it,
another for notes along its top, and none elsewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder.grid import cell_name
from packbuilder.readback.match import Match
from packbuilder.readback.report import Fault, Finding, gather
from packbuilder.reader.fields import Field
from packbuilder.reader.text import PRIMER, PUZZLES


def check_fields(fields: Sequence[Field], matches: Sequence[Match], page: int) -> Iterator[Finding]:
    """The fields of one page, whose items are ``matches``."""
    left = list(fields)
    for match in matches:
        typed = match.item.section == PUZZLES or (match.item.section == PRIMER and not match.hint)
        if typed and match.grid:
            over: dict[int, list[Field]] = {}
            for field in fields:
                left_, bottom, right, top = field.box
                cell = match.grid.lattice.cell_at((left_ + right) / 2, (bottom + top) / 2)
                if cell is not None:
                    over.setdefault(cell, []).append(field)
                    left.remove(field)
            yield from match.findings(_faults(over, match))
    for field in left:
        yield Finding(
            "field-extra",
            f"a form field ({field.name!r}) lies at {field.box[0]:.0f}, {field.box[1]:.0f} points, "
            "where no empty cell of a puzzle is",
            page,
        )


def _faults(over: dict[int, list[Field]], match: Match) -> Iterator[Fault]:
    assert match.grid is not None
    n, entry, lattice = match.entry.puzzle.size, match.entry, match.grid.lattice
    whose = f"p{entry.number}" if entry.number else f"try-{entry.hardest}"
    extra, missing, wrong = [], [], []
    for cell, clue in enumerate(match.entry.puzzle.clues):
        name = cell_name(cell, n)
        middle = lattice.y[0] - (cell // n + 0.5) * lattice.pitch
        found: dict[str, list[Field]] = {"": [], "-notes": []}
        for one in over.get(cell, []):
            found["" if one.box[1] < middle < one.box[3] else "-notes"].append(one)
        for kind, ones in found.items():
            what = "notes on" if kind else "a digit in"
            if clue and ones:
                extra.append((cell, f"a form field lies over the clue in {name}"))
            elif not clue and not ones:
                missing.append((cell, f"{name} is empty and has no field for {what} it"))
            elif len(ones) > 1:
                extra.append((cell, f"{len(ones)} form fields for {what} {name} lie over it"))
            elif ones and ones[0].name != f"{whose}-{name}{kind}":
                wrong.append((cell, f"the field for {what} {name} is named {ones[0].name!r}"))
            elif ones and ones[0].value:
                wrong.append((cell, f"the field for {what} {name} holds {ones[0].value!r} already"))
            elif ones and kind and ones[0].box[1] < middle:
                wrong.append((cell, f"the field for notes on {name} lies under its digit"))
    yield from gather("field-extra", extra)
    yield from gather("field-missing", missing)
    yield from gather("field", wrong)
