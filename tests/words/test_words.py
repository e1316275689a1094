"""Every sentence that says what a grid, a rule or a technique is, as it was read and approved."""

from __future__ import annotations

import re
from difflib import unified_diff
from pathlib import Path

import pytest

from packbuilder.book.book import Book
from packbuilder.book.how_to_play import printed_words
from packbuilder.ladder.english import in_regions
from packbuilder.layouts.loading import load
from packbuilder.pages.plan import plan
from packbuilder.plan.items import Text
from packbuilder.rules import kinds
from tests.pages.rule_book import rule_book
from tests.pages.sample_book import sample_book
from tests.pages.test_primer import TAUGHT
from tests.pages.test_primer import book as teaching
from tests.words.said import lines, wordings

TEACHING = ("How to play", "The rules", "Ideas in the hints", "Primer")
EXPECTED = Path(__file__).with_name("expected.txt")


def test_all_sentences_are_as_they_were_approved() -> None:
    """Nothing is missing, nothing is there besides, nothing is said otherwise."""
    head, _, approved = EXPECTED.read_text(encoding="utf-8").partition("\n\n")
    assert all(line.startswith("#") for line in head.splitlines())
    said = "\n".join(lines()).splitlines()
    assert list(unified_diff(approved.splitlines(), said, "approved", "said", lineterm="")) == []


def test_only_a_block_of_the_grid_is_a_region() -> None:
    assert in_regions("A line meets a block: none could block it.") == (
        "A line meets a region: none could block it."
    )


def sentences(text: str) -> set[str]:
    return set(re.findall(r"[^.]+\.", text.replace(". ", ".")))


def test_no_sentence_is_told_twice() -> None:
    """Whatever a page or a text says besides is no second way to say what is meant."""
    for kind in kinds().values():
        for wording in wordings(kind):
            for form in ("page", "text"):
                more = getattr(wording, form)
                assert not sentences(more) & sentences(wording.means)
                assert not more or more.endswith(".")


def straight(text: str) -> str:
    """Words without the signs that are the typesetter's."""
    return re.sub(r"\W+", " ", text).strip()


@pytest.mark.parametrize(
    "book", [rule_book(), sample_book(), teaching(*TAUGHT)], ids=["rules", "sample", "primer"]
)
def test_pages_print_the_words_and_nothing_but_them(book: Book) -> None:
    """What is to be printed is, each in full; how to play has no other long line."""
    texts: dict[str, list[str]] = {name: [] for name in TEACHING}
    for page in plan(book, load("one-up")).pages:
        found = (straight(item.text) for item in page.items if isinstance(item, Text))
        texts.get(page.section, []).extend(found)
    due = [straight(words) for _, _, words in printed_words(book)]
    whole = " ".join(text for some in texts.values() for text in some)
    assert len(due) > 10
    assert [words for words in due if words not in whole] == []
    said = " ".join(due)
    long = [t for name in TEACHING[:-1] for t in texts[name] if len(t.split()) > 9]
    assert [t for t in long if t not in said] == []
