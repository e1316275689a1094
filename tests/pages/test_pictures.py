"""Marks look as they were approved: see ``pictures.txt``, a letter a pixel."""

from __future__ import annotations

from pathlib import Path

from packbuilder.rules import kinds
from tests.pages.pictures import RULES, parsed, pictures

FILE = Path(__file__).with_name("pictures.txt")


def test_every_mark_looks_as_it_was_approved() -> None:
    """Looked at and approved by eye; a picture that differs is printed beside the approved one."""
    approved, found, told = parsed(FILE.read_text(encoding="utf-8")), pictures(), ""
    for name in approved | found:
        old, new = (some.get(name, [""] * 25) for some in (approved, found))
        if old != new:
            told += f"\n[{name}]\napproved".ljust(31 + len(name)) + "drawn\n"
            told += "".join(
                f"|{a:25}| |{b:25}|{'' if a == b else ' <'}\n"
                for a, b in zip(old, new, strict=True)
            )
    assert not told, told


def test_rules_are_told_by_their_marks() -> None:
    """One picture is of one rule, but for rules that no puzzle may have together or that draw
    nothing."""
    assert {*RULES} == {*kinds()}
    alike = [{*name.split(", ")} for name in pictures()]
    assert [names for names in alike if len(names & {*RULES}) > 1] == [
        {"anti-king", "anti-knight", "non-consecutive"},
    ]
