"""Rules told without a picture: what each rule means, and its clues, cell by cell.

Each rule of the table has a way to be told that suits it. A rule that is not in the table is told
by its shapes (`shape_telling`), so that a new rule needs nothing here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from packbuilder import rules
from packbuilder.grid import SYMBOLS, Geometry, cell_name
from packbuilder.plaintext.lines import item
from packbuilder.plaintext.rows import signs
from packbuilder.plaintext.shape_words import shape_lines
from packbuilder.rules.contract import Kind, Part

Clues = list[str]
"""Lines."""


@dataclass(frozen=True)
class _Told:
    """A rule's parts in one puzzle, in the order of the manifest."""

    kind: Kind
    parts: tuple[Part, ...]
    geometry: Geometry

    @property
    def size(self) -> int:
        """Cells along one side."""
        return self.geometry.size

    def names(self, cells: Iterable[int]) -> list[str]:
        """Cells by name."""
        return [cell_name(cell, self.size) for cell in cells]

    def of(self, **fields: object) -> list[Any]:
        """The parts whose fields have these values."""
        wanted = fields.items()
        return [p for p in self.parts if all(getattr(p, key, None) == v for key, v in wanted)]

    def having(self, field: str) -> list[Any]:
        """The parts that have a field."""
        return [part for part in self.parts if hasattr(part, field)]


def rule_words(kind: Kind, parts: Sequence[Part], geometry: Geometry) -> str:
    """What the rule means, in words that need no picture."""
    told = _Told(kind, tuple(parts), geometry)
    if kind.slug in _TABLE:
        words = _TABLE[kind.slug][0]
        return words if isinstance(words, str) else words(told)
    return kind.wording(parts, geometry.size)


def rule_clues(kind: Kind, parts: Sequence[Part], geometry: Geometry) -> Clues:
    """Its clues in one puzzle, as lines; none for a rule that the whole grid keeps."""
    if kind.slug in _TABLE:
        return _TABLE[kind.slug][1](_Told(kind, tuple(parts), geometry))
    return shape_lines(parts, geometry.size)


# --- words -----------------------------------------------------------------------------------


def _plain(told: _Told) -> str:
    """The rule's own wording, which speaks of nothing drawn."""
    return told.kind.wording(told.parts, told.size)


def _silent(told: _Told) -> str:
    return f"{_plain(told)} The whole grid keeps this rule; it has no clues."


def _cage_words(told: _Told) -> str:
    sums, pens = told.having("total"), [p for p in told.parts if _is_pen(p)]
    words = ["No digit repeats within a cage."]
    if sums:
        words.append("The digits of a cage add up to its sum.")
    if sums and pens:
        words.append("A cage without a sum may make any.")
    return " ".join(words)


