"""By eye: what of a step is to be seen in the digits alone, for a solver who writes nothing else.

A digit is held to some cells of a house by its copies around them; a cell is left with the digits
that it does not see. Where an earlier strike had a part in that, nothing is said: it is not there
to be seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from packbuilder.grid import Geometry
from packbuilder.ladder.basis import basis_of
from packbuilder.ladder.english import cells, digit, digits, digits_plural, label
from packbuilder.ladder.evidence import Scene
from packbuilder.ladder.path import Path, Position
from packbuilder.ladder.step import Step


def seen_in_digits(path: Path, k: int) -> tuple[str, ...]:
    """Sentences that say what step ``k`` of a path rests on, each to be seen in the grid."""
    step, before = path.steps[k], path.position_before(k)
    if step.places:
        return tuple(filter(None, _placed(step, before, path.geometry)))
    basis = basis_of(step, path.geometry)
    kept = (_kept(h, d, before, path.geometry) for h, d in (basis.held if basis else ()))
    return tuple(filter(None, (*_left(step, before, path.geometry), *kept)))


def _placed(step: Step, before: Position, geometry: Geometry) -> Iterator[str]:
    """A single: the copies that close the house, or the digits that the cell sees."""
    ((cell, d),) = step.places
    if step.technique == "full-house":
        yield f"{_sentence(label(step.houses[0], geometry))} has every digit but {digit(d)}."
    elif step.technique == "hidden-single":
        yield _kept(step.houses[0], d, before, geometry)
    elif step.technique == "naked-single":
        known: set[int] = set()
        seen = []
        for h in geometry.houses_of[cell]:
            more = {before.values[at] for at in geometry.houses[h].cells} - known - {0}
            if more:
                seen.append(f"{digits(sorted(more))} in {label(h, geometry)}")
            known |= more
        if len(known) == geometry.size - 1:
            yield f"{cells([cell], geometry.size)} sees {'; '.join(seen)}."


def _kept(h: int, d: int, before: Position, geometry: Geometry) -> str:
    """``In block 1 the 3s of r4c2 and r2c5 leave only r3c1``; "" where that is not all of it."""
    house = geometry.houses[h].cells
    places = [cell for cell in house if d in before.candidates[cell]]
    closed = {cell for cell in house if not before.values[cell]} - set(places)
    where, only = label(h, geometry), cells(places, geometry.size)
    if not places:
        return ""  # it has the digit
    if not closed:
        return f"In {where} only {only} {'is' if len(places) == 1 else 'are'} empty."
    scene = Scene(geometry, before.values)
    if not all(scene.seen(cell, d) for cell in closed):
        return ""
    copies = sorted(cell for one in scene.places(h, d, places) for cell in one.cells)
    them = f"{digit(d)} of" if len(copies) == 1 else f"{digits_plural(d)} of"
    leave = "leaves" if len(copies) == 1 else "leave"
    return f"In {where} the {them} {cells(copies, geometry.size)} {leave} only {only}."


def _left(step: Step, before: Position, geometry: Geometry) -> Iterator[str]:
    """``r7c4 and r8c4 see every digit but 7 and 8``: cells that are told by what they can be."""
    together: dict[tuple[int, ...], list[int]] = {}
    for cell in _telling(step, before):
        seen = {before.values[peer] for peer in geometry.peers[cell]}
        unseen = tuple(d for d in range(1, geometry.size + 1) if d not in seen)
        if before.candidates[cell] == unseen:
            together.setdefault(before.candidates[cell], []).append(cell)
    for left, where in together.items():
        see = "sees" if len(where) == 1 else "see"
        yield f"{cells(where, geometry.size)} {see} every digit but {digits(left)}."


def _telling(step: Step, before: Position) -> Iterable[int]:
    """The cells of a step of which it matters that they can be nothing else."""
    if step.technique.startswith("hidden-"):
        return ()
    if step.technique == "w-wing":
        return step.cells[0], step.cells[-1]
    if step.nodes:
        linked: dict[int, set[int]] = {}
        for where, d in step.nodes:
            for cell in where:
                linked.setdefault(cell, set()).add(d)
        return [c for c, ds in linked.items() if len(ds) > 1 and ds == set(before.candidates[c])]
    return [c for c in step.cells if {0} < {0, *before.candidates[c]} <= {0, *step.digits}]


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
