"""A thousand alterations of good manifests that break a promise; how many the gate refuses.

`python -m tests.gate_alterations [--count 1000] [--seed 1]` prints a table by kind, and every
alteration that passed. Each begins with a puzzle of the sample packs by itself. Where a change may
be harmless (another clue may leave one solution too) OR-Tools judges whether it is: by the models
of `tests.rules.judge`, which share nothing with the program.
"""

from __future__ import annotations

import argparse
import contextlib
import copy
import random
import re
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from itertools import cycle
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import yaml

from packbuilder import gate, manifest
from packbuilder.errors import InputError
from packbuilder.gate import Checked
from packbuilder.grid import SYMBOLS
from packbuilder.ladder.table import TABLE
from tests.rules.judge import solutions

PACKS = Path(__file__).resolve().parents[1] / "packs"
HEAD = {"title": "Kites", "issue": "2027-03", "byline": "Ada Quill"}
Entry = dict[str, Any]


class Base(NamedTuple):
    """A good puzzle: its entry in the manifest, and what the gate knows of it."""

    entry: Entry
    known: Checked

    @property
    def size(self) -> int:
        return self.known.puzzle.size

    @property
    def clues(self) -> list[int]:
        return list(self.known.puzzle.clues)


class Broken(NamedTuple):
    """A manifest that breaks a promise of its own."""

    kind: str
    puzzles: list[Entry]
    pack: dict[str, Any] = {}  # noqa: RUF012


def text_of(broken: Broken) -> str:
    return yaml.safe_dump({"pack": {**HEAD, **broken.pack}, "puzzles": broken.puzzles},
                          allow_unicode=True, sort_keys=False)  # fmt: skip


def refused(broken: Broken, folder: Path) -> bool:
    """Whether the gate, or who reads the manifest for it, lets it not pass."""
    (folder / "manifest.yaml").write_text(text_of(broken), encoding="utf-8")
    try:
        return not gate.check(manifest.load(folder)).passed
    except InputError:
        return True


@cache
def bases() -> tuple[Base, ...]:
    """The puzzles of the sample packs, without their texts and hints; each passes by itself."""
    found = []
    with tempfile.TemporaryDirectory() as place:
        for file in sorted(PACKS.glob("*/manifest.yaml")):
            if file.parent.name == "not-yet":
                continue
            for entry in yaml.safe_load(file.read_text(encoding="utf-8"))["puzzles"]:
                kept = ("id", "title", "setter", "permission", "size", "blocks", "grid", "rules",
                        "promise")  # fmt: skip
                one = {key: value for key, value in entry.items() if key in kept}
                folder = Path(place)
                if "grid" in one and not refused(Broken("", [one]), folder):
                    (known,) = gate.check(manifest.load(folder)).checked
                    found.append(Base(one, known))
    return tuple(found)


# --- what is changed -----------------------------------------------------------------------------


def bare(base: Base, clues: list[int] | None = None, **more: Any) -> Entry:
    """The puzzle with no promise but that it has one solution, and perhaps with other clues."""
    entry = {key: value for key, value in base.entry.items() if key != "promise"}
    if clues is not None:
        entry["grid"] = "".join(SYMBOLS[one] if one else "." for one in clues)
    return copy.deepcopy(entry) | more


def promising(base: Base, **promise: Any) -> Entry:
    return bare(base, promise=promise)


def solution_of(base: Base) -> list[int]:
    assert base.known.solution is not None
    return list(base.known.solution)


def written(values: list[int]) -> str:
    return "".join(SYMBOLS[one] for one in values)


def shape(base: Base) -> tuple[int, int] | None:
    """Rows and columns of a block, None for a Latin square; raises LookupError for regions."""
    blocks = base.entry.get("blocks")
    if blocks == "none":
        return None
    if blocks is None:
        return {4: (2, 2), 6: (2, 3), 8: (2, 4), 9: (3, 3), 10: (2, 5), 12: (3, 4), 16: (4, 4)}[
            base.size
        ]
    found = re.fullmatch(r"(\d+)x(\d+)", str(blocks))
    if not found:
        raise LookupError
    return int(found[1]), int(found[2])


def judged(base: Base, clues: list[int], rules: Any = None, *, kept: bool = False) -> bool:
    """Whether, by OR-Tools, these clues and rules have no single solution; with ``kept``, or
    another one than the puzzle's."""
    rules = base.entry.get("rules", []) if rules is None else rules
    told = [next(iter(one.items())) if isinstance(one, dict) else (one, None) for one in rules]
    found = solutions(base.size, shape(base), clues, told)
    return len(found) != 1 or (kept and found != {tuple(solution_of(base))})


