"""Every sentence that says what a grid, a rule or a technique is, as it was read and approved."""

from __future__ import annotations

import re
from difflib import unified_diff
from pathlib import Path

import pytest

from packbuilder.book.examples import rule_example
from packbuilder.rules import kinds
from tests.words.said import lines, wordings

EXPECTED = Path(__file__).with_name("expected.txt")


def test_all_sentences_are_as_they_were_approved() -> None:
    """Nothing is missing, nothing is there besides, nothing is said otherwise."""
    head, _, approved = EXPECTED.read_text(encoding="utf-8").partition("\n\n")
    assert all(line.startswith("#") for line in head.splitlines())
    said = "\n".join(lines()).splitlines()
    assert list(unified_diff(approved.splitlines(), said, "approved", "said", lineterm="")) == []


def sentences(text: str) -> set[str]:
    return set(re.findall(r"[^.]+\.", text.replace(". ", ".")))


@pytest.mark.parametrize("slug", kinds())
def test_an_example_is_told_whole_beside_any_puzzle(slug: str) -> None:
    """What is said above an example is true of it, whatever puzzle the rule is explained for."""
    kind, example = kinds()[slug], rule_example(slug)
    own = example.wording.said("page")
    for wording in wordings(kind):
        besides = " ".join(example.said_with(wording)).lower()
        above = wording.said("page")
        for sentence in sentences(own):
            assert sentence in sentences(above) or sentence.lower() in besides
        if sentences(own) <= sentences(above):
            assert "cells: " not in besides
    assert f"of {example.geometry.size} × {example.geometry.size} cells" not in example.words


def test_no_sentence_is_told_twice() -> None:
    """Whatever a page or a text says besides is no second way to say what is meant."""
    for kind in kinds().values():
        for wording in wordings(kind):
            for form in ("page", "text"):
                more = getattr(wording, form)
                assert not sentences(more) & sentences(wording.means)
                assert not more or more.endswith(".")
