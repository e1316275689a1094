"""Stamp: what an edition is made from, as one short text that is equal for equal packs.

By it a build knows whether a file that an earlier build left is still of this very pack. It covers
what is printed and what the print was held against; where the pack's folder lies, and on which line
of the manifest a puzzle stands, is no part of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from collections.abc import Set as AnySet
from dataclasses import fields, is_dataclass
from functools import cached_property
from hashlib import sha256
from typing import Any

from packbuilder import __version__
from packbuilder.book.assembling import book_of
from packbuilder.book.book import Book
from packbuilder.editions import Edition
from packbuilder.errors import InputError

_PLACES = frozenset({"folder", "layouts_folder", "where", "file"})
"""Fields that say where something was read."""


class SourceDigests:
    """The stamps of a whole book's editions, in this version of packbuilder."""

    def __init__(self, whole: Book) -> None:
        self._whole = whole

    def of(self, edition: Edition, floors: Mapping[str, int] | None = None) -> str:
        """32 hexadecimal digits for one edition.

        ``floors`` are the least numbers of pages of sections, as `pages.print_book` takes them.
        Raises InputError where the layout that the edition asks for cannot be read.
        """
        layout = None
        if edition.suffix == ".pdf":
            from packbuilder.pages.layout import load

            pack = book_of(self._whole, edition).pack
            layout = load(pack.layout, pack.layouts_folder)
        return _digest((self._book, edition, layout, dict(floors or {})))

    def fit(self, edition: Edition, earlier: object) -> bool:
        """Whether a stamp was given for this edition of an equal book, without floors."""
        try:
            return self.of(edition) == earlier
        except InputError:
            return False

    @cached_property
    def _book(self) -> str:
        return _digest((__version__, self._whole))


def _digest(value: object) -> str:
    return sha256("".join(_told(value)).encode()).hexdigest()[:32]


def _told(value: Any) -> Iterator[str]:
    """A value in a form that is the same for equal values in every process."""
    if is_dataclass(value) and not isinstance(value, type):
        yield f"{type(value).__name__}("
        for field in fields(value):
            if field.name not in _PLACES:
                yield f"{field.name}="
                yield from _told(getattr(value, field.name))
        yield ")"
    elif isinstance(value, Mapping):
        yield "{"
        for key, inner in sorted(value.items(), key=lambda pair: str(pair[0])):
            yield f"{key!r}:"
            yield from _told(inner)
        yield "}"
    elif isinstance(value, AnySet):
        yield "set["
        yield from sorted("".join(_told(one)) + "," for one in value)
        yield "]"
    elif isinstance(value, tuple | list):
        yield "["
        for one in value:
            yield from _told(one)
            yield ","
        yield "]"
    elif value is None or isinstance(value, str | int | float):
        yield f"{value!r}"
    else:  # a rule's part may hold a function of its own file
        named = value if callable(value) else type(value)
        yield f"{named.__module__}.{named.__qualname__}"
