"""Telling: a step of a path in words that begin with its evidence and end on what it gives."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from packbuilder.grid import Geometry, cell_name, format_grid
from packbuilder.ladder.basis import COUNTS_ALL
from packbuilder.ladder.english import (
    by_kind,
    cells,
    digit,
    digits,
    digits_plural,
    label,
    listed,
    noun,
    number,
    ordinal,
    out_of,
)  # fmt: skip
from packbuilder.ladder.evidence import Because
from packbuilder.ladder.part_names import kinds_named, part_name, part_names
from packbuilder.ladder.path import Path
from packbuilder.ladder.reasons import Reasons
from packbuilder.ladder.step import Step
from packbuilder.ladder.words import step_json, technique_of, tell

_NAMED = 4
"""Cells of small parts such as dots that are named one by one; the picture has all."""

_MOST = 2
"""Houses that hold a digit, of each of which it is told why; of more the picture speaks."""


class Telling:
    """A path told step by step, numbered from 0.

    In a solve that is told from its beginning, what an earlier step closes goes by that step's
    name. A step that stands ``alone`` is told with such earlier ones, each of them whole.
    """

    def __init__(self, reasons: Reasons, *, alone: bool = False) -> None:
        self._reasons, self._steps, self._alone = reasons, reasons.path.steps, alone
        self._geometry, self._size = reasons.path.geometry, reasons.path.geometry.size

    def words(self, k: int, beside: Sequence[Because] = ()) -> str:
        """Step ``k`` with its reasons; ``beside`` are those of what it gives, told later."""
        step, because = self._steps[k], self._reasons.because(k)
        before, every = list(self._before((*because, *beside))), self._whole((*because, *beside))
        if step.technique == "naked-single":
            *others, last = (*before, *self._seen(because, step.cells[0]))
            return " ".join([*others, f"{last.removesuffix('.')}, {self._so(step)}."])
        if step.technique == "hidden-single" and because:
            told = [f"{self._closing(because, step)}, {self._so(step)}."]
        elif step.technique in ("pointing", "claiming") and because:
            told = [self._locked(because, step, every)]
        else:
            told = [*self._why(because, step, every), tell(step, self._geometry)]
        if step.technique in COUNTS_ALL and self._alone:
            told.insert(0, "When all strikes up to here are made, look at all that is left.")
        return " ".join([*before, *told])

    def _before(self, because: Sequence[Because]) -> Iterator[str]:
        """Earlier steps with what they close, each told whole: no placed digit shows that."""
        by_step: dict[int, dict[tuple[int, ...], list[int]]] = {}
        for one in because:
            if self._is_whole(one):
                by_step.setdefault(one.step, {}).setdefault(one.closes, []).append(one.digit)
        for n, (k, closed) in enumerate(by_step.items()):
            step = self._steps[k]
            told = tell(step, self._geometry).removesuffix(out_of(step, self._size)).strip()
            gone = (
                f"{cells(where, self._size)} to {self._but(ds)}" for where, ds in closed.items()
            )
            start = "Another" if n else "An earlier step"
            yield f"{start}: {_small(told)} That closes {'; and '.join(gone)}."

    def _is_whole(self, one: Because) -> bool:
        """Whether an earlier step is told whole."""
        return self._alone and one.kind == "step"

    def _whole(self, because: Iterable[Because]) -> list[int]:
        """The earlier steps of some evidence that are told whole, each once."""
        return list(dict.fromkeys(one.step for one in because if self._is_whole(one)))

    def _but(self, ds: Sequence[int]) -> str:
        """Digits; of all but one, ``every digit but 5``."""
        if len(ds) == self._size - 1:
            return f"every digit but {digits(sorted({*range(1, self._size + 1)} - {*ds}))}"
        return digits(sorted(ds))

    def onward(self, k: int) -> str:
        """Step ``k`` with its reasons, and with the placement that it gives at once, if any."""
        step, beside = self.given(k), self.beside(k)
        words = self.words(k, beside)
        if step is None or words.endswith(f"{self._so(step).removeprefix('so')}."):
            return words
        where = cell_name(step.cells[0], self._size)
        own = self._steps[k].part  # what that says stands before this
        other = [one for one in beside if not own or one.kind != "part" or one.part != own]
        if named := [one for one in other if step.houses or one.kind != "digit"]:
            who, _ = self._subject(named, self._whole((*self._reasons.because(k), *beside)))
            left = f"{where} has one digit left"
            if step.houses:
                left = f"only {where} is left in {label(step.houses[0], self._geometry)}"
            return f"{words} With {who.rstrip(',')}, {left}, {self._so(step)}."
        left = f"leaves {where} one digit"
        if step.houses:
            left = f"leaves only {where} in {label(step.houses[0], self._geometry)}"
        last = words.rpartition(". ")[2]
        goes_on = last.startswith("That takes") and ";" not in last
        start = f"{words.removesuffix('.')} and" if goes_on else f"{words} That"
        return f"{start} {left}, {self._so(step)}."

    def given(self, k: int) -> Step | None:
        """The step after step ``k``, if it is a placement that rests on that strike."""
        if k + 1 == len(self._steps) or not self._steps[k + 1].places or self._steps[k].places:
            return None
        rests = any(one.step == k for one in self._reasons.because(k + 1))
        return self._steps[k + 1] if rests else None

    def beside(self, k: int) -> tuple[Because, ...]:
        """What the placement that step ``k`` gives rests on beside that strike."""
        if self.given(k) is None:
            return ()
        return tuple(one for one in self._reasons.because(k + 1) if one.step != k)

    def _so(self, step: Step) -> str:
        ((cell, d),) = step.places
        return f"so {cell_name(cell, self._size)} is {digit(d)}"

    def _closing(self, because: Sequence[Because], step: Step) -> str:
        """``The 9s of rows 4 and 6 close all of block 5 but r5c4``."""
        who, many = self._subject(because)
        house = label(step.houses[0], self._geometry)
        where = cells(step.cells, self._size)
        return f"{_capital(who)} {'close' if many else 'closes'} all of {house} but {where}"

    def _seen(self, because: Sequence[Because], cell: int) -> list[str]:
        """``r2c2 sees 2 and 3 in row 2 and 8 in column 2``, and what else closes it to a digit.

        Nothing where earlier steps alone do.
        """
        name = cell_name(cell, self._size)
        placed = [one for one in because if one.kind == "digit"]
        told = [f"{name} sees {self._in_houses(placed, cell)}"] if placed else []
        others: dict[str, list[int]] = {}
        for one in because:
            if one.kind != "digit" and not self._is_whole(one):
                who = self._closes(one)
                others.setdefault(who, []).append(one.digit)
        for who, ds in others.items():
            where = "it" if told else name
            told.append(f"{who if told else _capital(who)} {where} to {self._but(ds)}")
        return ["; ".join(told)] if told else []

    def _in_houses(self, placed: Sequence[Because], cell: int) -> str:
        """The digits that a cell sees, by as few houses as can be."""
        left, told = {one.cells[0]: one.digit for one in placed}, []
        while left:
            h = max(self._geometry.houses_of[cell], key=lambda h: len(self._within(left, h)))
            here = self._within(left, h)
            seen = digits(sorted(left.pop(at) for at in here))
            leap = self._leap((h,))
            told.append(
                f"{seen} {self._away(leap, here) if leap else f'in {label(h, self._geometry)}'}"
            )
        return _and(told)

    def _within(self, cells: Iterable[int], h: int) -> list[int]:
        return [cell for cell in cells if cell in self._geometry.houses[h].cells]

    def _leap(self, houses: Iterable[int]) -> str:
        """The leap of which one of these houses is a pair of ends: ``king's move``; else ""."""
        kinds = (self._geometry.houses[h].kind for h in houses)
        return next((kind for kind in kinds if kind.endswith("'s move")), "")

    def _away(self, leap: str, where: Iterable[int]) -> str:
        """Where digits are that are no house but a leap away."""
        return f"a {leap} away in {cells(where, self._size)}"

    def _locked(self, because: Sequence[Because], step: Step, every: Sequence[int]) -> str:
        """Why a digit of a house is held to another, and what that takes."""
        house, partner = (label(h, self._geometry) for h in step.houses)
        who, many = self._subject(because, every)
        d, where = digit(step.digits[0]), cells(sorted(step.cells), self._size)
        all_in = "both in" if len(step.cells) == 2 else "all in"
        return (
            f"{_capital(who)} {'leave' if many else 'leaves'} {house} only {where} for its {d}, "
            f"{all_in} {partner}; so no other cell of {partner} can be {d}. "
            f"{out_of(step, self._size)}"
        )

    def _why(self, because: Sequence[Because], step: Step, every: Sequence[int]) -> list[str]:
        """Why a strike can be made: of a few houses all, of the rest what no placed digit shows.

        ``every`` are the earlier steps that are told before it.
        """
        held = dict.fromkeys((one.house, one.digit) for one in because if one.house >= 0)
        clauses = []
        for h, d in held if len(held) <= _MOST else ():
            own = [o for o in because if (o.house, o.digit) == (h, d)]
            who, many = self._subject(own, every)
            rest = f"{'close' if many else 'closes'} the rest of {label(h, self._geometry)}"
            said = who.startswith(f"the {digit(d)}") or who.endswith(f" on {digit(d)}")
            to = "" if said else f" to {digit(d)}"
            clauses.append(f"{who} {rest}{to}")
        told = [f"{_capital('; '.join(clauses))}."] if clauses else []
        lost: dict[tuple[str, tuple[int, ...]], list[int]] = {}
        for one in because if not step.part else ():
            named = one.kind != "digit" and not self._is_whole(one)
            if named and not (one.house >= 0 and told):
                lost.setdefault((self._closes(one), one.closes), []).append(one.digit)
        for (who, closes), ds in lost.items():
            told.append(f"{_capital(who)} {cells(closes, self._size)} to {digits(ds)}.")
        return told

    def _subject(self, because: Sequence[Because], steps: Sequence[int] = ()) -> tuple[str, bool]:
        """What closes cells to one digit, and whether it is many things.

        ``steps`` are all that are told as earlier ones, where they are more than these.
        """
        by_house: dict[int, Because] = {}
        away: dict[str, list[int]] = {}
        others = []
        for one in because:
            (h, *more) = one.houses or (-1,)
            if one.kind == "digit" and (leap := self._leap(one.houses)):
                away.setdefault(leap, []).extend(one.cells)
            elif one.kind == "digit" and not more:
                by_house.setdefault(h, one)
            else:
                others.append(one)
        told, d, many = list[str](), because[0].digit, len(by_house) > 1
        if by_house:
            where = by_kind(sorted(by_house), self._geometry)
            told.append(f"the {digits_plural(d) if many else digit(d)} of {where}")
        bare = [one for one in others if one.kind == "part" and not one.cells]
        parts = [(one.part, one.about) for one in bare if one.part]
        named = {cell for _, about in parts for cell in about}
        if len(named) > _NAMED and all(_is_many(one) or one.part.many for one in bare if one.part):
            told.append(
                f"{kinds_named([part for part, _ in parts], self._size)} at its other cells"
            )
        else:
            told += part_names(parts, self._size)
        own = self._whole(others)
        for leap, found in away.items():
            many = many or len(found) > 1
            them = digits_plural(d) if len(found) > 1 else digit(d)
            told.append(f"the {them} {self._away(leap, found)}")
        rest = (one for one in others if one not in bare and not self._is_whole(one))
        told += [self._named(one) for one in rest]
        if own:
            every = steps or own
            told.append(_those([every.index(k) for k in own], len(every)))
        who = _and(list(dict.fromkeys(told)))
        many = many or len(told) > 1 or len({one.part for one in bare}) > 1 or len(own) > 1
        many = many or any(map(_is_many, others))
        return f"{who.rstrip(',')}," if ", and " in who or who.endswith(",") else who, many

    def _closes(self, one: Because) -> str:
        return f"{self._named(one)} {'close' if _is_many(one) else 'closes'}"

    def _named(self, one: Because) -> str:
        """What closes a cell, as one thing."""
        where = cells(one.cells, self._size)
        if one.kind == "digit":
            return f"the {digit(one.digit)} in {where}"
        who = part_name(one.part, one.about, self._size) if one.part else ""
        if one.kind == "part":
            known = {self._reasons.digit_at(cell) for cell in one.cells}
            many = digits_plural if len(one.cells) > 1 else digit
            them = f"the {many(*known)}" if len(known) == 1 else "what stands"
            return f"{who} with {them} in {where}" if known else who
        if who:
            return f"an earlier step on {who}"
        step = self._steps[one.step]
        name = noun(technique_of(step).name)
        if one.kind == "held" and step.technique in ("pointing", "claiming"):
            house, partner = (label(h, self._geometry) for h in step.houses)
            return f"the {digit(one.digit)} of {house}, held to {partner},"
        if one.kind == "held":
            return f"the {name} {cells(step.cells, self._size)}"
        about = f" on {digit(step.digits[0])}" if len(step.digits) == 1 else ""
        return f"an earlier {'step by ' * name.endswith('sets')}{name}{about}"


