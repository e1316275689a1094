"""Values: what a single field may hold, each with the JSON Schema that says the same.

What the schema refuses is refused here too. An editor's own reader may take a text for a number or
a yes/no (YAML 1.2, core schema, 10.3), so the schema of text allows these.
"""

from __future__ import annotations

import re
import unicodedata
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from packbuilder.phrases import nearest, quoted
from packbuilder.text import inkless
from packbuilder.yamlfields.document import Scalar
from packbuilder.yamlfields.parts import Faults, YamlPart

T = TypeVar("T")
Json = dict[str, Any]

TEXT = ("string", "number", "boolean")
"""JSON's types of a text that may be typed without quotes."""


class Wrong(Exception):
    """What is wrong with a value, and how to mend it: ``is 3; write a number from 4 to 16``."""


class Spec(ABC, Generic[T]):
    """What a field may hold: how it is read, and the JSON Schema that says the same."""

    @abstractmethod
    def read(self, part: YamlPart, faults: Faults) -> T | None:
        """What stands in a part of a document; None, and every fault noted, where it is wrong."""

    @abstractmethod
    def schema(self, groups: dict[str, Json]) -> Json:
        """The schema. Those of groups of fields go into ``groups`` by name, and are referred to."""

    def in_part(self) -> Spec[Any]:
        """The same in a group of which any field may be left out."""
        return self


@dataclass(frozen=True)
class Value(Spec[T]):
    """A single value.

    ``wanted`` says what to write; ``take`` turns the text into what it means, or raises `Wrong`;
    ``json`` is the schema, or makes it where it takes time to know.
    """

    wanted: str
    take: Callable[[Scalar], T]
    json: Json | Callable[[], Json]

    def read(self, part: YamlPart, faults: Faults) -> T | None:
        """What the text means."""
        if part.data is None:
            told = f"has no value; write {self.wanted} (and quote the word null where it is meant)"
        elif isinstance(part.data, Scalar):
            try:
                return self.take(part.data)
            except Wrong as wrong:
                told = str(wrong)
        else:
            what = "a list" if isinstance(part.data, list) else "a group of fields"
            told = f"holds {what}; write {self.wanted}"
        faults.add(part, told)
        return None

    def schema(self, groups: dict[str, Json]) -> Json:
        """The schema of its own."""
        return dict(self.json() if callable(self.json) else self.json)


# --- text -------------------------------------------------------------------------------------


def as_written(wanted: str, types: Iterable[str] = TEXT) -> Value[Scalar]:
    """The text as it stands."""
    return Value(wanted, lambda text: text, {"type": list(types)})


def line(limit: int) -> Value[str]:
    """One line of words, with single blanks."""
    return _words("a line of text", limit, lambda text: " ".join(text.split()), one_line=True)


def prose(limit: int) -> Value[str]:
    """A sentence or two, on as many lines as you like."""
    return _words("a sentence or two", limit, lambda text: " ".join(text.split()))


def paragraphs(limit: int) -> Value[str]:
    """Paragraphs, parted by blank lines."""

    def parted(text: str) -> str:
        return "\n\n".join(" ".join(part.split()) for part in re.split(r"\n\s*\n", text))

    return _words("text, with a blank line between paragraphs", limit, parted)


_LIGATURE = re.compile("[\ufb00-\ufb06]")
"""Letters that a font joins, as one sign: compatibility characters, whose letters are meant."""


def _parted(sign: re.Match[str]) -> str:
    return unicodedata.normalize("NFKC", sign[0])


def _words(
    wanted: str, limit: int, set_: Callable[[str], str], one_line: bool = False
) -> Value[str]:
    def take(raw: Scalar) -> str:
        text = unicodedata.normalize("NFC", _LIGATURE.sub(_parted, raw)).strip()
        longest = max(len(raw), len(text))
        if not text:
            raise Wrong(f"is blank; write {wanted}")
        if longest > limit:
            raise Wrong(f"has {longest} characters; print has room for {limit}: shorten it")
        if lost := inkless(text):
            raise Wrong(f"holds the unprintable character U+{ord(lost[0]):04X}; delete it")
        if one_line and "\n" in text:
            raise Wrong("has more than one line; write it on one")
        return set_(text)

    return Value(wanted, take, {"type": list(TEXT), "pattern": r"\S", "maxLength": limit})


