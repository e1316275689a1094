"""Good prints, made once: what every fault is tried on."""

from __future__ import annotations

import pytest

from packbuilder.book.book import Book
from packbuilder.plan.items import Plan
from tests.readback import books
from tests.readback.altering import planned


@pytest.fixture(scope="session")
def book() -> Book:
    return books.plain()


@pytest.fixture(scope="session")
def plan(book: Book) -> Plan:
    return planned(book)
