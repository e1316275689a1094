"""The sections of a file's pages, by its bookmarks."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from packbuilder.reader.file import load, readable
from packbuilder.reader.text import COVER


def sections_of(pdf: Path | bytes) -> list[str]:
    """The section of every page; none for a file that has no bookmarks.

    Raises InputError where the file cannot be read at all.
    """
    import pypdfium2

    with readable("its bookmarks"):
        document: Any = pypdfium2.PdfDocument(load(pdf))
        try:
            starts = {
                mark.get_dest().get_index() + 1: mark.get_title()
                for mark in document.get_toc()
                if mark.level == 0 and mark.get_dest() is not None
            }
            count = len(document)
        finally:
            document.close()
    if not starts:
        return []
    names = [starts.get(1) or COVER]
    for folio in range(2, count + 1):
        names.append(starts.get(folio) or names[-1])
    return names
