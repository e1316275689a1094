"""Parts of a document and the faults that are found in them, told by file, line and field."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from packbuilder.errors import InputError
from packbuilder.phrases import quoted
from packbuilder.yamlfields.document import Document, Where


@dataclass(frozen=True)
class YamlPart:
    """A part of a document: the way to it, how its field is told, and whose it is, if known."""

    document: Document
    where: Where = ()
    label: str = ""
    owner: str = ""

    @property
    def data(self) -> Any:
        """What stands there; None where nothing does."""
        value: Any = self.document.data
        for step in self.where:
            if isinstance(value, dict):
                value = value.get(step)
            else:
                value = value[step] if isinstance(value, list) and isinstance(step, int) else None
        return value

    @property
    def lack(self) -> str:
        """How a part without a value lacks it."""
        return "has no value" if self.where in self.document.lines else "is missing"

    @property
    def line(self) -> int:
        """The line of the file on which it stands."""
        return self.document.lines_of(self.where).line

    def inside(self, *steps: str | int) -> YamlPart:
        """The part some steps further in. List positions go from 0, and are told from 1."""
        label = self.label
        for step in steps:
            if isinstance(step, int):
                label += f"[{step + 1}]"
            else:
                name = step if re.fullmatch(r"[\w-]{1,40}", step) else quoted(step)
                label += f".{name}" if label else name
        return YamlPart(self.document, (*self.where, *steps), label, self.owner)


@dataclass
class Faults:
    """All that was found wrong so far, in whichever files."""

    _found: dict[tuple[int, int, str], None] = field(default_factory=dict)
    _files: list[Path] = field(default_factory=list)

    def add(self, part: YamlPart, message: str, line: int | None = None) -> None:
        """Note a fault of a part, on its own line unless told another; the same one only once."""
        line = line or part.line
        told = f"{part.label} ({part.owner})" if part.owner else part.label
        self._note(part.document.path, line, f"{part.document.path}:{line}: {told}: {message}")

    def unreadable(self, path: Path, error: InputError) -> None:
        """Note the faults of a file that is no YAML of ours."""
        for text in str(error).splitlines():
            found = re.match(r":(\d+): ", text.removeprefix(str(path)))
            self._note(path, int(found[1]) if found else 0, text)

    @property
    def count(self) -> int:
        """How many faults were found so far."""
        return len(self._found)

    def raise_if_any(self) -> None:
        """Raise InputError with every fault, sorted by file and line."""
        if self._found:
            raise InputError("\n".join(text for _, _, text in sorted(self._found)))

    def _note(self, path: Path, line: int, text: str) -> None:
        if path not in self._files:
            self._files.append(path)
        self._found[self._files.index(path), line, text] = None
