"""Document: a YAML file of plain data, with the line of every key and value.

A file here is data and nothing else: no tags, no anchors or aliases, one document, a mapping at
its top. Scalars are kept *as written*, never guessed at, so ``2026-12``, ``0050`` and ``no``
are the text that a person typed; whoever reads the data turns text into a number or a yes/no
where one is wanted. Every fault is a sentence ``file:line: what is wrong; how to mend it``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from packbuilder.errors import InputError
from packbuilder.phrases import quoted

MAX_BYTES = 5_000_000
"""The largest file that is read; a pack of hundreds of puzzles is a tenth of it."""

MAX_VALUES = 100_000
"""The most keys and values in a file: a few seconds of reading."""

MAX_DEPTH = 50

Where = tuple[str | int, ...]
"""The way to a value: keys and list positions from the top, list positions from 0."""

_Fault = tuple[int, str]
"""A line of the file, from 1, and what is wrong there and how to mend it."""

# Characters that no text file of ours may hold: controls but tab and line feed, Unicode's own line
# breaks (which would make line numbers differ from an editor's), half surrogates, non-characters.
_REFUSED = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufdd0-\ufdef\ufffe\uffff]"
)
_TAB_INDENT = re.compile(r"^ *\t", re.MULTILINE)
_NULLS = {"", "~", "null", "Null", "NULL"}


class Scalar(str):
    """A scalar as it is written. ``plain`` is true where it stands without quotes or a block."""

    plain: bool

    def __new__(cls, value: str, plain: bool = True) -> Scalar:
        """Make the text; its characters are ``value``."""
        text = super().__new__(cls, value)
        text.plain = plain
        return text


@dataclass(frozen=True)
class LineNumbers:
    """The lines on which a key and its value begin, from 1. A list's item has no key.

    ``literal`` is true for a ``|`` block, whose lines of text are lines of the file.
    """

    line: int
    value_line: int
    literal: bool = False


@dataclass(frozen=True)
class Document:
    """A file's data and the lines of all its parts.

    ``data`` is made of dict, list, Scalar, and None for a value that is not there. ``path`` is the
    path as the user gave it.
    """

    path: Path
    data: dict[str, Any]
    lines: dict[Where, LineNumbers] = field(repr=False)

    def lines_of(self, where: Where) -> LineNumbers:
        """The place of a part; of the nearest part around it where it does not exist."""
        while where and where not in self.lines:
            where = where[:-1]
        return self.lines[where]

    def text_line(self, where: Where, k: int) -> int:
        """The line of the file that holds the k-th line (from 0) of a text.

        Exact for a ``|`` block; other styles fold their lines, and give the line where they begin.
        """
        place = self.lines_of(where)
        return place.value_line + 1 + k if place.literal else place.value_line


def read_yaml(path: Path, listed_as: str = "", sign: str = "") -> Document:
    """Read a YAML file whose top is a mapping.

    With ``listed_as`` the top may be a list as well: it is read as the field of that name. A
    ``sign`` needs no quotes as a value, though YAML may have a meaning of its own for it. Raises
    InputError with every fault that can be found, one a line.
    """
    text = _read_text(path)
    if sign:
        alone = rf"(?<=:) +{re.escape(sign)}(?= *(?:[,}}]|$))"
        text = re.sub(alone, f' "{sign}"', text, flags=re.MULTILINE)
    return parse_yaml(text, path, listed_as)


def parse_yaml(text: str, path: Path, listed_as: str = "") -> Document:
    """The same of text that stands nowhere, or elsewhere; ``path`` is what faults call it."""
    if faults := list(_odd_characters(text)):
        raise InputError("\n".join(f"{path}:{line}: {message}" for line, message in faults))
    loader = _Loader(text)
    loader.listed_as = listed_as
    try:
        data = loader.whole()
    except yaml.MarkedYAMLError as error:
        loader.faults.append(_explain(error))
    except (ValueError, OverflowError):  # an escape such as "\UFFFFFFFF" has no character
        told = "a \\U escape that names no character; write the character"
        loader.faults.append((loader.get_mark().line + 1, told))
    if loader.faults:
        lines = [f"{path}:{line}: {message}" for line, message in sorted(loader.faults)]
        raise InputError("\n".join(lines))
    return Document(path, data, loader.lines)


def _read_text(path: Path) -> str:
    try:
        if path.exists() and not path.is_file():
            what = "a folder" if path.is_dir() else "not a regular file"
            raise InputError(f"{path}: this is {what}; give a YAML file")
        with path.open("rb") as file:
            raw = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise InputError(f"{path}: there is no such file; check the spelling of the path") from None
    except (OSError, ValueError) as error:  # ValueError: a NUL in the path
        raise InputError(f"{path}: cannot be read: {reason(error)}") from None
    if len(raw) > MAX_BYTES:
        raise InputError(
            f"{path}: the file is larger than {MAX_BYTES // 1_000_000} MB, which text of this kind "
            "never is; leave out what is not text, or part it into several files"
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise InputError(
            f"{path}:{line}: the file is not UTF-8 text (byte {error.start + 1}); save it as UTF-8"
        ) from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def reason(error: OSError | ValueError | RuntimeError) -> str:
    """What the system says of a file that cannot be had."""
    return (error.strerror if isinstance(error, OSError) else None) or str(error)


def _odd_characters(text: str) -> Iterator[_Fault]:
    if found := _REFUSED.search(text):
        column = found.start() - text.rfind("\n", 0, found.start())
        told = f"column {column} holds the control character {_code(found[0])}; delete it"
        yield text.count("\n", 0, found.start()) + 1, told
    if found := _TAB_INDENT.search(text):
        line = text.count("\n", 0, found.start()) + 1
        yield line, "the line begins with a tab; indent with spaces"


def _code(character: str) -> str:
    return f"U+{ord(character):04X}"


class _Loader(yaml.SafeLoader):
    """PyYAML's safe composer, which here composes no tag, anchor or alias, and not too deep.

    ``faults`` gathers what can be passed over to find more, ``lines`` where each part stands.
    """

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.faults: list[_Fault] = []
        self.listed_as = ""
        self.lines: dict[Where, LineNumbers] = {}
        self._depth = 0
        self._values = 0

    def whole(self) -> dict[str, Any]:
        """The data of the one document. Raises MarkedYAMLError where reading on makes no sense."""
        root = self.get_node() if self.check_node() else None
        if root is None or (isinstance(root, yaml.ScalarNode) and root.value == ""):
            raise _stop(None, "the file is empty; it needs fields, each `name: value`")
        if self.check_node():
            event = self.peek_event()  # type: ignore[no-untyped-call]
            raise _stop(event, "a second document begins here; keep one, without the line ---")
        if self.listed_as and isinstance(root, yaml.SequenceNode):
            self.lines |= {(): _lines(root, root), (self.listed_as,): _lines(root, root)}
            return {self.listed_as: self._value(root, (self.listed_as,))}
        if not isinstance(root, yaml.MappingNode):
            kind = "a list" if isinstance(root, yaml.SequenceNode) else "a single value"
            told = f"the file holds {kind} at its top; it needs fields, each `name: value`"
            raise _stop(root, told)
        self.lines[()] = _lines(root, root)
        return self._mapping(root, ())

    def compose_node(self, parent: yaml.Node | None, index: Any) -> yaml.Node | None:
        """Compose one node, after looking at what it would be."""
        event: Any = self.peek_event()  # type: ignore[no-untyped-call]
        if isinstance(event, yaml.AliasEvent):
            self.get_event()  # type: ignore[no-untyped-call]
            self._note(event, f"the alias *{event.anchor} {_NO_REUSE}")
            return yaml.ScalarNode("", "", event.start_mark, event.end_mark)  # type: ignore[arg-type]
        if event.anchor is not None:
            self._note(event, f"the anchor &{event.anchor} {_NO_REUSE}")
        if event.tag is not None:
            told = f"the tag {quoted(event.tag)} is refused, as data needs none; delete it"
            self._note(event, told)
        event.anchor = event.tag = None
        self._values += 1
        self._depth += 1
        if self._values > MAX_VALUES:
            raise _stop(event, f"more than {MAX_VALUES} values; part the file into several")
        if self._depth > MAX_DEPTH:
            raise _stop(event, f"nested deeper than {MAX_DEPTH} levels; flatten it")
        node = super().compose_node(parent, index)
        self._depth -= 1
        return node

    def _note(self, at: Any, message: str) -> None:
        self.faults.append((at.start_mark.line + 1, message))

    def _value(self, node: yaml.Node, where: Where) -> Any:
        if isinstance(node, yaml.MappingNode):
            return self._mapping(node, where)
        if isinstance(node, yaml.SequenceNode):
            self.lines |= {(*where, k): _lines(item, item) for k, item in enumerate(node.value)}
            return [self._value(item, (*where, k)) for k, item in enumerate(node.value)]
        if not node.style and node.value in _NULLS:  # type: ignore[attr-defined]
            return None
        return Scalar(self._text(node), plain=not node.style)  # type: ignore[attr-defined]

    def _mapping(self, node: yaml.MappingNode, where: Where) -> dict[str, Any]:
        data: dict[str, Any] = {}
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode) or key_node.value == "":
                self._note(key_node, "a field's name is not a word; write `name: value`, with "
                           "quotes around a value that begins with a bracket")  # fmt: skip
                continue
            key = self._text(key_node)
            if key in data:
                first = self.lines[*where, key].line
                told = f"{quoted(key)} is given twice, first on line {first}; keep one"
                self._note(key_node, told)
                continue
            self.lines[*where, key] = _lines(key_node, value_node)
            data[key] = self._value(value_node, (*where, key))
        return data

    def _text(self, node: yaml.Node) -> str:
        """What is written; noted where an escape has made a control character of it."""
        if found := _REFUSED.search(node.value):
            code = _code(found[0])
            self._note(node, f"the text holds the control character {code}; delete its escape")
        return str(node.value)


_NO_REUSE = "is refused, since every value is written out where it stands; write it out"


def _stop(at: Any, message: str) -> yaml.MarkedYAMLError:
    """A fault of our own past which reading makes no sense."""
    return yaml.MarkedYAMLError(problem=message, problem_mark=at.start_mark if at else None)


def _lines(key: yaml.Node, value: yaml.Node) -> LineNumbers:
    literal = isinstance(value, yaml.ScalarNode) and value.style == "|"
    return LineNumbers(key.start_mark.line + 1, value.start_mark.line + 1, literal)


# What PyYAML says (a part of its words), and what a person is told. Two lists: faults that are
# best shown where they were noticed, and faults that are best shown where the broken part began.
_AT_PROBLEM = (
    ("mapping values are not allowed", "a colon that cannot stand here; put quotes around a text "
     "that holds ': ', or mend the indentation"),
    ("sequence entries are not allowed", "a list's '- ' cannot stand here; begin the list on a "
     "line of its own"),
    ("mapping keys are not allowed", "a '? ' cannot stand here; put quotes around the text"),
    ("cannot start any token", "a value cannot begin with this character; put quotes around it"),
    ("unknown escape character", "a backslash in double quotes begins an escape, and this is none; "
     "use single quotes"),
    ("expected escape sequence", "an escape in double quotes is cut short; write the character "
     "itself"),
    ("but found '<scalar>'", "text stands where none can; put quotes around the whole value, and "
     "double each quotation mark inside it"),
    ("expected <block end>", "the line does not fit with the lines above it; give the fields of "
     "one entry the same indentation, and begin each list item with '- '"),
    ("could not find expected ':'", "the line is not `name: value`, nor part of the text above "
     "it; mend its indentation, or put a colon after the field's name"),
    ("expected a comment or a line break", "text stands behind '|' or '>'; begin it on the next "
     "line, or put quotes around it"),
    ("expected alphabetic or numeric", "a value cannot begin with '*' or '&'; put quotes around "
     "it"),
    ("expected chomping", "text stands behind '|' or '>'; begin it on the next line, or put "
     "quotes around it"),
    ("expected the node content", "a value is missing or begins with a character that YAML keeps "
     "for itself; put quotes around it"),
)  # fmt: skip
_AT_START = (
    ("expected ',' or ']'", "a list is opened with '[' and not closed; end it with ']'"),
    ("expected ',' or '}'", "a mapping is opened with '{' and not closed; end it with '}'"),
    ("unexpected end of stream", "a quotation mark is opened and never closed; close it"),
    ("unexpected document separator", "a quotation mark is opened and never closed; close it"),
)


def _explain(error: yaml.MarkedYAMLError) -> tuple[int, str]:
    problem = error.problem or "this is not YAML"
    at = error.problem_mark or error.context_mark
    for known, told in _AT_START:
        if known in problem:
            at, problem = error.context_mark or at, told
    for known, told in _AT_PROBLEM:
        if known in problem:
            problem = told
    if ";" not in problem:
        problem = f"this is not YAML ({problem}); mend it, or put quotes around the text"
    return (at.line + 1 if at else 1), problem
