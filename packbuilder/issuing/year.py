"""The year: what the months used, how often, and what has not been for long."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from packbuilder import rules, symmetry
from packbuilder.files import read_json
from packbuilder.issuing.ledger import Issued, IssuedPuzzle, issued_of
from packbuilder.ladder.table import DEFAULT
from packbuilder.release import record
from packbuilder.setting.picture import own

SINGLES = 2
"""Up to this rung every puzzle uses what is there: it says nothing of a month."""

UNUSED_FOR = 3
"""Months after which something is told to have been unused for long."""


@dataclass(frozen=True)
class Use:
    """Something that puzzles may have: in how many of each issue's it was; the last month of it.

    ``idle`` is how many months have passed since then up to the last issue, None for never.
    """

    name: str
    counts: tuple[int, ...]
    last: str | None
    idle: int | None

    @property
    def total(self) -> int:
        """In how many puzzles it was in all."""
        return sum(self.counts)

    @property
    def long_unused(self) -> bool:
        """Whether it has not been for long, or never."""
        return self.idle is None or self.idle >= UNUSED_FOR


@dataclass(frozen=True)
class Kind:
    """A kind of things, such as the rules, each with its use. ``known`` says whether they are all
    that there is, so that one that was never used is worth telling."""

    title: str
    uses: tuple[Use, ...]
    known: bool


@dataclass(frozen=True)
class Year:
    """The issues, oldest first, and what they used. ``drafts`` are packs that are built and not
    yet in the ledger; ``unread`` are release records that do not say what is asked here."""

    issues: tuple[Issued, ...]
    kinds: tuple[Kind, ...]
    drafts: tuple[str, ...]
    unread: tuple[Path, ...] = ()

    def kind(self, title: str) -> Kind:
        """The kind of that title."""
        return next(one for one in self.kinds if one.title == title)


TECHNIQUES, RULES, GRADES, MARKS = "techniques", "rules", "grades", "mark loads"
SYMMETRIES, PICTURES, SETTERS = "symmetries of clues", "pictures of clues", "setters"

Told = Callable[[IssuedPuzzle], Iterable[str]]

_KINDS: dict[str, Told] = {
    TECHNIQUES: lambda one: one.techniques,
    RULES: lambda one: one.rules,
    GRADES: lambda one: [str(one.grade)],
    MARKS: lambda one: ["notes needed" if one.marks is None else str(one.marks)],
    SYMMETRIES: lambda one: [one.symmetry],
    PICTURES: lambda one: [one.picture] if one.picture else [],
    SETTERS: lambda one: [one.setter],
}


def year(ledger: tuple[Issued, ...], folder: Path) -> Year:
    """What a ledger tells, and the records of packs in a folder that are built and not in it."""
    unread = list[Path]()
    drafts = tuple(_drafts(folder, {one.pack for one in ledger}, unread))
    issues = tuple(sorted((*ledger, *drafts), key=lambda one: (one.issue, one.pack)))
    kinds = tuple(_kind(title, told, issues) for title, told in _KINDS.items())
    return Year(issues, kinds, tuple(one.pack for one in drafts), tuple(unread))


def _drafts(folder: Path, known: set[str], unread: list[Path]) -> Iterator[Issued]:
    for file in sorted(folder.glob(f"*/out/{record.NAME}")):
        try:
            found = issued_of(read_json(file), "", "")
        except (OSError, ValueError, KeyError, TypeError):
            unread.append(file)
        else:
            if found.pack not in known:
                yield found


def _kind(title: str, told: Told, issues: tuple[Issued, ...]) -> Kind:
    counts = [Counter(name for one in issue.puzzles for name in set(told(one))) for issue in issues]
    every = list(_every(title))
    others = sorted({name for count in counts for name in count} - set(every), key=_natural)
    skipped = {t.slug for t in DEFAULT.techniques if t.rung <= SINGLES}
    names = [name for name in (*every, *others) if title != TECHNIQUES or name not in skipped]
    return Kind(title, tuple(_use(name, counts, issues) for name in names), bool(every))


def _every(title: str) -> Iterable[str]:
    """All of a kind that there is, easiest first."""
    if title == TECHNIQUES:
        return dict.fromkeys(t.slug for t in sorted(DEFAULT.techniques, key=lambda t: t.rung))
    if title == RULES:
        return rules.kinds()
    if title == PICTURES:
        return own()
    return [name for name in symmetry.NAMES if name != "none"] if title == SYMMETRIES else ()


def _natural(name: str) -> tuple[int, str]:
    return (int(name) if name.isdecimal() else 99, name)


def _use(name: str, counts: list[Counter[str]], issues: tuple[Issued, ...]) -> Use:
    months = [issue.issue for issue, count in zip(issues, counts, strict=True) if count[name]]
    last = max(months, default=None)
    idle = apart(last, issues[-1].issue) if last else None
    return Use(name, tuple(count[name] for count in counts), last, idle)


def apart(first: str, last: str) -> int:
    """Months from one to another: 2 from 2026-11 to 2027-01."""
    (a, b), (c, d) = (map(int, month.split("-")) for month in (first, last))
    return (c - a) * 12 + d - b


def after(month: str) -> str:
    """The month after."""
    number = int(month[:4]) * 12 + int(month[5:7])
    return f"{number // 12:04}-{number % 12 + 1:02}"


def as_json(year: Year) -> dict[str, Any]:
    """All of it as one JSON document."""
    return {
        "issues": [
            {"pack": one.pack, "issue": one.issue, "released": one.pack not in year.drafts}
            for one in year.issues
        ],
        "uses": {
            kind.title: [
                {"name": use.name, "counts": list(use.counts), "last": use.last, "idle": use.idle}
                for use in kind.uses
            ]
            for kind in year.kinds
        },
    }
