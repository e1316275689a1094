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
    """The kinds of some parts: ``the white dots and black dots``."""
    heads = []
    for part in parts:
        name = part.name(size).removeprefix("the ")
        found = _PLACE.match(name)
        heads.append(f"{found.groups()[0] if found else name}s")
    return f"the {listed(dict.fromkeys(heads))}"


def part_names(parts: Iterable[tuple[Part, Sequence[int]]], size: int) -> list[str]:
    """Parts likewise; those of one kind as one: ``the arrows from r1c1 to r1c3 and from ...``."""
    heads: dict[tuple[str, bool], dict[str, None]] = {}
    for part, about in dict.fromkeys(parts):
        name = part.name(size).removeprefix("the ")
        found = _PLACE.match(name)
        head, place = found.groups() if found else (name, "")
        many = not set(about) <= set(part.cells)
        told = f"of {cells(about, size)}" if many else place
        heads.setdefault((head, many), {})[told] = None
    return [
        f"the {head}{'s' if many or len(places) > 1 else ''} {listed(places)}".rstrip()
        for (head, many), places in heads.items()
    ]