def one_of(some: Any, rng: random.Random) -> Any:
    """One of some; raises LookupError where there is none."""
    some = list(some)
    if not some:
        raise LookupError
    return rng.choice(some)


def filled(base: Base) -> list[int]:
    return [k for k, clue in enumerate(base.clues) if clue]


def _clues(change: Callable[[Base, list[int], random.Random], None]) -> Alter:
    """Other clues, without the answer: broken where OR-Tools finds none, or several."""

    def alter(base: Base, rng: random.Random) -> Broken | None:
        clues = base.clues
        change(base, clues, rng)
        if clues == base.clues or not judged(base, clues):
            return None
        return Broken("", [bare(base, clues)])

    return alter


def another(base: Base, clues: list[int], rng: random.Random) -> None:
    k = one_of(filled(base), rng)
    clues[k] = one_of({*range(1, base.size + 1)} - {clues[k]}, rng)


def gone(base: Base, clues: list[int], rng: random.Random) -> None:
    clues[one_of(filled(base), rng)] = 0


def more(base: Base, clues: list[int], rng: random.Random) -> None:
    k = one_of([k for k, clue in enumerate(clues) if not clue], rng)
    clues[k] = one_of({*range(1, base.size + 1)} - {solution_of(base)[k]}, rng)


def moved(base: Base, clues: list[int], rng: random.Random) -> None:
    k = one_of(filled(base), rng)
    to = one_of([j for j in (k - 1, k + 1, k - base.size, k + base.size)
                 if 0 <= j < len(clues) and not clues[j]], rng)  # fmt: skip
    clues[to], clues[k] = clues[k], 0


def exchanged(base: Base, clues: list[int], rng: random.Random) -> None:
    j, k = rng.sample(filled(base), 2) if len(filled(base)) > 1 else one_of([], rng)
    clues[j], clues[k] = clues[k], clues[j]


def _answer(change: Callable[[list[int], Base, random.Random], None]) -> Alter:
    def alter(base: Base, rng: random.Random) -> Broken | None:
        values = solution_of(base)
        change(values, base, rng)
        if values == solution_of(base):
            return None
        return Broken("", [bare(base, solution=written(values))])

    return alter


def a_digit(values: list[int], base: Base, rng: random.Random) -> None:
    k = rng.randrange(len(values))
    values[k] = one_of({*range(1, base.size + 1)} - {values[k]}, rng)


def two_digits(values: list[int], base: Base, rng: random.Random) -> None:
    a, b = rng.sample(range(1, base.size + 1), 2)
    values[:] = [{a: b, b: a}.get(one, one) for one in values]


def turned(values: list[int], base: Base, rng: random.Random) -> None:
    values.reverse()


def other_clue(base: Base, rng: random.Random) -> Broken:
    clues = base.clues
    another(base, clues, rng)
    return Broken("", [bare(base, clues, solution=written(solution_of(base)))])


def _rules(change: Callable[[Any, random.Random], Any]) -> Alter:
    """Other rules, with the answer given: broken where OR-Tools does not find that alone."""

    def alter(base: Base, rng: random.Random) -> Broken | None:
        rules = copy.deepcopy(base.entry.get("rules", []))
        if not rules:
            raise LookupError
        rules = change(rules, rng)
        if rules is None or not judged(base, base.clues, rules, kept=True):
            return None
        entry = bare(base, solution=written(solution_of(base)))
        entry["rules"] = rules
        if not rules:
            del entry["rules"]
        return Broken("", [entry])

    return alter


def a_rule_gone(rules: Any, rng: random.Random) -> Any:
    del rules[rng.randrange(len(rules))]
    return rules


