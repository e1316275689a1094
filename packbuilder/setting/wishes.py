"""Wishes: a list in YAML of the grids that a month needs, each with what is asked of it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from packbuilder import symmetry
from packbuilder.errors import InputError
from packbuilder.grid import MAX_SIZE, MIN_SIZE, Geometry, GridFault, read_blocks
from packbuilder.manifest import values
from packbuilder.phrases import quoted
from packbuilder.setting.picture import find_picture
from packbuilder.setting.request import Request
from packbuilder.setting.search import usual_clues
from packbuilder.yamlfields.document import read_yaml
from packbuilder.yamlfields.groups import Field, Group, ListOf
from packbuilder.yamlfields.parts import Faults, YamlPart
from packbuilder.yamlfields.values import YES_NO, line, one_of, shaped, whole

LISTED = "wishes"


@dataclass(frozen=True)
class Wish:
    """So many grids of one kind; ``seed`` is their own, ``line`` that of the file."""

    request: Request
    count: int
    title: str
    seed: int
    line: int

    @property
    def name(self) -> str:
        """How a message names it."""
        return f"wish on line {self.line}" + (f" ({self.title})" if self.title else "")


# fmt: off
WISH: Group[dict[str, Any]] = Group(
    "WishFields",
    "What is asked of a grid; what is left out is all the same.",
    {
        "title": Field(line(80), "The title of its entry.", "The Lamp Room", default=""),
        "grade": Field(values.GRADE, "The grade that it must have.", 3, default=None),
        "needs": Field(values.TECHNIQUES, "Techniques that it must need.", ["skyscraper"],
                       default=()),
        "only": Field(values.TECHNIQUES, "Techniques that it must need, and that nothing else on "
                      "their rung can stand in for.", ["skyscraper"], default=()),
        "no-notes": Field(whole(0, 20), "It can be solved without notes, with at most so many "
                          "marks in mind.", 3, default=None),
        "picture": Field(line(200), "Where its clues stand: a file beside this one, or the name of "
                         "a picture of our own.", "heart", default=None),
        "rules": Field(ListOf(line(40), unique=True),
                       "Rules that it must have, with a number of clues if you like.",
                       ["thermometers", "cages: 12"], default=()),
        "symmetry": Field(one_of(symmetry.NAMES, "a symmetry"), "That of its clues' picture.",
                          "diagonal", default=None),
        "clues": Field(shaped(r"[0-9]{1,3}(?:-[0-9]{1,3})?", "a number of clues",
                              "a number or LOW-HIGH, such as 24-30", 7), "How many clues.",
                       "24-30", default=None),
        "minimal": Field(YES_NO, "True: no clue can be left out.", True, default=False),
        "size": Field(whole(MIN_SIZE, MAX_SIZE), "Cells along one side.", 6, default=None),
        "blocks": Field(values.BLOCKS, "As in a manifest.", "2x3", default=None),
        "count": Field(whole(1, 100), "How many such grids.", 2, default=1),
    },
    dict,
)
WISHES: Group[dict[str, Any]] = Group(
    "Wishes",
    "The grids that a month needs.",
    {LISTED: Field(ListOf(WISH, "a list of wishes", "begin each with a hyphen", least=1),
                   "The wishes, in the order of the pack.")},
    dict,
)
# fmt: on


def read_wishes(path: Path, seed: int) -> list[Wish]:
    """The wishes of a file: a list, or a field ``wishes`` that holds one.

    The k-th has the seed ``seed`` + k, from 0. Raises InputError with every fault, by line.
    """
    document = read_yaml(path, listed_as=LISTED)
    faults = Faults()
    found = WISHES.read(YamlPart(document), faults)
    faults.raise_if_any()
    assert found is not None
    wishes = []
    for k, fields in enumerate(found[LISTED]):
        part = YamlPart(document).inside(LISTED, k)
        try:
            request = _request(fields, path.parent)
            request.check(seed + k)
            wishes.append(Wish(request, fields["count"], fields["title"], seed + k, part.line))
        except (InputError, GridFault) as fault:
            faults.add(part, str(fault))
    faults.raise_if_any()
    return wishes


def _request(fields: dict[str, Any], folder: Path) -> Request:
    picture = None
    if name := fields["picture"]:
        beside = folder / name
        picture = find_picture(str(beside) if beside.is_file() else name)
    if picture and fields["symmetry"]:
        raise InputError("a picture says where the clues stand; take the symmetry out")
    size = fields["size"] or (picture.size if picture else 9)
    geometry: Geometry = read_blocks(fields["blocks"], size)
    usual = picture.span if picture else usual_clues(geometry, bool(fields["rules"]))
    rules, counts = counted_rules(fields["rules"])
    return Request(
        geometry,
        span_of(fields["clues"]) if fields["clues"] else usual,
        fields["symmetry"] or ("none" if picture else "rotational"),
        fields["grade"],
        fields["needs"],
        rules,
        picture,
        fields["no_notes"],
        fields["minimal"],
        counts,
        only=fields["only"],
    )


def span_of(clues: str) -> tuple[int, int]:
    """``24-30`` as two numbers; one number is a span of itself."""
    low, _, high = clues.partition("-")
    return int(low), int(high or low)


def counted_rules(
    texts: Sequence[str],
) -> tuple[tuple[str, ...], tuple[tuple[str, int], ...]]:
    """Rules by name, and how many clues some of them have: of ``cages`` or ``cages: 12``.

    Whether they are rules is not looked at. Raises InputError for what is no number of clues.
    """
    names, counts = dict[str, None](), dict[str, int]()
    for text in texts:
        name, colon, count = (one.strip() for one in text.partition(":"))
        names[name] = None
        if colon:
            if not re.fullmatch("[1-9][0-9]?", count):
                raise InputError(f"{quoted(text)}: write a number behind the rule: 'cages: 12'")
            counts[name] = int(count)
    return tuple(names), tuple(counts.items())
