"""Previews: pictures of a released pack for posting, and a contact sheet of all its pages.

They are made from the released file and no other, so what is posted is what was proved. Pages that
give a puzzle away are not for posting.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from packbuilder.editions import EDITIONS, Edition
from packbuilder.errors import InputError, Refused
from packbuilder.files import read_json
from packbuilder.pictures.released_pages import TEACHING, ReleasedFile, ReleasedPage
from packbuilder.release import record
from packbuilder.release.leftovers import file_name
from packbuilder.release.released import released
from packbuilder.release.staging import move_in, staging

if TYPE_CHECKING:
    from PIL.Image import Image

NAME = "previews.json"
"""The record of a folder of previews: of which released file each is."""

NOT_MADE = "no previews were made"


@dataclass(frozen=True)
class Wanted:
    """What is wanted: ``pages`` besides the cover (none: the usual ones), ``width`` in pixels."""

    edition: Edition
    pages: tuple[int, ...] = ()
    width: int = 1200
    with_answers: bool = False


def previews(
    slug: str,
    releases: Path,
    out: Path,
    wanted: Wanted,
    say: Callable[[str], None] = lambda _words: None,
) -> tuple[Path, ...]:
    """Make the pictures of one edition of a pack in ``out``, all or none; gives their paths.

    ``releases`` is the folder that `build` released into. The cover and each page are shown whole,
    square (1:1) and wide (16:9); the contact sheet shows all pages. Pictures of an earlier release
    that lie in ``out`` go. The same file gives the same bytes. ``say`` is told what is being done.

    Raises InputError where the edition was not released, has no such page, or is none to take
    pictures of; Mismatch where the file is not the one that the record tells of; Refused for a page
    with answers or third hints, unless they are asked for.
    """
    data = _released(slug, releases, wanted.edition)
    digest = record.sha256(data)
    say(f"looking at the {wanted.edition.name} edition")
    with ReleasedFile(data, wanted.edition) as file:
        pages = _chosen(file, wanted)
        stem = f"{slug}-{wanted.edition.name}"
        with staging(out, NOT_MADE) as aside:
            made = []
            for name, picture in _pictures(file, pages, wanted):
                say(f"making {stem}-{name}.png")
                made.append(aside / f"{stem}-{name}.png")
                picture.save(made[-1], "PNG")
            lines, outdated = _leftovers(out, {path.name for path in made}, stem, digest)
            lines += [
                {"name": p.name, "sha256": record.sha256(p.read_bytes()), "of": digest}
                for p in made
            ]
            text = json.dumps(sorted(lines, key=lambda line: line["name"]), indent=2)
            (aside / NAME).write_text(text + "\n", encoding="utf-8", newline="\n")
            return move_in([*made, aside / NAME], out, outdated)[:-1]


def _released(slug: str, releases: Path, edition: Edition) -> bytes:
    """The released file of an edition, as the record tells of it."""
    if not has_pages(edition):
        fit = ", ".join(one.name for one in EDITIONS.values() if has_pages(one))
        raise InputError(
            f"the {edition.name} edition has no pages as a reader sees them; take pictures of "
            f"another: {fit}"
        )
    return released(releases / file_name(slug, edition), edition, "--release", NOT_MADE)


def has_pages(edition: Edition) -> bool:
    """Whether an edition has pages as a reader sees them: no text, no sheets to fold or trim."""
    return edition.suffix == ".pdf" and not edition.folded and not edition.bleed


def _chosen(file: ReleasedFile, wanted: Wanted) -> list[ReleasedPage]:
    """The cover and the pages that are wanted, in order."""
    last = len(file.pages)
    for folio in wanted.pages:
        if not 1 <= folio <= last:
            raise InputError(f"there is no page {folio}: the edition has pages 1 to {last}")
    folios = {1, *(wanted.pages or _usual(file.pages))}
    pages = [page for page in file.pages if page.folio in folios]
    for page in pages:
        if page.spoils and not wanted.with_answers:
            raise Refused(
                f"page {page.folio} is of the section {page.section}, which gives puzzles away; "
                f"{NOT_MADE}. If it is to be shown, say --with-answers"
            )
    return pages


def _usual(pages: Sequence[ReleasedPage]) -> Iterator[int]:
    """The first page of puzzles, and one that shows what a reader learns."""
    yield from [page.folio for page in pages if page.puzzles][:1]
    firsts = {page.section: page.folio for page in reversed(pages)}
    yield from [firsts[name] for name in TEACHING if name in firsts][:1]


def _pictures(
    file: ReleasedFile, pages: Sequence[ReleasedPage], wanted: Wanted
) -> Iterator[tuple[str, Image]]:
    """Every picture with the end of its name."""
    from packbuilder.pictures import contact_sheet, crops

    for page in pages:
        name = "cover" if page.folio == 1 else f"page-{page.folio}"
        yield name, crops.whole(file, page, wanted.width)
        yield f"{name}-square", crops.square(file, page, wanted.width)
        yield f"{name}-wide", crops.wide(file, page, wanted.width)
    yield "contact", contact_sheet.sheet(file, wanted.width, wanted.with_answers)


def _leftovers(
    out: Path, made: Collection[str], stem: str, digest: str
) -> tuple[list[dict[str, str]], list[Path]]:
    """What the folder's record tells of other pictures: lines that stay, and files that go.

    A picture goes if it is of this edition as it was released before, and still as it was made.
    """
    try:
        lines = read_json(out / NAME)
        lines = [{key: str(line[key]) for key in ("name", "sha256", "of")} for line in lines]
    except (OSError, ValueError, KeyError, TypeError):
        return [], []
    kept, outdated = [], []
    for line in lines:
        path = out / Path(line["name"]).name
        if path.name in made or path.name == NAME or not record.is_as_recorded(line, path):
            continue
        if path.name.startswith(f"{stem}-") and line["of"] != digest:
            outdated.append(path)
        else:
            kept.append({**line, "name": path.name})
    return kept, outdated
