"""Previews: pictures of a released pack for posting, and a contact sheet of all its pages.

They are made from the released file and no other, so what is posted is what was proved. Pages that
give a puzzle away are not for posting.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from packbuilder.editions import EDITIONS, Edition
from packbuilder.errors import InputError, Mismatch, Refused
from packbuilder.pictures.released_pages import SAMPLES, Leaves, Page
from packbuilder.release import record
from packbuilder.release.earlier import file_name
from packbuilder.release.staging import move_in, staging

if TYPE_CHECKING:
    from PIL.Image import Image

NAME = "previews.json"
"""The record of a folder of previews: of which released file each is."""

UNDONE = "no previews were made"


@dataclass(frozen=True)
class Order:
    """What is wanted: ``pages`` besides the cover (none: the usual ones), ``width`` in pixels."""

    edition: Edition
    pages: tuple[int, ...] = ()
    width: int = 1200
    with_answers: bool = False


def previews(
    slug: str,
    releases: Path,
    out: Path,
    order: Order,
    stage: Callable[[str], None] = lambda _words: None,
) -> tuple[Path, ...]:
    """Make the pictures of one edition of a pack in ``out``, all or none; gives their paths.

    ``releases`` is the folder that `build` released into. The cover and each page are shown whole,
    square (1:1) and wide (16:9); the contact sheet shows all pages. Pictures of an earlier release
    that lie in ``out`` go. The same file gives the same bytes.

    Raises InputError where the edition was not released, has no such page, or is none to take
    pictures of; Mismatch where the file is not the one that the record tells of; Refused for a page
    with answers or third hints, unless they are asked for.
    """
    data, digest = _released(slug, releases, order.edition)
    stage(f"looking at the {order.edition.name} edition")
    with Leaves(data, order.edition) as leaves:
        pages = _chosen(leaves, order)
        stem = f"{slug}-{order.edition.name}"
        with staging(out, UNDONE) as aside:
            made = []
            for name, picture in _pictures(leaves, pages, order):
                stage(f"making {stem}-{name}.png")
                made.append(aside / f"{stem}-{name}.png")
                picture.save(made[-1], "PNG")
            lines, gone = _earlier(out, {path.name for path in made}, stem, digest)
            lines += [{"name": p.name, "sha256": _sha(p.read_bytes()), "of": digest} for p in made]
            text = json.dumps(sorted(lines, key=lambda line: line["name"]), indent=2)
            (aside / NAME).write_text(text + "\n", encoding="utf-8")
            return move_in([*made, aside / NAME], out, gone)[:-1]


def _released(slug: str, releases: Path, edition: Edition) -> tuple[bytes, str]:
    """The released file of an edition, as the record tells of it, and its SHA-256."""
    if edition.suffix != ".pdf" or edition.folded or edition.bleed:
        fit = [e.name for e in EDITIONS.values() if not (e.suffix != ".pdf" or e.folded or e.bleed)]
        raise InputError(
            f"the {edition.name} edition has no pages as a reader sees them; take pictures of "
            f"another: {', '.join(fit)}"
        )
    path = releases / file_name(slug, edition)
    lines = [line for line in record.read_lines(releases) if line["name"] == path.name]
    if not lines or not path.is_file():
        raise InputError(
            f"{path}: is not released; build it first, with --edition {edition.name}, "
            "or say with --release where it is"
        )
    data = path.read_bytes()
    if _sha(data) != lines[0]["sha256"]:
        raise Mismatch(
            f"{path}: is not the file that was released (its SHA-256 is not the one in "
            f"{record.NAME}); {UNDONE}. Build the pack again"
        )
    return data, lines[0]["sha256"]


def _chosen(leaves: Leaves, order: Order) -> list[Page]:
    """The cover and the pages that are wanted, in order."""
    last = len(leaves.pages)
    for folio in order.pages:
        if not 1 <= folio <= last:
            raise InputError(f"there is no page {folio}: the edition has pages 1 to {last}")
    wanted = {1, *order.pages} if order.pages else {1, *_usual(leaves.pages)}
    pages = [page for page in leaves.pages if page.folio in wanted]
    for page in pages:
        if page.secret and not order.with_answers:
            raise Refused(
                f"page {page.folio} is of the section {page.section}, which gives puzzles away; "
                f"{UNDONE}. If it is to be shown, say --with-answers"
            )
    return pages


def _usual(pages: Sequence[Page]) -> Iterator[int]:
    """The first page of puzzles, and one that shows what a reader learns."""
    yield from [page.folio for page in pages if page.puzzles][:1]
    firsts = {page.section: page.folio for page in reversed(pages)}
    yield from [firsts[name] for name in SAMPLES if name in firsts][:1]


def _pictures(leaves: Leaves, pages: Sequence[Page], order: Order) -> Iterator[tuple[str, Image]]:
    """Every picture with the end of its name."""
    from packbuilder.pictures import contact_sheet, crops

    for page in pages:
        name = "cover" if page.folio == 1 else f"page-{page.folio}"
        yield name, crops.whole(leaves, page, order.width)
        yield f"{name}-square", crops.square(leaves, page, order.width)
        yield f"{name}-wide", crops.wide(leaves, page, order.width)
    yield "contact", contact_sheet.sheet(leaves, order.width, order.with_answers)


def _earlier(
    out: Path, new: set[str], stem: str, digest: str
) -> tuple[list[dict[str, str]], list[Path]]:
    """What the folder's record tells of other pictures: lines that stay, and files that go.

    A picture goes if it is of this edition as it was released before, and still as it was made.
    """
    try:
        lines = json.loads((out / NAME).read_text(encoding="utf-8"))
        lines = [{key: str(line[key]) for key in ("name", "sha256", "of")} for line in lines]
    except (OSError, ValueError, KeyError, TypeError):
        return [], []
    stay, gone = [], []
    for line in lines:
        path = out / Path(line["name"]).name
        if path.name in new or path.name == NAME or not record.is_as_recorded(line, path):
            continue
        if path.name.startswith(f"{stem}-") and line["of"] != digest:
            gone.append(path)
        else:
            stay.append({**line, "name": path.name})
    return stay, gone


def _sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
