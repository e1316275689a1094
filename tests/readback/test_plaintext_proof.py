"""The first proof of a text edition: it stands without the outline that the book gives.

A file and the outline that it is compared with may have one and the same fault, if what makes
outlines has it. Then the comparison finds nothing, and what is read is still not what was proved.
"""

from __future__ import annotations

import io
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace

import pytest

from packbuilder.book.book import Book, Entry
from packbuilder.grid import latin
from packbuilder.ladder.hints import Hint
from packbuilder.plaintext import write_text
from packbuilder.plaintext.contents import outline_of
from packbuilder.proof.verdict import Verdict
from packbuilder.readback import read_text
from packbuilder.rules import kinds
from tests.plaintext.small_book import GRID, NOTED, SOLUTION, small_book, text_of

BOOK = small_book()


def puzzled(**changes: object) -> Callable[[Entry], Entry]:
    return lambda entry: replace(entry, puzzle=replace(entry.puzzle, **changes))  # type: ignore[arg-type]


def hinted(**changes: object) -> Callable[[Entry], Entry]:
    hint: Hint = replace(NOTED, **changes)  # type: ignore[arg-type]
    return lambda entry: replace(entry, hints=(entry.hints[0], hint))


def ruled(value: object) -> Callable[[Entry], Entry]:
    return puzzled(rules=kinds()["parity"].read(value, GRID))


STEP = NOTED.step


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (puzzled(clues=(0, 0, 0, 0, 0, 1, 4, 3, 0, 4, 3, 0, 0, 0, 0, 4)), "digit-wrong"),
        (puzzled(geometry=latin(4)), "border-wrong"),
        (ruled({"even": "r1c1 r1c3"}), "rule-missing"),
        (ruled({"even": "r1c1 r1c3 r2c1", "odd": "r4c1"}), "rule-extra"),
        (ruled({"even": "r1c1", "odd": "r1c3 r4c1"}), "rule-wrong"),
        (puzzled(rule_names=(), rules=()), "rule-missing"),
        (lambda entry: replace(entry, solution=SOLUTION[::-1]), "digit-wrong"),
        (hinted(where="Look elsewhere."), "words"),
        (hinted(idea="Some other idea."), "words"),
        (hinted(told="It is so."), "words"),
        (hinted(position=BOOK.entries[0].hints[0].position), "digit-wrong"),
        (hinted(shown=NOTED.shown[:2]), "candidate"),
        (hinted(step=replace(STEP, removes=STEP.removes[:1])), "struck"),
        (hinted(step=replace(STEP, cells=(0,))), "outline"),
        (hinted(step=replace(STEP, removes=((9, 3), (9, 4)))), "outline"),
    ],
)
def test_what_is_read_is_what_was_proved(change: Callable[[Entry], Entry], code: str) -> None:
    other = replace(BOOK, entries=(change(BOOK.entries[0]),))

    def found(book: Book) -> set[str]:
        verdict = Verdict(1, book.entries[0].solution)
        seen = read_text(text_of(other), book, outline_of(other), prove=lambda *_: verdict)
        return {one.code for one in seen.findings}

    assert found(other) == set()
    assert code in found(BOOK)


@pytest.mark.parametrize("tier", ["first", "second", "third"])
def test_a_later_hint_never_stands_before_one_of_an_earlier_round(tier: str) -> None:
    """Else who reads on past a hint hears what comes after it in the same puzzle."""
    outline, out = outline_of(BOOK), io.BytesIO()
    nodes = list(outline.nodes)
    one, other = (k for k, node in enumerate(nodes) if f": {tier} hint, " in node.title)
    nodes[one], nodes[other] = nodes[other], nodes[one]
    turned = replace(outline, nodes=tuple(nodes))
    write_text(turned, out)
    seen = read_text(out.getvalue(), BOOK, turned, prove=lambda *_: Verdict(1, SOLUTION))
    assert [one.code for one in seen.findings] == ["section"]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("1.2: first hint", "1.x: first hint", []),
        ("1.1: first hint", "1.9: first hint", []),
        ("1.2: second hint", "1.2: first hint", ["a hint of a later tier stands before it"]),
    ],
)
def test_an_odd_heading_says_nothing_of_rounds(old: str, new: str, told: list[str]) -> None:
    data = text_of(BOOK).decode().replace(f"?? {old}", f"?? {new}").encode()
    seen = read_text(data, BOOK, outline_of(BOOK), prove=lambda *_: Verdict(1, SOLUTION))
    messages = [one.message for one in seen.findings]
    assert messages and [one for one in messages if "later" in one] == told


def test_who_reads_knows_nothing_of_how_it_is_written() -> None:
    code = "import sys; from {} import {}; print(*(m for m in sys.modules if '{}' in m))"
    for module, name, other in (
        ("packbuilder.readback", "read_text", "plaintext.writing"),
        ("packbuilder.plaintext.writing", "encoded", "readback"),
    ):
        run = subprocess.run([sys.executable, "-c", code.format(module, name, other)],
                             capture_output=True, text=True, check=True)  # fmt: skip
        assert run.stdout.split() == []
