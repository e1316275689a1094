"""A file that was printed from a plan does not differ from it: every edition, layout and paper."""

from __future__ import annotations

from pathlib import Path

import pytest

from packbuilder.book.assembling import book_of
from packbuilder.editions import EDITIONS
from packbuilder.pages import plan_book
from packbuilder.readback.as_planned import differences
from tests.pages.rule_book import rule_book
from tests.readback.as_planned.plans import PRINTED, printed, real, tiny

LAYOUTS = [path.stem for path in sorted(Path("layouts").glob("*.yaml"))]


@pytest.mark.parametrize("edition", PRINTED)
def test_every_edition_is_its_plan(edition: str) -> None:
    for plan in (tiny(edition), real(edition), plan_book(book_of(rule_book(), EDITIONS[edition]))):
        assert list(differences(printed(plan), plan)) == []
