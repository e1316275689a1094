"""The contract: a rule that keeps half of it is refused, and every rule's example is true.

The template that a new rule is copied from is held to the same.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import Any, cast
from unittest import mock

import pytest
import yaml
from jsonschema import Draft202012Validator

from packbuilder import manifest, rules
from packbuilder.kinship import fingerprint
from packbuilder.ladder.table import DEFAULT
from packbuilder.manifest.rules import RULES
from packbuilder.proof.certify import certify
from packbuilder.puzzle import Puzzle
from packbuilder.rules import listing, template
from packbuilder.rules.contract import Kind, Part, RuleFault, Sight, Wording
from packbuilder.rules.houses import with_houses, without_houses
from packbuilder.rules.tools.turns import turns
from tests.rules.contract_faults import faults_of

KINDS: dict[str, Kind] = {**rules.kinds(), "twins": template.KIND}
EVERY = pytest.mark.parametrize("slug", KINDS)
WritePack = Callable[..., Path]


@pytest.fixture(autouse=True)
def _with_the_template(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rules, "kinds", lambda: KINDS)


def file_of(slug: str) -> ModuleType:
    return import_module(type(KINDS[slug]).__module__)


@pytest.fixture
def puzzle(slug: str, write_pack: WritePack) -> Puzzle:
    """The rule's example, as the manifest gives it."""
    example = KINDS[slug].example.strip("\n")
    folder = write_pack("- " + textwrap.indent(example, "  ").lstrip())
    return manifest.load(folder).puzzles[0]


# --- every rule ------------------------------------------------------------------------------


@EVERY
def test_nothing_of_the_contract_is_missing(slug: str) -> None:
    assert list(faults_of(file_of(slug))) == []


@EVERY
def test_a_rule_has_tests_of_its_own(slug: str) -> None:
    files = Path(__file__).parent.glob("test_*.py")
    assert any(f'"{slug}"' in f.read_text(encoding="utf-8") for f in files)


@EVERY
def test_the_example_is_proved_by_both_engines(slug: str, puzzle: Puzzle) -> None:
    assert slug in puzzle.rule_names
    proof = certify(puzzle.geometry, puzzle.clues, puzzle.rules)
    assert proof.unique
    if slug not in ("anti-king", "anti-knight", "diagonals", "extra-regions"):
        assert proof.verdict.nodes < 300, "the search should find an example easy"


@EVERY
def test_the_example_needs_its_rule(slug: str, puzzle: Puzzle) -> None:
    others = tuple(p for p in puzzle.rules if p not in rules.parts_of(KINDS[slug], puzzle.rules))
    geometry = with_houses(without_houses(puzzle.geometry, puzzle.rules), others)
    assert certify(geometry, puzzle.clues, others).verdict.solutions == 2


@EVERY
def test_the_shapes_of_the_example_recover_to_its_parts(slug: str, puzzle: Puzzle) -> None:
    drawn = [part for part in puzzle.rules if part.shapes()]
    shapes = [shape for part in reversed(drawn) for shape in part.shapes()]
    mine = set(rules.parts_of(KINDS[slug], drawn))
    assert set(KINDS[slug].recover(shapes, puzzle.geometry)) == mine
    assert KINDS[slug].recover((), puzzle.geometry) == ()


@EVERY
def test_other_rules_shapes_are_passed_over(slug: str, puzzle: Puzzle) -> None:
    shapes = [shape for part in puzzle.rules for shape in part.shapes()]
    for other, kind in KINDS.items():
        if other not in puzzle.rule_names:
            assert kind.recover(shapes, puzzle.geometry) == (), other


@EVERY
def test_parts_are_named_in_words_and_each_by_its_own(slug: str, puzzle: Puzzle) -> None:
    parts = rules.parts_of(KINDS[slug], puzzle.rules)
    assert parts
    names = [part.name(puzzle.size) for part in parts]
    assert len(set(names)) == len(names)
    for name in names:
        assert name[0].islower() or name[0].isdigit() or name[:2] in ("X ", "V "), name
        assert not name.endswith(".")


@EVERY
def test_the_wording_is_for_readers(slug: str, puzzle: Puzzle) -> None:
    parts = rules.parts_of(KINDS[slug], puzzle.rules)
    wording = KINDS[slug].wording(parts, puzzle.size)
    assert 1 <= wording.means.count(". ") + 1 <= 3
    for said in (wording.said("page"), wording.said("text")):
        assert said.endswith(".")
        assert not {"None", "_", "  "} & set(said.split(" "))


@EVERY
def test_deductions_are_on_the_table_and_sound(slug: str, puzzle: Puzzle) -> None:
    solution = certify(puzzle.geometry, puzzle.clues, puzzle.rules).verdict.first
    assert solution is not None
    everything = (1 << puzzle.size) - 1
    masks = [1 << d - 1 if d else everything for d in puzzle.clues]
    slugs = {row.slug for row in KINDS[slug].techniques}
    for part in rules.parts_of(KINDS[slug], puzzle.rules):
        for step in part.deduce(Sight(puzzle.geometry, masks)):
            assert step.technique in slugs
            assert step.removes
            for cell, digit in step.removes:
                assert masks[cell] >> digit - 1 & 1, "struck before"
                assert solution[cell] != digit, step.words()
            assert step.words()[0].isupper() or step.words().startswith("r")  # or by a cell
            assert step.words().endswith(".")


