"""The kinds of field that a manifest has, and for each the JSON Schema that says the same.

Values come as they are written (`yamlfile.Text`, list, dict); each validator here turns one into
what it means, or says what is wrong with it and how to mend it. What the schema refuses is refused
here too; the reverse cannot hold, as a schema cannot count a grid's cells. What fields mean
together (a grid and its size, say) is the business of `manifest`.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from importlib import import_module
from typing import Annotated, Any, NoReturn

from pydantic import Field, PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from packbuilder import symmetry
from packbuilder.editions import OWN_PAPERS
from packbuilder.grid import MAX_SIZE, MIN_SIZE
from packbuilder.ladder.rungs import RUNGS
from packbuilder.puzzle import BEYOND, Grade
from packbuilder.yamlfile import Text

PAPERS = ("a4", "letter", "a5")
ORDERS = ("as-listed", "easiest-first")
MAX_MARKS = 20
MAX_SLUG = 64
MAX_FOREWORD = 6000

SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
ISSUE = re.compile(r"[12][0-9]{3}-(?:0[1-9]|1[0-2])")
LINK = re.compile(r"https?://[A-Za-z0-9][!-~]*")

# How text is typed in YAML where an editor's own reader may take it for a number or a yes/no.
TEXT_TYPES = ["string", "number", "boolean"]
_GRID_TYPES = ["string", "number"]


# --- saying what is wrong ---------------------------------------------------------------------


def refuse(sentence: str) -> NoReturn:
    """Raise a fault: ``what is wrong; how to mend it``."""
    raise PydanticCustomError("fault", "{sentence}", {"sentence": sentence})


def nearest(word: str, known: Iterable[str], listed: str = "") -> str:
    """The mend for a word that is not known: the nearest known one, or all of them.

    ``listed`` names the command that lists them, where they are too many for a message.
    """
    known = list(known)
    close = difflib.get_close_matches(word.lower(), known, n=1, cutoff=0.6)
    if close:
        return f"did you mean {close[0]!r}?"
    return f"`{listed}` lists them" if listed else f"write one of: {', '.join(known)}"


def quoted(text: str) -> str:
    """The text in quotes, cut where it is long."""
    text = str(text)
    return repr(text if len(text) <= 40 else text[:37] + "...")


def written(value: object, wanted: str) -> Text:
    """The value where it is text, else a fault that says what is wanted instead."""
    if isinstance(value, Text):
        return value
    if value is None:
        refuse(f"has no value; write {wanted} (and quote the word null where it is meant)")
    kind = "a list" if isinstance(value, list) else "a group of fields"
    refuse(f"holds {kind}; write {wanted}")


# --- kinds of text ----------------------------------------------------------------------------


def _clean(value: object, wanted: str, limit: int) -> str:
    raw = written(value, wanted)
    text = unicodedata.normalize("NFC", raw).strip()
    if not text:
        refuse(f"is blank; write {wanted}")
    longest = max(len(raw), len(text))
    if longest > limit:
        refuse(f"has {longest} characters; print has room for {limit}: shorten it")
    for character in text:
        if character not in "\n\t" and unicodedata.category(character) in _UNPRINTED:
            refuse(f"holds the unprintable character U+{ord(character):04X}; delete it")
    return text


# Controls, invisible formatting (which could also turn the order of printed letters round),
# half surrogates, private use, unassigned, and Unicode's own line and paragraph breaks.
_UNPRINTED = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def _one_line(limit: int) -> Any:
    def check(value: object) -> str:
        text = _clean(value, "a line of text", limit)
        if "\n" in text:
            refuse("has more than one line; write it on one")
        return " ".join(text.split())

    return _text_type(check, limit)


def _prose(limit: int) -> Any:
    def check(value: object) -> str:
        return " ".join(_clean(value, "a sentence or two", limit).split())

    return _text_type(check, limit)


def _paragraphs(value: object) -> str:
    text = _clean(value, "text, with a blank line between paragraphs", MAX_FOREWORD)
    return "\n\n".join(" ".join(part.split()) for part in re.split(r"\n\s*\n", text))


def _text_type(check: Callable[[object], str], limit: int) -> Any:
    schema = {"type": TEXT_TYPES, "pattern": r"\S", "maxLength": limit}
    return Annotated[str, PlainValidator(check), WithJsonSchema(schema)]


def _shaped(
    pattern: re.Pattern[str], wanted: str, what: str, limit: int, types: list[str] = TEXT_TYPES
) -> Any:
    """Text of a fixed shape: ``wanted`` says what to write, ``what`` names the shape."""

    def check(value: object) -> str:
        text = written(value, wanted)
        if not pattern.fullmatch(text):
            refuse(f"{quoted(text)} is not {what}; write {wanted}")
        if len(text) > limit:
            refuse(f"has {len(text)} characters; it may have {limit}")
        return str(text)

    schema = {"type": types, "pattern": f"^{pattern.pattern}$", "maxLength": limit}
    return Annotated[str, PlainValidator(check), WithJsonSchema(schema)]


def _one_of(known: tuple[str, ...], what: str, elsewhere: Mapping[str, str] | None = None) -> Any:
    """``elsewhere`` has the mends for words that are known in another place."""

    def check(value: object) -> str:
        text = written(value, f"one of: {', '.join(known)}")
        if text not in known:
            mend = (elsewhere or {}).get(text) or nearest(text, known)
            refuse(f"{quoted(text)} is not {what}; {mend}")
        return str(text)

    return Annotated[str, PlainValidator(check), WithJsonSchema({"enum": list(known)})]


def _technique(value: object) -> str:
    text = written(value, "a technique, such as hidden-triple")
    if text not in (known := technique_slugs()):
        near = nearest(text, known, "packbuilder techniques")
        refuse(f"{quoted(text)} is not a technique of the ladder; {near}")
    return str(text)


class _TechniqueSchema:
    def __get_pydantic_json_schema__(self, *_: object) -> dict[str, Any]:
        return {"enum": list(technique_slugs())}


def technique_slugs() -> tuple[str, ...]:
    """Every technique that can be promised: the whole ladder's, then those that rules bring."""
    from packbuilder.ladder.puzzle_ladder import rule_rows
    from packbuilder.ladder.table import ASSUMING_UNIQUE

    return tuple(dict.fromkeys((*ASSUMING_UNIQUE.slugs, *(row.slug for row in rule_rows()))))


