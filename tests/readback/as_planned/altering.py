"""Altering plans: any field of any item, any item gone, doubled or moved."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import fields, replace
from typing import Any

from packbuilder.plan.items import Figure, Item, Page, Plan, Table, Tag

Way = tuple[int, ...]
"""Where an item stands: its page, from 0, its place there, and its place in that item."""

OTHER = {
    "face": ("SourceSansPro-Bold", "SourceSerifPro-Regular"),
    "ink": ("shade", "fill"),
    "fill": ("paper", "contour"),
    "to": ("ends", "contents"),
}


def items(plan: Plan) -> Iterator[tuple[Way, Item]]:
    """Every item of a plan, those within others too."""

    def within(some: tuple[Item, ...], way: Way) -> Iterator[tuple[Way, Item]]:
        for k, item in enumerate(some):
            yield (*way, k), item
            if isinstance(item, Figure | Table):
                yield from within(item.items, (*way, k))

    for number, page in enumerate(plan.pages):
        yield from within(page.items, (number,))


def put(plan: Plan, way: Way, *new: Item) -> Plan:
    """The plan with others (or none) in the place of an item."""

    def within(some: tuple[Item, ...], way: Way) -> tuple[Item, ...]:
        k, *rest = way
        whole: Any = some[k]
        here = (replace(whole, items=within(whole.items, tuple(rest))),) if rest else new
        return (*some[:k], *here, *some[k + 1 :])

    page = plan.pages[way[0]]
    return with_page(plan, way[0], replace(page, items=within(page.items, way[1:])))


def with_page(plan: Plan, k: int, *new: Page) -> Plan:
    return replace(plan, pages=(*plan.pages[:k], *new, *plan.pages[k + 1 :]))


def others(item: Item) -> Iterator[tuple[str, Item]]:
    """The item with another value in each of its fields in turn, and the field's name."""
    for field in fields(item):
        if field.name != "items":
            for value in _other(field.name, getattr(item, field.name)):
                yield field.name, replace(item, **{field.name: value})


def _other(name: str, value: Any) -> Iterator[Any]:
    if name in OTHER:
        yield next(one for one in OTHER[name] if one != value)
    elif name == "tag":
        yield Tag("Span" if value is None else value.role)
        if value is not None:
            yield Tag(value.role, value.within, f"{value.alt} Or not.")
    elif isinstance(value, bool):
        yield not value
    elif isinstance(value, float | int):
        yield value + (1 if isinstance(value, int) else 0.02)
    elif isinstance(value, str):
        yield from (f"{value}.", value[1:]) if len(value) > 1 else ("4",)
    elif isinstance(value, tuple):
        yield from _others_of(value)
    elif value is None:
        yield "shade" if name == "fill" else 1.25


def _others_of(value: tuple[Any, ...]) -> Iterator[tuple[Any, ...]]:
    """A tuple with each of its parts changed, and without its last."""
    for k, part in enumerate(value):
        for one in _other("", part):
            yield (*value[:k], one, *value[k + 1 :])
    if value and isinstance(value[0], tuple):
        yield value[:-1]


def at_random(plan: Plan, rng: random.Random) -> tuple[str, Plan]:
    """The plan with one change, and what it is."""
    way, item = rng.choice(list(items(plan)))
    kind = rng.choice(("field", "field", "field", "gone", "doubled", "elsewhere"))
    if kind == "gone":
        new = put(plan, way)
    elif kind == "doubled":
        new = put(plan, way, item, item)
    elif kind == "elsewhere":
        page = plan.pages[rng.randrange(len(plan.pages))]
        new = with_page(put(plan, way), page.folio - 1, page)
    else:
        kind, changed = rng.choice(list(others(item)))
        new = put(plan, way, changed)
    return f"{type(item).__name__} at {way}: {kind}", new