@EVERY
def test_the_schema_takes_the_example(slug: str) -> None:
    listed = yaml.safe_load(KINDS[slug].example)["rules"]
    Draft202012Validator(RULES.schema({})).validate(listed)
    with_nonsense = [{"no-such-rule": None}]
    assert not Draft202012Validator(RULES.schema({})).is_valid(with_nonsense)


@EVERY
def test_every_way_to_lay_the_page_keeps_a_part_a_part(slug: str, puzzle: Puzzle) -> None:
    size = puzzle.size
    for turn in turns(size):
        for part in puzzle.rules:
            turned = [turn.shape(shape) for shape in part.shapes()]
            assert len(set(turned)) == len(set(part.shapes()))


@EVERY
def test_the_rule_tells_the_puzzle_from_the_same_grid_without(slug: str, puzzle: Puzzle) -> None:
    plain = without_houses(puzzle.geometry, puzzle.rules)
    whole = fingerprint(puzzle.geometry, puzzle.clues, puzzle.rules)
    assert whole != fingerprint(plain, puzzle.clues)


@EVERY
def test_what_is_called_nothing_but_houses_has_no_clause(slug: str, puzzle: Puzzle) -> None:
    for part in puzzle.rules:
        clauses = mock.MagicMock(size=puzzle.size)
        part.encode(clauses)
        assert part.houses_only == (not clauses.method_calls), part


@EVERY
def test_a_value_of_the_wrong_kind_is_a_fault_and_no_crash(slug: str, puzzle: Puzzle) -> None:
    kind = KINDS[slug]
    values: list[Any] = [None, "", "nonsense", [], {}, [""], [None], [[]], [{}], {"x": "1"}, ["x"]]
    values += [["r1c1 r1c99"], "r1c1", ["r1c1", "r1c1"], {"cells": "r1c1"}, {"top": []}]
    for value in values:
        if value is None and kind.schema() == {"type": "null"}:
            continue
        with pytest.raises(RuleFault) as fault:
            kind.read(value, puzzle.geometry)
        for said in (fault.value.what, fault.value.mend):
            assert said
            assert not {"NoneType", "dict", "<class"} & set(said.split())


def test_no_two_techniques_share_a_slug() -> None:
    slugs = [*DEFAULT.slugs, *(row.slug for kind in KINDS.values() for row in kind.techniques)]
    shared = {slug for slug in slugs if slugs.count(slug) > 1}
    assert shared <= {row.slug for kind in KINDS.values() for row in kind.techniques}


# --- a rule that breaks the contract -----------------------------------------------------------


class _Half(Part):
    """Not all of a part."""

    def name(self, size: int) -> str:
        return "half"


class _Mute(type(template.KIND)):  # type: ignore[misc]
    """A rule with nothing to say of itself."""

    slug = "Mute Rule"
    title = ""
    about = "no sentence"
    example = ""
    techniques = (template.KIND.techniques[0].__class__("x", "X", 9, 1.0, "No end", "None"),)

    def wording(self, parts: Any, size: int) -> Wording:
        return Wording("")


def module(**names: Any) -> ModuleType:
    for value in names.values():
        if isinstance(value, type):
            value.__module__ = "packbuilder.rules.half"
    return cast(ModuleType, SimpleNamespace(__name__="packbuilder.rules.half", **names))


def test_an_incomplete_rule_is_refused() -> None:
    assert list(faults_of(module())) == ["there is no KIND, or it is no Kind"]
    assert list(faults_of(module(KIND=3))) == ["there is no KIND, or it is no Kind"]
    found = list(faults_of(module(KIND=_Mute(), half=_Half)))
    assert found == [
        "title is missing",
        "example is missing",
        "the slug 'Mute Rule' is not the file's name",
        "the slug 'Mute Rule' is not lower-case words with hyphens",
        "about is not a sentence",
        "x has no place on the ladder",
        "x is not told in sentences",
        "the wording is not in sentences",
        "_Half is not a frozen dataclass",
        "_Half lacks encode, holds, prune, shapes",
    ]
    assert list(faults_of(module(KIND=template.KIND))) == ["no Part is defined in the file"]


def test_what_the_command_lists() -> None:
    listed = {rule["slug"]: rule for rule in listing.as_json()}
    assert set(listed) >= set(rules.kinds()) - {"twins"}
    for slug, rule in listed.items():
        assert rule["written"].startswith("rules:\n"), slug
        assert f"- {slug}" in rule["written"]
        assert rule["about"] in listing.show()
        assert rule["example"].strip().splitlines()[0] in listing.show(slug)