def _address(value: object) -> str:
    wanted = "a web address that begins with https:// or http://"
    text = written(value, wanted)
    if len(text) > MAX_LINK:
        refuse(f"has {len(text)} characters; a QR code in print has room for {MAX_LINK}")
    if not LINK.fullmatch(text):
        refuse(f"{quoted(text)} is not a web address; write {wanted}, without blanks or accents")
    return str(text)


MAX_LINK = 300
_LINK_SCHEMA = {
    "type": "string", "format": "uri", "pattern": f"^{LINK.pattern}$", "maxLength": MAX_LINK,
}  # fmt: skip


# --- numbers, yes and no ----------------------------------------------------------------------


def _whole(least: int, most: int) -> Any:
    def check(value: object) -> int:
        wanted = f"a whole number from {least} to {most}"
        text = written(value, wanted)
        if not text.plain:
            refuse(f"{quoted(text)} is in quotes; write the number without them")
        if not re.fullmatch(r"[0-9]{1,9}", text):
            refuse(f"{quoted(text)} is not a whole number; write {wanted}")
        if not least <= int(text) <= most:
            refuse(f"is {int(text)}; write {wanted}")
        return int(text)

    schema = {"type": "integer", "minimum": least, "maximum": most}
    return Annotated[int, PlainValidator(check), WithJsonSchema(schema)]


def _grade(value: object) -> Grade:
    wanted = f"a rung from 1 to {RUNGS}, or {BEYOND}"
    text = written(value, wanted)
    if text == BEYOND:
        return BEYOND
    if text in (rungs := [str(rung) for rung in range(1, RUNGS + 1)]):
        if text.plain:
            return int(text)
        refuse(f"{quoted(text)} is in quotes; write the number without them")
    close = difflib.get_close_matches(text.lower(), [BEYOND, *rungs], n=1)
    refuse(f"{quoted(text)} is not a grade; write {wanted}" + (
        f" (did you mean {close[0]}?)" if close else ""
    ))  # fmt: skip


def _yes_no(value: object) -> bool:
    text = written(value, "true or false")
    if not text.plain or text not in _YES_NO:
        refuse(f"{quoted(text)} is neither true nor false; write true or false, without quotes")
    return _YES_NO[text]


_YES_NO = {word: yes for yes, words in (
    (True, ("true", "True", "TRUE")), (False, ("false", "False", "FALSE"))
) for word in words}  # fmt: skip


