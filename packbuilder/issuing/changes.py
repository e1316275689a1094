"""Changes: what is different between a release and the one before it, by puzzle, page and copy."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from hashlib import sha256
from typing import Any

from packbuilder.grid import cell_name
from packbuilder.phrases import first_few

_DPI = 100
_CELLS = 8


@dataclass(frozen=True)
class PuzzleChange:
    """A puzzle that is another now: its number and title, and sentences that say how.

    ``redrawn`` says that its grid or its rules are other ones.
    """

    id: str
    number: int
    title: str
    words: tuple[str, ...]
    redrawn: bool = False


@dataclass(frozen=True)
class FileChange:
    """An edition that is another now: which of its pages look so (of the new file; none of a text),
    and the numbers of the copies that were made of an older one."""

    edition: str
    pages: tuple[int, ...]
    copies: tuple[int, ...]


@dataclass(frozen=True)
class Changes:
    """All that is different; ``words`` are sentences on the texts around the puzzles."""

    puzzles: tuple[PuzzleChange, ...]
    files: tuple[FileChange, ...]
    words: tuple[str, ...] = ()


def changed_puzzles(
    old: Sequence[Mapping[str, Any]], new: Sequence[Mapping[str, Any]]
) -> tuple[PuzzleChange, ...]:
    """What became of the puzzles of a release record."""
    before, after = ({one["id"]: one for one in some} for some in (old, new))
    found = []
    for name, one in after.items():
        if name not in before:
            words: tuple[str, ...] = ("It is new.",)
            found.append(PuzzleChange(name, one["number"], one["title"], words))
        elif told := tuple(_told(before[name], one)):
            redrawn = any(before[name][key] != one[key] for key in ("grid", "geometry", "rules"))
            found.append(PuzzleChange(name, one["number"], one["title"], told, redrawn))
    for name, one in before.items():
        if name not in after:
            found.append(PuzzleChange(name, one["number"], one["title"], ("It is taken out.",)))
    return tuple(sorted(found, key=lambda one: one.number))


def _told(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[str]:
    """Sentences on what readers of the old print should know. An answer is not given away."""
    for key, what in (("title", "title"), ("setter", "setter"), ("number", "number")):
        if old[key] != new[key]:
            yield f"Its {what} is {new[key]}, not {old[key]}."
    if len(old["grid"]) != len(new["grid"]) or old["geometry"] != new["geometry"]:
        yield f"Its grid is another one ({new['geometry']})."
    elif old["grid"] != new["grid"]:
        size = int(len(new["grid"]) ** 0.5)
        pairs = enumerate(zip(old["grid"], new["grid"], strict=True))
        cells = [_cell(cell_name(k, size), a, b) for k, (a, b) in pairs if a != b]
        yield f"Clues: {first_few(cells, _CELLS, between='; ')}."
    if old["rules"] != new["rules"]:
        yield f"Its rules are {', '.join(new['rules']) or 'the usual ones'}."
    if old["grade"] != new["grade"]:
        yield f"Its grade is {new['grade']}, not {old['grade']}."
    if old.get("entry") != new.get("entry"):
        yield "Its entry letters stand elsewhere." if "entry" in new else "It has no entry letters."
    elif old["solution"] != new["solution"] and old["grid"] == new["grid"]:
        yield "Its answer is another one."
    for name in _other_texts(old, new):
        yield f"Its {name} changed."


def changed_words(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[str]:
    """Sentences on a pack's own texts in two release records."""
    if old["title"] != new["title"]:
        yield f"Its title is {new['title']}, not {old['title']}."
    for name in _other_texts(old, new):
        yield f"Its {name} changed."


def _other_texts(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[str]:
    """Names of texts that are other ones; none where an older record does not know them."""
    if "texts" in old:
        before, after = old["texts"], new["texts"]
        yield from (name for name in {**before, **after} if before.get(name) != after.get(name))


def _cell(name: str, old: str, new: str) -> str:
    if old == ".":
        return f"{name} has {new} now"
    return f"{name} is {new}, not {old}" if new != "." else f"{name} is empty, without the {old}"


def changed_pages(old: bytes, new: bytes) -> tuple[int, ...]:
    """The pages of a new file that look like none in their place in the old one."""
    before, after = _looks(old), _looks(new)
    if len(before) == len(after):
        return tuple(k for k, (a, b) in enumerate(zip(before, after, strict=True), 1) if a != b)
    blocks = SequenceMatcher(None, before, after, autojunk=False).get_opcodes()
    return tuple(k + 1 for tag, _, _, a, b in blocks if tag != "equal" for k in range(a, b))


def _looks(data: bytes) -> list[str]:
    """Each page as a viewer shows it, as a digest."""
    from packbuilder.reader.pdfium import File

    with File(data) as file:
        found = []
        for number in range(1, file.count + 1):
            with file.page(number) as page:
                found.append(sha256(page.pixels(_DPI).whole.tobytes()).hexdigest())
        return found