def shaped(
    pattern: str, what: str, wanted: str, limit: int, types: Iterable[str] = TEXT
) -> Value[str]:
    """Scalar of a fixed shape: ``what`` names the shape, ``wanted`` says what to write."""

    def take(text: Scalar) -> str:
        if not re.fullmatch(pattern, text):
            raise Wrong(f"{quoted(text)} is not {what}; write {wanted}")
        if len(text) > limit:
            raise Wrong(f"has {len(text)} characters; it may have {limit}")
        return str(text)

    json = {"type": list(types), "pattern": f"^{pattern}$", "maxLength": limit}
    return Value(wanted, take, json)


def one_of(
    known: Iterable[str] | Callable[[], Iterable[str]],
    what: str,
    *,
    listed: str = "",
    elsewhere: Mapping[str, str] | None = None,
) -> Value[str]:
    """One of the known words; a function where it takes time to know them.

    ``what`` is what each is; ``listed`` the command that lists them, where they are many;
    ``elsewhere`` has the mends for words that are known in another place.
    """

    def words() -> list[str]:
        return list(known() if callable(known) else known)

    def take(text: Scalar) -> str:
        if text not in (all_ := words()):
            mend = (elsewhere or {}).get(text) or nearest(text, all_, listed)
            raise Wrong(f"{quoted(text)} is not {what}; {mend}")
        return str(text)

    return Value(what, take, lambda: {"enum": words()})


# --- numbers, yes and no ----------------------------------------------------------------------

_NUMBER = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]{1,3})?")
_OTHER_BASE = re.compile(r"0x[0-9a-fA-F]{1,8}|0o[0-7]{1,8}")
_LONGEST = 30


def whole(least: int, most: int) -> Value[int]:
    """A whole number."""
    wanted = f"a whole number from {least} to {most}"

    def take(text: Scalar) -> int:
        number = _number(text, "a whole number", wanted)
        if not number.is_integer():
            raise Wrong(f"{quoted(text)} is not a whole number; write {wanted}")
        if not least <= number <= most:
            raise Wrong(f"is {text}; write {wanted}")
        return int(number)

    return Value(wanted, take, {"type": "integer", "minimum": least, "maximum": most})


def number(least: float, most: float, of: str = "a number", *, above: bool = False) -> Value[float]:
    """A number ``of`` something, such as millimetres; more than the least where ``above``."""
    span = f"above {least:g}, {most:g} at most" if above else f"from {least:g} to {most:g}"
    wanted = f"{of} {span}"

    def take(text: Scalar) -> float:
        found = _number(text, "a number", wanted)
        if not least <= found <= most or (above and found == least):
            raise Wrong(f"is {text}; write {wanted}")
        return found

    bound = "exclusiveMinimum" if above else "minimum"
    return Value(wanted, take, {"type": "number", bound: least, "maximum": most})


def _number(text: Scalar, what: str, wanted: str) -> float:
    """The number that YAML's core schema reads in a text."""
    if not text.plain:
        raise Wrong(f"{quoted(text)} is in quotes; write the number without them")
    if len(text) <= _LONGEST and _NUMBER.fullmatch(text):
        return float(text)
    if _OTHER_BASE.fullmatch(text):
        return float(int(text, 0))
    raise Wrong(f"{quoted(text)} is not {what}; write {wanted}")


def _yes_or_no(text: Scalar) -> bool:
    if text.plain and text in (*_YES, *_NO):
        return text in _YES
    raise Wrong(f"{quoted(text)} is neither true nor false; write true or false, without quotes")


_YES, _NO = ("true", "True", "TRUE"), ("false", "False", "FALSE")
YES_NO = Value("true or false", _yes_or_no, {"type": "boolean"})
