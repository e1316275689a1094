"""Outdated: copies that were made of a file before the one that is released now."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from pathlib import Path


def outdated(
    data: bytes, folder: Path, stem: str, suffix: str, but: Collection[int] = ()
) -> tuple[int, ...]:
    """The numbers of the copies in a folder that are not of the released file with these bytes.

    Of an encrypted copy that cannot be seen; it is taken for an old one. ``stem`` and ``suffix``
    are of the released file's name; numbers in ``but`` are left out.
    """
    return tuple(sorted(set(_outdated(data, folder, stem, suffix, but))))


def _outdated(
    data: bytes, folder: Path, stem: str, suffix: str, but: Collection[int]
) -> Iterator[int]:
    name = re.compile(rf"{re.escape(stem)}-(\d+)(-.*)?{re.escape(suffix)}")
    for path in folder.glob("*"):
        found = name.fullmatch(path.name)
        if found and int(found[1]) not in but:
            with path.open("rb") as copy:
                if copy.read(len(data)) != data:
                    yield int(found[1])
