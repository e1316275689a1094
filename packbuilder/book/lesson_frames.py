"""Frames: a step of a path in three pictures of one grid, each with a layer more than the last.

What to find, with what shows that it is there; what follows from that; what goes, and what can be
written.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from packbuilder.book.book import Frame
from packbuilder.grid import Geometry, cell_name
from packbuilder.ladder.basis import COUNTS_ALL
from packbuilder.ladder.evidence import Because
from packbuilder.ladder.hints import Hint, hint_at
from packbuilder.ladder.path import Path
from packbuilder.ladder.reasons import Reasons
from packbuilder.ladder.step import Step
from packbuilder.ladder.teaching import Taught, lettered, loses, taught, written
from packbuilder.ladder.telling import Telling
from packbuilder.ladder.visible import seen_in_digits

TITLES = ("Find", "Conclude", "Write")


class _Layer(NamedTuple):
    """What a frame says of the example, what it comes to, and what it shows."""

    words: Sequence[str]
    ends: str
    hint: Hint


def frames(path: Path, k: int, look: Sequence[str]) -> tuple[Frame, ...]:
    """The frames of step ``k`` (from 0); ``look`` says of each in general what is done there."""
    reasons, step = Reasons(path), path.steps[k]
    told = taught(step, path.geometry)
    hint = replace(hint_at(reasons, k, onward=False), letters=told.letters)
    told = told._replace(found=told.found or hint.where)
    visible = seen_in_digits(path, k)
    hint = _ringed(hint, " ".join(visible), path.geometry)
    seen = _called(visible, told, path.geometry)
    if step.places:
        layers = _placing(hint, told, seen, path.geometry)
    else:
        layers = _striking(hint, told, seen, path.geometry, _after(reasons, k))
    return tuple(
        _frame(title, (general, *layer.words), layer.ends, layer.hint)
        for title, general, layer in zip(TITLES, look, layers, strict=True)
    )


def _ringed(hint: Hint, words: str, geometry: Geometry) -> Hint:
    """The hint with all digits in rings that the words name: they may say more than is needed."""
    known = {cell for one in hint.because for cell in one.cells}
    named = _names(words)
    more = [
        Because("digit", digit, (cell,), (), geometry.houses_of[cell][0])
        for cell, digit in enumerate(hint.position)
        if digit and cell not in known and cell_name(cell, geometry.size) in named
    ]
    return replace(hint, because=(*hint.because, *more))


def _frame(title: str, words: Sequence[str], ends: str, hint: Hint) -> Frame:
    said = tuple(filter(None, words))
    return Frame(title, said, ends, replace(hint, told=" ".join(filter(None, (*said, ends)))))


def _names(words: str) -> set[str]:
    """The cells that words name."""
    return set(re.findall(r"\br\d+c\d+\b", words))


def _called(words: Iterable[str], told: Taught, geometry: Geometry) -> tuple[str, ...]:
    return tuple(lettered(text, told.letters, geometry.size) for text in words)


def _after(reasons: Reasons, k: int) -> Step | None:
    """The placement that follows from a strike: what is left for a cell, or the next to be made."""
    step, left = reasons.path.steps[k], reasons.candidates(k)
    for cell, _ in step.removes:
        kept = tuple({*left[cell]} - {d for at, d in step.removes if at == cell})
        if len(kept) == 1:
            return Step("naked-single", 1, ((cell, kept[0]),), (), (cell,), kept, ())
    return Telling(reasons).given(k)


def _placing(
    hint: Hint, told: Taught, seen: Sequence[str], geometry: Geometry
) -> tuple[_Layer, ...]:
    """Where to look; what closes all but one cell, or all but one digit; the digit."""
    step = hint.step
    cells = step.cells
    if step.houses:
        cells = tuple(c for c in geometry.houses[step.houses[0]].cells if not hint.position[c])
    first = replace(hint, step=replace(step, places=(), cells=cells), because=())
    second = replace(hint, step=replace(step, places=()))
    return (
        _Layer((), told.found, first),
        _Layer([words for words in seen if words != told.so], told.so, second),
        _Layer((), written(step, geometry), hint),
    )


def _striking(
    hint: Hint, told: Taught, seen: Sequence[str], geometry: Geometry, then: Step | None
) -> tuple[_Layer, ...]:
    """The step's cells and what closes the others; their links; the losses, and what follows."""
    step = hint.step
    whole = step.technique in COUNTS_ALL
    rests = (
        hint.shown
        if whole
        else tuple(
            (cell, kept)
            for cell, digits in hint.shown
            if (kept := tuple(d for d in digits if (cell, d) not in step.removes))
            and (cell in step.cells or not any(cell == at for at, _ in step.removes))
        )
    )
    first = replace(
        hint,
        step=replace(step, removes=(), nodes=()),
        shown=rests,
        struck=(),
        linked=False,
    )
    named = _names(" ".join((*told.why, told.so)))
    own = {cell: digits for cell, digits in rests if whole or cell in step.cells}
    for cell, digits in hint.shown:  # what the argument comes to is named in it
        if cell_name(cell, geometry.size) in named:
            own.setdefault(cell, digits)
    second = replace(
        first,
        step=replace(step, removes=()),
        shown=tuple(sorted(own.items())),
        because=hint.because if step.part else (),
        linked=True,
    )
    goes = [f"{loses(step.removes, geometry.size)}."]
    goes += [written(then, geometry, after=True)] if then else []
    *words, ends = _called(goes, told, geometry)
    shown = tuple(one for one in hint.shown if one[0] in {*step.cells, *hint.loses})
    last = replace(hint, shown=shown, because=(), gives=then.places if then else ())
    return (
        _Layer(seen, told.found, first),
        _Layer(told.why, told.so, second),
        _Layer(words, ends, last),
    )
