"""Teaching: a step in the words of a lesson, its cells by letters.

What is to be found, why, and what it comes to; what goes, and what can be written then, says
`written`. A letter stands for one thing: a cell, or all cells of one colour or link.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from string import ascii_uppercase
from typing import NamedTuple

from packbuilder.grid import Geometry, cell_name, losses
from packbuilder.ladder.english import (
    by_kind,
    cells,
    digit,
    digits,
    digits_plural,
    label,
    labels,
    noun,
    number,
)  # fmt: skip
from packbuilder.ladder.step import Step
from packbuilder.ladder.techniques.colouring import clash, seen_colours
from packbuilder.ladder.techniques.fish import parts as fish_parts
from packbuilder.ladder.words import tell
from packbuilder.phrases import listed

_ORDER = {2: "in one order or the other"}


class Taught(NamedTuple):
    """A step as it is taught.

    ``letters`` are what its cells are called, as (cell, letter) pairs. ``found`` is what there is
    to find, ``why`` the argument, a paragraph each, and ``so`` its end.
    """

    letters: tuple[tuple[int, str], ...]
    found: str
    why: tuple[str, ...]
    so: str


def taught(step: Step, geometry: Geometry) -> Taught:
    """A step in the words of a lesson."""
    return _TAUGHT.get(step.technique, _as_told)(step, geometry)


def lettered(text: str, letters: Iterable[tuple[int, str]], size: int) -> str:
    """A text with letters for the cells that have one; ``the A in r1c2``, where several have it."""
    found = list(letters)
    count = Counter(letter for _, letter in found)
    names = {cell_name(cell, size): letter for cell, letter in found}

    def call(cell: re.Match[str]) -> str:
        letter = names.get(cell[0], cell[0])
        return letter if count[letter] < 2 else f"the {letter} in {cell[0]}"

    return re.sub(r"\br\d+c\d+\b", call, text)


def loses(removes: Sequence[tuple[int, int]], size: int) -> str:
    """``r2c3 loses the 2; r4c5 and r4c6 lose 3 and 7``: what a step takes, cell by cell."""
    told = []
    for ds, where in losses(removes):
        what = f"the {digit(ds[0])}" if len(ds) == 1 else digits(ds)
        told.append(f"{cells(where, size)} {'lose' if len(where) > 1 else 'loses'} {what}")
    return "; ".join(told)


def written(step: Step, geometry: Geometry, *, after: bool = False) -> str:
    """What a placement comes to: ``Write 8 in r2c3.``; ``after`` a strike, also why it can be made.

    ``Only 8 is left there: write 8 in r2c3.``
    """
    ((cell, d),) = step.places
    write = f"write {digit(d)} in {cell_name(cell, geometry.size)}."
    if not after:
        return f"W{write[1:]}"
    if step.houses:
        return f"Now {label(step.houses[0], geometry)} has one place for its {digit(d)}: {write}"
    return f"{cell_name(cell, geometry.size)} has only {digit(d)} left: {write}"


# --- each technique -------------------------------------------------------------------------------


def _letters(found: Iterable[int]) -> tuple[tuple[int, str], ...]:
    return tuple(zip(dict.fromkeys(found), ascii_uppercase, strict=False))


def _names(letters: Iterable[tuple[int, str]], last: str = "and") -> str:
    return listed(dict.fromkeys(letter for _, letter in letters), last)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _full_house(step: Step, geometry: Geometry) -> Taught:
    house, d = label(step.houses[0], geometry), digit(step.digits[0])
    found = f"{_capital(house)} has one empty cell, {cells(step.cells, geometry.size)}."
    return Taught((), found, (), f"{_capital(house)} has every digit but {d}.")


def _hidden_single(step: Step, geometry: Geometry) -> Taught:
    house, d = label(step.houses[0], geometry), digit(step.digits[0])
    where = cells(step.cells, geometry.size)
    return Taught((), f"{_capital(house)} has no {d} yet.", (), f"Its {d} can only be in {where}.")


def _naked_single(step: Step, geometry: Geometry) -> Taught:
    where, d = cells(step.cells, geometry.size), digit(step.digits[0])
    return Taught((), f"Here it is {where}.", (), f"{where} can only be {d}.")


def _locked(step: Step, geometry: Geometry) -> Taught:
    letters, d = _letters(sorted(step.cells)), digit(step.digits[0])
    house, partner = (label(h, geometry) for h in step.houses)
    both = "both" if len(letters) == 2 else "all"
    return Taught(
        letters,
        f"The {d} of {house} is at {_names(letters, 'or')}.",
        (f"{_names(letters)} {both} stand in {partner} too.",),
        f"So that is where {partner} has its {d}.",
    )


def _naked(step: Step, geometry: Geometry) -> Taught:
    letters, ds = _letters(step.cells), digits(step.digits)
    where, n = labels(step.houses, geometry), len(step.digits)
    have = "have" if len(step.houses) > 1 else "has"
    return Taught(
        letters,
        f"{_names(letters)} have only {ds} left between them.",
        (
            f"They stand in {where}. {_capital(number(n))} digits fill {number(n)} cells, "
            f"{_ORDER.get(n, 'in some order')}.",
        ),
        f"{_capital(where)} {have} {ds} in {_names(letters)}.",
    )


def _hidden(step: Step, geometry: Geometry) -> Taught:
    letters, ds, n = _letters(step.cells), digits(step.digits), len(step.digits)
    return Taught(
        letters,
        f"In {labels(step.houses, geometry)}, {ds} fit only in {_names(letters)}.",
        (f"{_capital(number(n))} digits need {number(n)} cells, and leave room for no other.",),
        f"{_names(letters)} are {ds}, {_ORDER.get(n, 'in some order')}.",
    )


def _fish(step: Step, geometry: Geometry) -> Taught:
    bases, covers, _ = fish_parts(step, geometry)
    d, many = digit(step.digits[0]), digits_plural(step.digits[0])
    lines, across = labels(bases, geometry), labels(covers, geometry)
    found = f"{_capital(lines)} hold their {many} in {across} only."
    letters: tuple[tuple[int, str], ...] = ()
    why = f"Each of {lines} takes its {d} from another of {across}."
    if len(step.cells) == 4 and len(bases) == 2:
        held = (c for h in bases for c in geometry.houses[h].cells if c in step.cells)
        letters = _letters(held)  # A and C stand in one line across, B and D in the other
        why = f"If A is {d}, C is not, so D is. If B is {d}, D is not, so C is."
    return Taught(letters, found, (why,), f"So {across} have their {many} in {lines}.")


def _finned(step: Step, geometry: Geometry) -> Taught:
    bases, covers, fins = fish_parts(step, geometry)
    d, letters = digit(step.digits[0]), _letters(fins)
    lines, across = labels(bases, geometry), labels(covers, geometry)
    gone = sorted({cell for cell, _ in step.removes})
    one = len(gone) == 1
    where, it = cells(gone, geometry.size), "it" if one else "they"
    see, are = ("sees", "is") if one else ("see", "are")
    name = noun(step.technique.removeprefix("finned-").capitalize())
    is_one = "A is" if len(fins) == 1 else f"one of {_names(letters)} is"
    all_ = "A" if len(fins) == 1 else "both" if len(fins) == 2 else "all of them"
    none = "If it is not" if len(fins) == 1 else "If none is"
    fin = "the fin" if len(fins) == 1 else "the fins"
    return Taught(
        letters,
        f"But for {fin}, {_names(letters)}, {lines} would hold their {d}s in {across} only.",
        (
            f"If {is_one} {d}, {where} {are} not, for {it} {see} {all_}.",
            f"{none}, the {name} is whole, and {across} have their {d}s in {lines}.",
        ),
        f"Either way {where} {are} not {d}.",
    )


def _strings(step: Step, geometry: Geometry) -> Taught:
    top, foot, other_foot, other_top = step.cells
    d, size = digit(step.digits[0]), geometry.size
    one, other, tie = (label(h, geometry) for h in step.houses)
    feet, ends = (": the feet", "roofs") if step.technique == "skyscraper" else ("", "free ends")
    share = f"{cells((foot, other_foot), size)} share {tie}"
    return Taught(
        ((top, "A"), (other_top, "B")),
        f"{share}{feet}. The other two are the {ends}, A and B.",
        (
            f"{_capital(one)} has its {d} at A or {cells([foot], size)}, {other} at B or "
            f"{cells([other_foot], size)}.",
            f"{share}, so they are not both {d}.",
        ),
        f"A is {d}, or B is {d}, or both.",
    )


def _empty_rectangle(step: Step, geometry: Geometry) -> Taught:
    d, (here, there) = digit(step.digits[0]), step.cells[-2:]
    area, house, near, far = (label(h, geometry) for h in step.houses)
    return Taught(
        ((here, "A"), (there, "B")),
        f"The {d} of {area} is in {near} or {far}; that of {house} at A or B, and A is in {near}.",
        (f"If A is {d}, the rest of {near} is not. If A is not {d}, B is.",),
        f"The {d} of {area} is in {far}, or B is {d}.",
    )


def _wing(step: Step, geometry: Geometry) -> Taught:
    x, y, z = map(digit, step.digits)
    two = [digits(sorted((d, step.digits[2])), "or") for d in step.digits[:2]]
    many, why, so = f"{x} or {y}", f"If A is {x}, B is {z}. If A is {y}, C is {z}.", ""
    if step.technique == "xyz-wing":
        many, so = digits(sorted(step.digits), "or"), f"One of A, B and C is {z}."
        why += f" If it is neither, A is {z} itself."
    return Taught(
        _letters(step.cells),
        f"A is {many}, and sees B, which is {two[0]}, and C, which is {two[1]}.",
        (why,),
        so or f"B is {z}, or C is {z}, or both.",
    )


def _w_wing(step: Step, geometry: Geometry) -> Taught:
    a, p, q, b = step.cells
    x, y = map(digit, step.digits)
    house, two = label(step.houses[0], geometry), digits(sorted(step.digits), "or")
    return Taught(
        ((a, "A"), (b, "B"), (p, "C"), (q, "D")),
        f"A and B are {two}. {_capital(house)} has its {x} at C, which A sees, or at D, which B "
        "sees.",
        (f"If C is {x}, A is {y}. If D is {x}, B is {y}.",),
        f"A is {y}, or B is {y}, or both.",
    )


def _colouring(step: Step, geometry: Geometry) -> Taught:
    size, d = geometry.size, digit(step.digits[0])
    (one, _), (two, _) = step.nodes
    letters = (*((cell, "A") for cell in one), *((cell, "B") for cell in two))
    gone = sorted({cell for cell, _ in step.removes})
    found = f"Every A is {d} and no B, or every B and no A."
    why = (f"In {by_kind(step.ties, geometry)}, the {digits_plural(step.digits[0])} go to an A or "
           "to a B.",)  # fmt: skip
    for colour, (wrong, right) in ((one, "AB"), (two, "BA")):
        if set(colour) <= set(gone):
            a, b, house = clash(colour, geometry)
            told = f"{cells((a, b), size)}, an {wrong} each," if wrong == "A" else ""
            told = told or f"{cells((a, b), size)}, a {wrong} each,"
            bad = f"{told} share {label(house, geometry)}: they are not both {d}."
            return Taught(letters, found, (*why, bad), f"So every {right} is {d}, and no {wrong}.")
    sights = []
    for cell in gone:
        a, b = seen_colours(cell, (one, two), geometry)
        who, one_a, one_b = (cell_name(c, size) for c in (cell, a, b))
        sights.append(f"{who} sees the A in {one_a} and the B in {one_b}.")
    name = cells(gone, size, "or")
    return Taught(letters, found, (*why, *sights), f"Whichever is {d}, {name} is not.")


def _chain(step: Step, geometry: Geometry) -> Taught:
    """By its own words, with a letter for each link that is one cell."""
    letters = dict(_letters(where[0] for where, _ in step.nodes if len(where) == 1))
    told = _as_told(step, geometry, tuple(letters.items()))
    ((start, *_), d), size = step.nodes[0], geometry.size
    here = letters.get(start, cell_name(start, size))
    return _after(told, f"Begin at {here}, and suppose that it is not {digit(d)}.")


def _rectangle(step: Step, geometry: Geometry) -> Taught:
    letters = _letters((*sorted(step.cells[:4]), *step.cells[4:]))
    told = _as_told(step, geometry, letters)
    x, y = sorted(step.digits[:2])
    found = "A, B, C and D stand in two rows, two columns and two blocks, and could all be "
    return _after(told, f"{found}{digits((x, y), 'or')}.")


def _grave(step: Step, geometry: Geometry) -> Taught:
    told = _as_told(step, geometry, _letters(step.cells))
    return _after(told, "All empty cells but A are left with two digits; A has three.")


def _refutation(step: Step, geometry: Geometry) -> Taught:
    told = _as_told(step, geometry)
    tried, _, then = told.found.partition(": ")
    return told._replace(found=f"{tried}.", why=(f"{_capital(then)}",))


def _after(told: Taught, found: str) -> Taught:
    """The same after another thing to find."""
    return told._replace(found=found, why=(told.found, *told.why))


def _as_told(step: Step, geometry: Geometry, letters: tuple[tuple[int, str], ...] = ()) -> Taught:
    """By the step's own words: the first sentence is what is found, the last what it comes to."""
    size = geometry.size
    text = lettered(tell(step, geometry), letters, size)
    told = [s for s in re.split(r"(?<=[.]) (?=[A-Zr])", text) if not s.startswith("That takes ")]
    if len(told) == 1:
        return Taught(letters, "", (), told[0])
    return Taught(letters, told[0], tuple(told[1:-1]), told[-1])


_TAUGHT: dict[str, Callable[[Step, Geometry], Taught]] = {
    "full-house": _full_house,
    "hidden-single": _hidden_single,
    "naked-single": _naked_single,
    **dict.fromkeys(("pointing", "claiming"), _locked),
    **dict.fromkeys(("locked-pair", "locked-triple"), _naked),
    **dict.fromkeys(("naked-pair", "naked-triple", "naked-quad"), _naked),
    **dict.fromkeys(("hidden-pair", "hidden-triple", "hidden-quad"), _hidden),
    **dict.fromkeys(("x-wing", "swordfish", "jellyfish"), _fish),
    **dict.fromkeys(("finned-x-wing", "finned-swordfish"), _finned),
    **dict.fromkeys(("skyscraper", "two-string-kite"), _strings),
    "empty-rectangle": _empty_rectangle,
    **dict.fromkeys(("xy-wing", "xyz-wing"), _wing),
    "w-wing": _w_wing,
    "simple-colouring": _colouring,
    **dict.fromkeys(("chain", "xy-chain"), _chain),
    **dict.fromkeys((f"unique-rectangle-{k}" for k in "1234"), _rectangle),
    "bivalue-universal-grave": _grave,
    "refutation": _refutation,
}
