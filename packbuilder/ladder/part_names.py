"""Part names: how parts of rules are pointed at inside a sentence."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from packbuilder.ladder.english import cells, listed
from packbuilder.rules.contract import Part

_PLACE = re.compile(r"(.*?[^\d ])(?<! at)(?<! from) ((?:at|from) .*|r\d.*)")
"""What a part is called, and where it is: ``white dot`` and ``at r1c1-r1c2``."""


def part_name(part: Part, about: Sequence[int], size: int) -> str:
    """A part with its article, for what it says ``about`` some cells: ``the cage 23 at r4c5``.

    Where one part speaks for others like it, it is ``the signs of r1c2, r1c3 and r2c3``.
    """
    return part_names([(part, about)], size)[0]


def kinds_named(parts: Iterable[Part], size: int) -> str:
    """The kinds of some parts, each of which may speak for others: ``the signs and arrows``."""
    heads = [_together(part, _head_and_place(part, size)[0]) for part in parts]
    return f"the {listed(dict.fromkeys(heads))}"


def part_names(parts: Iterable[tuple[Part, Sequence[int]]], size: int) -> list[str]:
    """Parts likewise; those of one kind as one: ``the arrows from r1c1 to r1c3 and from ...``."""
    places: dict[str, dict[str, None]] = {}
    among: dict[str, dict[int, None]] = {}
    for part, about in dict.fromkeys(parts):
        head, place = _head_and_place(part, size)
        if set(about) <= set(part.cells):
            places.setdefault(head, {})[place] = None
        else:
            among.setdefault(_together(part, head), {}).update(dict.fromkeys(about))
    return [
        *(f"the {heads} of {cells(about, size)}" for heads, about in among.items()),
        *(f"the {head}{'s' * (len(at) > 1)} {listed(at)}".rstrip() for head, at in places.items()),
    ]


def _head_and_place(part: Part, size: int) -> tuple[str, str]:
    name = part.name(size).removeprefix("the ")
    found = _PLACE.match(name)
    return (found[1], found[2]) if found else (name, "")


def _together(part: Part, head: str) -> str:
    """What a part and those that it speaks for are called: a white dot may speak for black ones."""
    return part.many or f"{head}s"