def _those(some: Sequence[int], count: int) -> str:
    """Some of ``count`` earlier steps, by their places: ``that step``, ``those two steps``."""
    if len(some) == count:
        return "that step" if count == 1 else f"those {number(count)} steps"
    return f"the {listed(ordinal(k) for k in sorted(some))} of those steps"


def _is_many(one: Because) -> bool:
    """Whether one part speaks for others like it."""
    return one.kind == "part" and one.part is not None and not set(one.about) <= set(one.part.cells)


def _and(told: Sequence[str]) -> str:
    """A list of things, of which some may be lists."""
    if len(told) > 1 and any(" and " in one for one in told):
        return f"{', '.join(one.rstrip(',') for one in told[:-1])}, and {told[-1]}"
    return listed(told)


def _small(words: str) -> str:
    """A sentence's first words inside another; a technique's or a cell's name stays as it is."""
    return words[:1].lower() + words[1:] if re.match(r"[A-Z][a-z]|A ", words) else words


def _capital(words: str) -> str:
    """A sentence's first words; a cell's name stays as it is."""
    return words if re.match(r"r\d", words) else words[:1].upper() + words[1:]


def path_json(path: Path) -> dict[str, Any]:
    """The whole solve as a JSON object: its steps in order, each with its evidence."""
    reasons = Reasons(path)
    telling = Telling(reasons)
    return {
        "grid": format_grid(path.clues),
        "solved": path.solved,
        "grade": path.grade,
        "hardest": path.hardest or None,
        "effort": path.effort,
        "techniques": dict(path.techniques),
        "steps": [_step_json(reasons, telling, k) for k in range(len(path.steps))],
    }


def _step_json(reasons: Reasons, telling: Telling, k: int) -> dict[str, Any]:
    geometry = reasons.path.geometry
    told = step_json(reasons.path.steps[k], geometry)
    told["because"]["closed-by"] = [_because_json(one, geometry) for one in reasons.because(k)]
    told["words"] = telling.words(k)
    return told


def _because_json(one: Because, geometry: Geometry) -> dict[str, Any]:
    """One piece of evidence; steps are counted from 1, as they are told."""

    def names(found: Iterable[int]) -> list[str]:
        return [cell_name(cell, geometry.size) for cell in found]

    told: dict[str, Any] = {"kind": one.kind, "digit": one.digit, "cells": names(one.cells)}
    if one.houses:
        told["houses"] = [geometry.houses[h].label for h in one.houses]
    if one.part:
        told["part"] = one.part.name(geometry.size)
    if one.step >= 0:
        told["step"] = one.step + 1
    return told | {"closes": names(one.closes)}