def leaves(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """The texts of rules, each with the way to it."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value)
    for key, one in pairs:
        if isinstance(one, dict | list):
            yield from leaves(one, (*path, key))
        elif (
            isinstance(one, str | int)
            and not isinstance(one, bool)
            and any(sign.isdigit() for sign in str(one))
        ):
            yield (*path, key), one


def put(value: Any, path: tuple[Any, ...], new: Any) -> None:
    for key in path[:-1]:
        value = value[key]
    value[path[-1]] = new


def a_part_gone(rules: Any, rng: random.Random) -> Any:
    path, _ = one_of([(p, v) for p, v in leaves(rules) if isinstance(p[-1], int) and len(p) > 1],
                     rng)  # fmt: skip
    inner = rules
    for key in path[:-1]:
        inner = inner[key]
    if len(inner) < 2:
        return None
    del inner[path[-1]]
    return rules


def a_number(rules: Any, rng: random.Random) -> Any:
    """One digit of a sum, a clue outside, or the name of a cell."""
    path, value = one_of(leaves(rules), rng)
    text = str(value)
    k = one_of([k for k, sign in enumerate(text) if sign.isdigit()], rng)
    new = text[:k] + one_of("123456789".replace(text[k], ""), rng) + text[k + 1 :]
    put(rules, path, int(new) if isinstance(value, int) else new)
    return rules


def a_line_turned(rules: Any, rng: random.Random) -> Any:
    path, value = one_of([(p, v) for p, v in leaves(rules) if " " in str(v)], rng)
    put(rules, path, " ".join(reversed(str(value).split(" "))))
    return rules


# --- what is promised ----------------------------------------------------------------------------


def grade(base: Base, rng: random.Random) -> Broken:
    assert base.known.path is not None
    return Broken(
        "", [promising(base, grade=one_of({*range(1, 9)} - {base.known.path.grade}, rng))]
    )


def beyond(base: Base, rng: random.Random) -> Broken:
    return Broken("", [promising(base, grade="beyond")])


def harder(base: Base, rng: random.Random) -> str:
    """A technique of a later rung than the puzzle's grade: what is below solves it."""
    assert base.known.path is not None
    grade, shipped = base.known.path.grade, [one for one in TABLE if one.slug not in RULE_ROWS]
    return str(one_of([one.slug for one in shipped if one.rung > grade], rng))


RULE_ROWS = {"clue-and-house", "clues-together"}


def unused(base: Base, rng: random.Random) -> Broken:
    return Broken("", [promising(base, uses=[harder(base, rng)])])


def not_needed(base: Base, rng: random.Random) -> Broken:
    return Broken("", [promising(base, needs=[harder(base, rng)])])


def not_only(base: Base, rng: random.Random) -> Broken:
    return Broken("", [promising(base, only=[harder(base, rng)])])


def theme(base: Base, rng: random.Random) -> Broken:
    """What the whole pack is said to need."""
    return Broken("", [bare(base)], {"needs": [harder(base, rng)]})


def marks(base: Base, rng: random.Random) -> Broken | None:
    load = base.known.no_notes
    if load is None or load.solved is None or (load.solved and not load.marks):
        return None
    return Broken("", [promising(base, **{"no-notes": load.marks - 1 if load.solved else 3})])


def count(base: Base, rng: random.Random) -> Broken:
    return Broken("", [promising(base, clues=len(filled(base)) + rng.choice((-2, -1, 1, 2)))])


def symmetry(base: Base, rng: random.Random) -> Broken | None:
    picture = (np.array(base.clues) > 0).reshape(base.size, base.size)
    looks = {"rotational": picture[::-1, ::-1], "horizontal": picture[::-1],
             "vertical": picture[:, ::-1], "diagonal": picture.T,
             "anti-diagonal": picture[::-1, ::-1].T}  # fmt: skip
    wrong = [name for name, other in looks.items() if not np.array_equal(picture, other)]
    return Broken("", [promising(base, symmetry=one_of(wrong, rng))])


def minimal(base: Base, rng: random.Random) -> Broken | None:
    for k in filled(base):
        clues = base.clues
        clues[k] = 0
        if not judged(base, clues):
            return Broken("", [promising(base, minimal=True)])
    return None


# --- what a pack may not have --------------------------------------------------------------------


def again(base: Base, rng: random.Random) -> Broken:
    return Broken("", [bare(base), bare(base, id="other", title="Another")])


def in_disguise(base: Base, rng: random.Random) -> Broken | None:
    """The same with other digits, rows and columns moved within their bands, and turned over: by
    the definition of what leaves a plain grid the same puzzle."""
    if base.size != 9 or base.entry.get("rules") or base.entry.get("blocks"):
        return None
    names = [0, *rng.sample(range(1, 10), 9)]
    cells = np.array([names[clue] for clue in base.clues]).reshape(9, 9)
    for _ in range(2):
        bands = rng.sample(range(3), 3)
        cells = cells[[3 * band + k for band in bands for k in rng.sample(range(3), 3)]].T
    if rng.random() < 0.5:
        cells = cells.T
    other = bare(base, [int(one) for one in cells.flatten()], id="other", title="Another")
    return Broken("", [bare(base), other])


def no_permission(base: Base, rng: random.Random) -> Broken:
    entry = bare(base, setter="Pia Nettlequist")
    entry.pop("permission", None)
    return Broken("", [entry])


def other_blocks(base: Base, rng: random.Random) -> Broken | None:
    """Blocks that stand, where they lay."""
    found = shape(base)
    if found is None or found[0] == found[1]:
        return None
    turned = (found[1], found[0])
    rules = base.entry.get("rules", [])
    told = [next(iter(one.items())) if isinstance(one, dict) else (one, None) for one in rules]
    if solutions(base.size, turned, base.clues, told) == {tuple(solution_of(base))}:
        return None
    entry = bare(base, blocks=f"{turned[0]}x{turned[1]}", solution=written(solution_of(base)))
    return Broken("", [entry])


def letters(base: Base, rng: random.Random) -> Broken:
    """A title in signs that the type does not have: hieroglyphs, a sign of Linear B."""
    return Broken("", [bare(base, title=base.entry["title"] + rng.choice("𓀀𓁐𐀀"))])


def full(base: Base, rng: random.Random) -> Broken:
    return Broken("", [bare(base, solution_of(base))])


def entry_letters(base: Base, rng: random.Random) -> Broken:
    return Broken("", [bare(base, entry=True)], {"entry": base.size**2})


def cut_short(base: Base, rng: random.Random) -> Broken:
    entry = bare(base)
    entry["grid"] = re.sub(r"\s", "", str(entry["grid"]))[: -rng.randint(1, base.size)]
    return Broken("", [entry])


def misspelt(base: Base, rng: random.Random) -> Broken:
    return Broken("", [promising(base, **{rng.choice(("grad", "simmetry", "clue", "use")): 1})])


Alter = Callable[[Base, random.Random], "Broken | None"]
KINDS: dict[str, Alter] = {
    "clue another": _clues(another),
    "clue gone": _clues(gone),
    "clue more": _clues(more),
    "clue moved": _clues(moved),
    "clues exchanged": _clues(exchanged),
    "clue another than the answer's": other_clue,
    "answer: a digit": _answer(a_digit),
    "answer: two digits exchanged": _answer(two_digits),
    "answer: turned": _answer(turned),
    "rule gone": _rules(a_rule_gone),
    "part of a rule gone": _rules(a_part_gone),
    "number of a rule": _rules(a_number),
    "line of a rule turned": _rules(a_line_turned),
    "grade": grade,
    "grade beyond": beyond,
    "uses": unused,
    "needs": not_needed,
    "only": not_only,
    "theme of the pack": theme,
    "no notes": marks,
    "count of clues": count,
    "symmetry": symmetry,
    "minimal": minimal,
    "the puzzle again": again,
    "the puzzle in disguise": in_disguise,
    "guest without leave": no_permission,
    "blocks": other_blocks,
    "letters of a title": letters,
    "nothing to solve": full,
    "letters of an entry": entry_letters,
    "grid cut short": cut_short,
    "promise misspelt": misspelt,
}


def broken(kind: str, rng: random.Random) -> Broken | None:
    """A good manifest altered in that way; None where a hundred tries were all harmless."""
    for _ in range(100):
        try:
            found = KINDS[kind](rng.choice(bases()), rng)
        except (LookupError, ValueError):  # nothing there that could be altered so
            continue
        if found is not None:
            return found._replace(kind=kind)
    return None


def alterations(count: int, seed: int) -> Iterator[Broken]:
    """So many, by turns of every kind, and no two alike."""
    rng, seen = random.Random(seed), set[str]()
    for kind in cycle(KINDS):
        if len(seen) == count:
            return
        one = broken(kind, rng)
        if one is not None and text_of(one) not in seen:
            seen.add(text_of(one))
            yield one


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=1000)
    asked.add_argument("--seed", type=int, default=1)
    how = asked.parse_args()
    made, caught = Counter[str](), Counter[str]()
    with tempfile.TemporaryDirectory() as place, contextlib.suppress(KeyboardInterrupt):
        for one in alterations(how.count, how.seed):
            made[one.kind] += 1
            if refused(one, Path(place)):
                caught[one.kind] += 1
            else:
                print(f"passed: {one.kind}\n{text_of(one)}", flush=True)
    print(f"{'kind':34} altered  refused")
    for kind in made:
        print(f"{kind:34} {made[kind]:7}  {caught[kind]:7}")
    print(f"\n{made.total()} alterations of {len(made)} kinds; {caught.total()} refused")


if __name__ == "__main__":
    main()
