"""What only fields of a manifest may hold: techniques, grades, papers, web addresses."""

from __future__ import annotations

import re
from collections.abc import Iterable

from packbuilder.editions import OWN_PAPERS
from packbuilder.ladder.puzzle_ladder import rule_rows
from packbuilder.ladder.rungs import RUNGS
from packbuilder.ladder.table import ASSUMING_UNIQUE
from packbuilder.phrases import nearest, quoted
from packbuilder.puzzle import BEYOND, Grade
from packbuilder.yamlfields.document import Scalar
from packbuilder.yamlfields.groups import ListOf
from packbuilder.yamlfields.values import TEXT, Value, Wrong, one_of, shaped

PAPERS = ("a4", "letter", "a5")
NAME = r"[a-z0-9]+(?:-[a-z0-9]+)*"
ADDRESS = r"https?://[A-Za-z0-9][!-~]*"

LONGEST_NAME = 64
LONGEST_ADDRESS = 300
"""Characters that a QR code in print has room for."""


def _techniques() -> Iterable[str]:
    """Every technique that can be promised: the whole ladder's, then those that rules bring."""
    return dict.fromkeys((*ASSUMING_UNIQUE.slugs, *(row.slug for row in rule_rows())))


def _grade(text: Scalar) -> Grade:
    grades: dict[str, Grade] = {str(rung): rung for rung in range(1, RUNGS + 1)}
    grades[BEYOND] = BEYOND
    if text in grades and (text.plain or text == BEYOND):
        return grades[text]
    if text in grades:
        raise Wrong(f"{quoted(text)} is in quotes; write the number without them")
    raise Wrong(f"{quoted(text)} is not a grade; {nearest(text, grades)}")


def _address(text: Scalar) -> str:
    if len(text) > LONGEST_ADDRESS:
        raise Wrong(
            f"has {len(text)} characters; a QR code in print has room for {LONGEST_ADDRESS}"
        )
    if not re.fullmatch(ADDRESS, text):
        told = f"{quoted(text)} is not a web address; write {LINK.wanted}"
        raise Wrong(f"{told}, without blanks or accents")
    return str(text)


IDENTIFIER = shaped(
    NAME, "an identifier", "lower-case letters, digits and hyphens, such as lamp-room", LONGEST_NAME
)
LAYOUT = shaped(NAME, "a layout's name", "the name of a layout, such as one-up", LONGEST_NAME)
MONTH = shaped(
    "[12][0-9]{3}-(?:0[1-9]|1[0-2])", "a month",
    "the year and the month as YYYY-MM, such as 2026-12", 7, ["string"],
)  # fmt: skip
LINK = Value(
    "a web address that begins with https:// or http://", _address,
    {"type": "string", "format": "uri", "pattern": f"^{ADDRESS}$", "maxLength": LONGEST_ADDRESS},
)  # fmt: skip
GRADE = Value(
    f"a rung from 1 to {RUNGS}, or {BEYOND}", _grade, {"enum": [*range(1, RUNGS + 1), BEYOND]}
)
PAPER = one_of(
    PAPERS,
    "a paper size",
    elsewhere={
        paper: f"{'booklets take half the paper' if form.folded else 'screens take it'} by "
        f"themselves (`--edition {form.name}`): write one of: {', '.join(PAPERS)}"
        for paper, form in OWN_PAPERS.items()
    },
)
TECHNIQUE = one_of(_techniques, "a technique of the ladder", listed="packbuilder techniques")
TECHNIQUES = ListOf(TECHNIQUE, how="write it in brackets, such as [hidden-triple]", unique=True)
FOLDER = shaped(
    r"[^\x00-\x1f]*[^\x00-\x20][^\x00-\x1f]*",
    "a folder's name",
    "a folder, such as ../last-year",
    400,
)
CELLS = Value("the cells, '.' for an empty one", lambda text: text, {"type": list(TEXT[:2])})
BLOCKS = Value(
    "rows x columns (such as 3x3), none, or a picture", lambda text: text, {"type": list(TEXT[:2])}
)