def _whisper_words(told: _Told) -> str:
    least = -(-told.size // 2)
    return f"Two digits that are neighbours along a line differ by at least {least}."


def _parity_words(told: _Told) -> str:
    said = {"even": "The cells named even hold even digits.",
            "odd": "The cells named odd hold odd digits."}  # fmt: skip
    return " ".join(words for which, words in said.items() if told.of(which=which))


def _region_words(told: _Told) -> str:
    last = SYMBOLS[told.size]
    each = "The cells with one letter are a region; a full stop is a cell in none of them."
    if all(len(part.cells) == told.size for part in told.parts):
        words = f"Each extra region also holds the digits 1 to {last} once. {each}"
    else:
        words = f"No digit comes twice in an extra region. {each}"
    if len(_pictures(told)) > 1:
        words += " Regions that overlap stand in pictures of their own, one after the other."
    return words


def _sandwich_words(told: _Told) -> str:
    last = SYMBOLS[told.size]
    return (
        f"A number is the sum of the digits that stand between the 1 and the {last} of its row or "
        f"column: it is 5 where 2 and 3 stand there, and 0 where the 1 and the {last} touch. "
        "Numbers above belong to columns, c1 and so on, those at the left to rows."
    )


def _diagonal_words(told: _Told) -> str:
    return f"Each of the two long diagonals also holds the digits 1 to {SYMBOLS[told.size]} once."


# --- clues -----------------------------------------------------------------------------------


def _none(told: _Told) -> Clues:
    return []


def _numbered(told: _Told) -> Clues:
    """One line of cells after the other, numbered."""
    return [line for k, part in enumerate(told.parts, start=1)
            for line in item(str(k), told.names(part.cells))]  # fmt: skip


def _arrows(told: _Told) -> Clues:
    lines: Clues = []
    for k, part in enumerate(told.parts, start=1):
        circle, *shaft = told.names(part.cells)
        lines += item(str(k), [f"circle {circle},", "shaft", *shaft])
    return lines


def _is_pen(part: Part) -> bool:
    return bool(part.shapes()) and not hasattr(part, "total")


def _cages(told: _Told) -> Clues:
    lines: Clues = []
    for part in told.parts:
        if part.shapes():  # what all cages say together follows from them
            total = getattr(part, "total", None)
            label = "cage without a sum" if total is None else f"cage {total}"
            lines += item(label, told.names(part.cells))
    return lines


def _pairs(told: _Told, label: str, parts: Iterable[Part]) -> Clues:
    pairs = [" ".join(told.names(part.cells)) for part in parts]
    return item(label, pairs, ",") if pairs else []


def _shown(told: _Told) -> Clues:
    """Whether all marks are shown: then a part without a shape says so."""
    return [f"shown: {'some' if all(part.shapes() for part in told.parts) else 'all'}"]


def _dots(told: _Told) -> Clues:
    return [
        *_pairs(told, "white", told.of(colour="white")),
        *_pairs(told, "black", told.of(colour="black")),
        *_shown(told),
    ]


def _letters(told: _Told) -> Clues:
    return [
        *_pairs(told, "X", told.of(letter="X")),
        *_pairs(told, "V", told.of(letter="V")),
        *_shown(told),
    ]


def _inequalities(told: _Told) -> Clues:
    """A line for each cell that is less than others."""
    more: dict[int, list[int]] = {}
    for part in told.parts:
        low, high = part.cells
        more.setdefault(low, []).append(high)
    return [line for low in sorted(more)
            for line in item(f"{cell_name(low, told.size)} less than",
                             told.names(sorted(more[low])))]  # fmt: skip


def _parity(told: _Told) -> Clues:
    lines: Clues = []
    for which in ("even", "odd"):
        if marked := told.of(which=which):
            lines += item(which, told.names(part.cells[0] for part in marked))
    return lines


_SIDES = {"top": ("above", "c"), "bottom": ("below", "c"), "left": ("left", "r"),
          "right": ("right", "r")}  # fmt: skip


def _outside(told: _Told, value: str) -> Clues:
    """Clues side by side, each with its row or column."""
    lines: Clues = []
    for side, (label, line) in _SIDES.items():
        if clues := told.of(side=side):
            lines += item(label, [f"{line}{p.index + 1} {getattr(p, value)}" for p in clues], ",")
    return lines


def _sightlines(told: _Told) -> Clues:
    return _outside(told, "count")


def _sandwich(told: _Told) -> Clues:
    return _outside(told, "total")


def _little_sums(told: _Told) -> Clues:
    return [line for part in told.having("total")
            for line in item(f"sum {part.total}", told.names(part.cells))]  # fmt: skip


def _diagonals(told: _Told) -> Clues:
    labels = {"down": "falling", "up": "rising"}
    return [f"{labels[part.slope]}: {' to '.join(told.names((part.cells[0], part.cells[-1])))}"
            for part in told.having("slope")]  # fmt: skip


def _pictures(told: _Told) -> list[list[Part]]:
    """The regions, in as few pictures as show them without overlap, in order."""
    pictures: list[list[Part]] = []
    for part in told.parts:
        free = (p for p in pictures if not any(set(part.cells) & set(q.cells) for q in p))
        first = next(free, None)
        if first is None:
            pictures.append([part])
        else:
            first.append(part)
    return pictures


def _regions(told: _Told) -> Clues:
    lines: Clues = []
    for picture in _pictures(told):
        letters = ["."] * told.size**2
        for k, part in enumerate(picture):
            for cell in part.cells:
                letters[cell] = chr(ord("a") + k)
        lines += [*([""] if lines else []), *signs(letters, told.geometry)]
    return lines


_TABLE: dict[str, tuple[str | Callable[[_Told], str], Callable[[_Told], Clues]]] = {
    "anti-king": (_silent, _none),
    "anti-knight": (_silent, _none),
    "arrows": (
        "The digits along the shaft of each arrow add up to the digit in its circle. A digit may "
        "be repeated on a shaft where no other rule forbids it. Shafts are told from the circle "
        "on.",
        _arrows,
    ),
    "between-lines": (
        "Each line joins two circles, in its first and its last cell. Every digit on the line "
        "between them is greater than the digit in one circle and less than the digit in the "
        "other.",
        _numbered,
    ),
    "cages": (_cage_words, _cages),
    "diagonals": (_diagonal_words, _diagonals),
    "dots": (_plain, _dots),
    "extra-regions": (_region_words, _regions),
    "inequalities": (
        "Each line names a cell whose digit is less than that of each cell named after it, which "
        "lies beside it.",
        _inequalities,
    ),
    "little-sums": (
        "Each sum is that of the digits along a diagonal. Digits may repeat on a diagonal where no "
        "other rule forbids it. The cells are told from the edge on at which the sum stands.",
        _little_sums,
    ),
    "non-consecutive": (_silent, _none),
    "palindromes": (
        "Along each line the digits read the same from either end: the first is the last again, "
        "the second the last but one, and so on.",
        _numbered,
    ),
    "parity": (_parity_words, _parity),
    "renban": (
        "The digits on each line are consecutive, in any order, and none is repeated: on a line of "
        "three cells they might be 2, 4 and 3.",
        _numbered,
    ),
    "sandwich": (_sandwich_words, _sandwich),
    "sightlines": (
        "Take the digits for the heights of towers. A number says how many of them are seen along "
        "a row or column, from the side that is named: a tower hides all lower ones behind it. Of "
        "2 1 4 3, the 2 and the 4 are seen from the left, the 3 and the 4 from the right. Numbers "
        "above and below belong to columns, c1 and so on, those at the left and right to rows.",
        _sightlines,
    ),
    "thermometers": (
        "Digits rise along each thermometer: every digit is greater than the one before. "
        "Thermometers are told from the bulb to the tip.",
        _numbered,
    ),
    "whispers": (_whisper_words, _numbered),
    "xv": (_plain, _letters),
}  # fmt: skip


def puzzle_rules(
    rule_names: Iterable[str], parts: Sequence[Part]
) -> list[tuple[Kind, tuple[Part, ...]]]:
    """Each rule of a puzzle once, with its parts, in the manifest's order."""
    kinds = [rules.kinds()[slug] for slug in dict.fromkeys(rule_names)]
    return [(kind, rules.parts_of(kind, parts)) for kind in kinds]