def _thickness(value: object) -> float:
    text = written(value, "a thickness in millimetres, such as 0.1")
    if text.plain and re.fullmatch(r"\d{1,3}(\.\d{1,4})?", text):
        millimetres = float(text)
        if millimetres <= MAX_THICKNESS:
            return millimetres
    return refuse(
        f"{quoted(text)} is not a thickness of paper; write millimetres from 0 to "
        f"{MAX_THICKNESS:g}, such as 0.1"
    )


MAX_THICKNESS = 0.5
"""Millimetres: card of about 400 g."""


def _rules(value: object) -> list[Any]:
    if not isinstance(value, list):
        refuse("is not a list of rules; begin each rule with a hyphen, such as: - diagonals")
    return value


def _later(value: object) -> object:
    """Take the value as it is: its own reader looks at it, piece by piece, in the second pass."""
    if value is None:
        refuse("has no value; write one, or leave the line out")
    return value


class _SchemaOf:
    """The JSON Schema that another file of this room gives; that file imports this one."""

    def __init__(self, module: str) -> None:
        self.module = module

    def __get_pydantic_json_schema__(self, *_: object) -> dict[str, Any]:
        found: dict[str, Any] = import_module(f"packbuilder.manifest.{self.module}").schema()
        return found


def _grid(value: object) -> Text:
    return written(value, "the cells, '.' for an empty one")


def _blocks(value: object) -> Text:
    return written(value, "rows x columns (such as 3x3), none, or a picture")


# --- the types of the fields -------------------------------------------------------------------

Title = _one_line(80)
Name = _one_line(80)
Theme = _prose(200)
Intro = _prose(400)
Permission = _prose(400)
Licence = _prose(300)
FileName = _one_line(200)
Size = _whole(MIN_SIZE, MAX_SIZE)
Marks = _whole(0, MAX_MARKS)
ClueCount = _whole(0, MAX_SIZE * MAX_SIZE)
SamplerCount = _whole(1, 1000)
Thickness = Annotated[
    float,
    PlainValidator(_thickness),
    WithJsonSchema({"type": "number", "minimum": 0, "maximum": MAX_THICKNESS}),
]
Slug = _shaped(SLUG, "lower-case letters, digits and hyphens, such as lamp-room",
               "an identifier", MAX_SLUG)  # fmt: skip
Issue = _shaped(ISSUE, "the year and the month as YYYY-MM, such as 2026-12", "a month", 7,
                ["string"])  # fmt: skip
Layout = _shaped(SLUG, "the name of a layout, such as one-up", "a layout's name", MAX_SLUG)
Link = Annotated[str, PlainValidator(_address), WithJsonSchema(_LINK_SCHEMA)]
Paper = _one_of(
    PAPERS,
    "a paper size",
    {
        paper: f"{'booklets take half the paper' if form.folded else 'screens take it'} by "
        f"themselves (`--edition {form.name}`): write one of: {', '.join(PAPERS)}"
        for paper, form in OWN_PAPERS.items()
    },
)
Order = _one_of(ORDERS, "an order")
Symmetry = _one_of(symmetry.NAMES, "a symmetry")
Paragraphs = Annotated[
    str,
    PlainValidator(_paragraphs),
    WithJsonSchema({"type": TEXT_TYPES, "pattern": r"\S", "maxLength": MAX_FOREWORD}),
]
Technique = Annotated[str, PlainValidator(_technique), _TechniqueSchema()]
Techniques = Annotated[list[Technique], Field(json_schema_extra={"uniqueItems": True})]
GradeField = Annotated[
    Grade,
    PlainValidator(_grade),
    WithJsonSchema({"enum": [*range(1, RUNGS + 1), BEYOND]}),
]
YesNo = Annotated[bool, PlainValidator(_yes_no), WithJsonSchema({"type": "boolean"})]
GridText = Annotated[Text, PlainValidator(_grid), WithJsonSchema({"type": _GRID_TYPES})]
BlocksText = Annotated[Text, PlainValidator(_blocks), WithJsonSchema({"type": _GRID_TYPES})]
Rules = Annotated[list[Any], PlainValidator(_rules), _SchemaOf("rules")]
LadderChanges = Annotated[Any, PlainValidator(_later), _SchemaOf("ladders")]
HintList = Annotated[Any, PlainValidator(_later), _SchemaOf("hints")]
