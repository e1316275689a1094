"""Source digests: what an edition is made from, as one short text that is equal for equal packs.

By it a build knows whether a file that an earlier build left is still of this very pack. It covers
what is printed and what the print was held against; where the pack's folder lies, and on which line
of the manifest a puzzle stands, is no part of it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from collections.abc import Set as AnySet
from dataclasses import fields, is_dataclass
from functools import cached_property
from typing import Any

from packbuilder import __version__
from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.editions import Edition
from packbuilder.errors import InputError
from packbuilder.release.record import FileLine

_READ_FROM = frozenset({"archive", "folder", "layouts_folder", "file", "where"})
"""Fields that say where something was read."""


class SourceDigests:
    """The digests of a whole book's editions, in this version of packbuilder."""

    def __init__(self, whole: Book) -> None:
        self._whole = whole

    def of(self, edition: Edition, least_pages: Mapping[str, int] | None = None) -> str:
        """32 hexadecimal digits for one edition.

        ``least_pages`` are those of its sections, as `pages.plan_book` takes them. Raises
        InputError where the layout that the edition asks for cannot be read.
        """
        layout = None
        if edition.suffix == ".pdf":
            from packbuilder.layouts import load

            pack = book_of(self._whole, edition).pack
            layout = load(pack.layout, pack.layouts_folder)
        return _digest((self._book, edition, layout, dict(least_pages or {})))

    def match(self, edition: Edition, line: FileLine) -> bool:
        """Whether a line of the record is of an equal book, with no page left bare."""
        try:
            return self.of(edition) == line.get("made_from")
        except InputError:
            return False

    @cached_property
    def _book(self) -> str:
        return _digest((__version__, self._whole))


def _digest(value: object) -> str:
    text = json.dumps(value, default=_plain, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:32]


def _plain(value: Any) -> Any:
    """A value in a form that is the same for equal values in every process."""
    if is_dataclass(value) and not isinstance(value, type):
        found = {f.name: getattr(value, f.name) for f in fields(value) if f.name not in _READ_FROM}
        return {type(value).__name__: found}
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, bytes):
        return hashlib.sha256(value).hexdigest()
    if isinstance(value, AnySet):
        return sorted(json.dumps(one, default=_plain, sort_keys=True) for one in value)
    named = value if callable(value) else type(value)  # a rule's part may hold a function
    return f"{named.__module__}.{named.__qualname__}"
