"""The ledger: what went out, month by month, so that later months know what was used.

A YAML file beside the packs' folders. A dozen issues a year are few: what they need is not a
database but a file that a person can read, search, mend in an editor and keep in a repository.
No supporter is in it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path
from typing import Any

from packbuilder.editions import EDITIONS
from packbuilder.manifest.values import GRADE, MONTH
from packbuilder.puzzle import Grade
from packbuilder.release.staging import move_in, staging
from packbuilder.yamlfields.document import read_yaml
from packbuilder.yamlfields.groups import Group, ListOf, fields_of, given
from packbuilder.yamlfields.parts import Faults, YamlPart
from packbuilder.yamlfields.values import line, number, one_of, prose, shaped, whole

NAME = "ledger.yaml"
_NOT_NOTED = "what is released is whole; the ledger was not written"
_HEAD = (
    "# What went out, month by month. packbuilder writes this file anew with each release:\n"
    "# its values may be mended by hand, comments are not kept.\n"
)
_SHA256 = shaped("[0-9a-f]{64}", "a SHA-256", "its 64 hexadecimal digits", 64)
_WORDS = ListOf(line(80), how="write it in brackets, such as [x-wing]")


@dataclass(frozen=True)
class IssuedFile:
    """An edition as it went out; ``made_from`` is as in the release record."""

    edition: str = given(one_of(EDITIONS, "an edition"), "Its edition.", "print")
    name: str = given(line(300), "Its file.", "harbour-print.pdf")
    sha256: str = given(_SHA256, "The digest of its bytes.", None)
    pages: int = given(whole(0, 10**6), "Its pages.", 37)
    made_from: str = given(line(64), "The digest of what it was made from.", None)


@dataclass(frozen=True)
class IssuedPuzzle:
    """A puzzle as it went out. ``marks`` is its mark load, None where it cannot be solved without
    notes; ``symmetry`` is that of its clues, and ``picture`` the one of ours that they draw."""

    id: str = given(line(80), "Its id.", "lamp-room")
    title: str = given(line(80), "Its title.", "The Lamp Room")
    setter: str = given(line(80), "Who set it.", "Ada Quill")
    grade: Grade = given(GRADE, "Its grade.", 3)
    hardest: str = given(line(80), "Its hardest step.", "x-wing", "")
    effort: float = given(number(0, 10**9), "Its effort.", 41.5, 0.0)
    marks: int | None = given(whole(0, 20), "Its mark load.", 2, None)
    symmetry: str = given(line(40), "The symmetry of its clues.", "rotational", "none")
    picture: str = given(line(80), "The picture that its clues draw.", "heart", "")
    techniques: tuple[str, ...] = given(_WORDS, "What its path uses.", ["x-wing"], ())
    rules: tuple[str, ...] = given(_WORDS, "Its rules.", ["arrows"], ())
    fingerprint: str = given(line(300), "Equal for the same puzzle in any disguise.", None, "")


@dataclass(frozen=True)
class Reissue:
    """A correction. ``record`` is the digest of the record that it took the place of."""

    date: str = given(line(10), "The day.", "2026-12-03")
    reason: str = given(prose(600), "Why.", "A clue of puzzle 3 was wrong.")
    errata: str = given(line(300), "The slip that says so.", "harbour-errata-1.pdf")
    record: str = given(_SHA256, "The release record until then.", None)


def _group(made: type[Any], about: str) -> Group[Any]:
    found = {name.replace("_", "-"): one for name, one in fields_of(made).items()}
    return Group(made.__name__, about, found, made)


@dataclass(frozen=True)
class Issued:
    """A pack as it went out last, and how it was corrected until then.

    ``date`` is the day of the first release, ``record`` the digest of the release record.
    """

    pack: str = given(line(300), "The pack's folder.", "harbour")
    title: str = given(line(80), "Its title.", "Harbour Lights")
    issue: str = given(MONTH, "Its month.", "2026-12")
    date: str = given(line(10), "The day.", "2026-12-01")
    record: str = given(_SHA256, "The release record.", None)
    files: tuple[IssuedFile, ...] = given(
        ListOf(_group(IssuedFile, "An edition."), how="begin each with a hyphen"), "Files.", None
    )
    puzzles: tuple[IssuedPuzzle, ...] = given(
        ListOf(_group(IssuedPuzzle, "A puzzle."), how="begin each with a hyphen"), "Puzzles.", None
    )
    reissues: tuple[Reissue, ...] = given(
        ListOf(_group(Reissue, "A correction."), how="begin each with a hyphen"),
        "Corrections.", None, (),
    )  # fmt: skip


_ISSUES = ListOf(_group(Issued, "An issue."), "a list of issues", "begin each with a hyphen")


def read_ledger(file: Path) -> tuple[Issued, ...]:
    """The issues by month and pack; none where there is no ledger. Raises InputError with every
    fault by line."""
    if not file.exists():
        return ()
    faults, top = Faults(), YamlPart(read_yaml(file))
    found = _ISSUES.read(top.inside("issues"), faults)
    faults.raise_if_any()
    return tuple(sorted(found or (), key=_order))


def find(ledger: tuple[Issued, ...], pack: str) -> Issued | None:
    """What went out of a pack."""
    return next((one for one in ledger if one.pack == pack), None)


def note(file: Path, issued: Issued) -> bool:
    """Put an issue into the ledger, in the place of what it had of the pack; whether that changed
    anything. Raises InputError where the folder cannot be used, Unfinished for a full disk."""
    with staging(file.parent, _NOT_NOTED) as aside:
        ledger = read_ledger(file)
        if issued in ledger:
            return False
        others = [one for one in ledger if one.pack != issued.pack]
        (aside / file.name).write_text(_text([*others, issued]), encoding="utf-8", newline="\n")
        move_in([aside / file.name], file.parent)
        return True


def issued_of(record: Mapping[str, Any], digest: str, date: str) -> Issued:
    """What the ledger says of a release: its record, the digest of that, and the day."""
    return Issued(
        pack=record["pack"],
        title=record["title"],
        issue=record["issue"],
        date=date,
        record=digest,
        files=tuple(
            IssuedFile(*(one[key] for key in ("edition", "name", "sha256", "pages", "made_from")))
            for one in record["files"]
        ),
        puzzles=tuple(_puzzle(one) for one in record["puzzles"]),
    )


def _puzzle(one: Mapping[str, Any]) -> IssuedPuzzle:
    return IssuedPuzzle(
        id=one["id"],
        title=one["title"],
        setter=one["setter"],
        grade=one["grade"],
        hardest=one["hardest"] or "",
        effort=one["effort"],
        marks=(one["no_notes"] or {}).get("marks"),
        symmetry=one["symmetry"],
        picture=one["picture"] or "",
        techniques=tuple(one["techniques"]),
        rules=tuple(one["rules"]),
        fingerprint=one["fingerprint"] or "",
    )


def _order(issued: Issued) -> tuple[str, str]:
    return issued.issue, issued.pack


def _text(ledger: list[Issued]) -> str:
    import yaml

    plain = {"issues": [_plain(one) for one in sorted(ledger, key=_order)]}
    dumped = yaml.safe_dump(
        plain, sort_keys=False, allow_unicode=True, width=100, default_flow_style=None
    )
    return f"{_HEAD}{dumped}"


def _plain(value: Any) -> Any:
    """A value as YAML has it; what is not said is left out."""
    if is_dataclass(value):
        told = {f.name.replace("_", "-"): getattr(value, f.name) for f in fields(value)}
        return {name: _plain(one) for name, one in told.items() if one not in (None, (), "")}
    return [_plain(one) for one in value] if isinstance(value, tuple) else value
