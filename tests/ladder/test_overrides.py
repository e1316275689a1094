"""A creator's own ladder: other rungs, weights and names; and every fault told at once."""

from __future__ import annotations

import pytest

from packbuilder.errors import InputError
from packbuilder.ladder.overrides import changed
from packbuilder.ladder.path import walk
from packbuilder.ladder.promises import needs
from packbuilder.ladder.rounds import rate
from packbuilder.ladder.table import DEFAULT, TABLE
from packbuilder.ladder.words import tell
from packbuilder.puzzle import BEYOND
from tests.ladder import grids
from tests.ladder.grids import CLASSIC

IN_NEED = next(
    clues
    for clues in grids.lines(grids.BY_GRADE[4])
    if needs(CLASSIC, clues, ["hidden-pair"])[0].holds
)


def test_what_is_changed_is_changed_and_nothing_else() -> None:
    ladder = changed(DEFAULT, {"naked-pair": {"rung": 3, "weight": 2, "name": "Twins"}})
    twins = ladder.named("naked-pair")
    assert (twins.rung, twins.weight, twins.name) == (3, 2.0, "Twins")
    assert [t for t in ladder.techniques if t is not twins] == [
        t for t in TABLE if t.slug != "naked-pair"
    ]
    assert DEFAULT.named("naked-pair").rung == 4


@pytest.mark.parametrize("off", [False, "off"])
def test_a_technique_left_out_is_never_taken(off: object) -> None:
    path = walk(CLASSIC, IN_NEED, ladder=changed(DEFAULT, {"hidden-pair": off}))
    assert "hidden-pair" not in dict(path.techniques)
    assert path.grade == BEYOND or path.grade > 4


def test_the_grade_follows_the_rungs() -> None:
    assert rate(CLASSIC, IN_NEED).grade == 4
    ladder = changed(DEFAULT, {"hidden-pair": {"rung": 3}})
    assert rate(CLASSIC, IN_NEED, ladder=ladder).grade == 3
    everything = {slug: {"rung": 2} for slug in DEFAULT.slugs}
    flat = walk(CLASSIC, IN_NEED, ladder=changed(DEFAULT, everything))
    assert flat.grade == 2 and all(tell(step, CLASSIC) for step in flat.steps)


def test_both_rows_of_a_slug_change() -> None:
    ladder = changed(DEFAULT, {"hidden-single": {"rung": 2}, "full-house": {"rung": 2}})
    assert {t.rung for t in ladder.rows["hidden-single"]} == {2}
    for clues in grids.lines(grids.BY_GRADE[1]):
        assert rate(CLASSIC, clues, ladder=ladder).grade == 2


FAULTS = {
    "naked-pears": (False, "'naked-pears' is not a technique of the ladder; did you mean "
                           "'naked-pair'? There are: "),
    "chain": ("no", "chain: 'no' is neither 'off' nor a mapping of rung, weight, name"),
    "pointing": ({"rung": 9}, "pointing: rung 9; rungs go from 1 to 8"),
    "claiming": ({"rung": True}, "claiming: rung True; rungs go from 1 to 8"),
    "x-wing": ({"weight": -1}, "x-wing: weight -1; a weight is a number above 0, 1000 at most"),
    "w-wing": ({"weight": float("nan")}, "w-wing: weight nan; a weight is a number above 0"),
    "skyscraper": ({"name": " "}, "skyscraper: name ' '; a name is some text"),
    "jellyfish": ({"label": "J"}, "jellyfish: 'label' cannot be changed; there are: rung, weight"),
}  # fmt: skip


@pytest.mark.parametrize("slug", FAULTS)
def test_a_fault_is_told(slug: str) -> None:
    change, message = FAULTS[slug]
    with pytest.raises(InputError) as caught:
        changed(DEFAULT, {slug: change})
    assert str(caught.value).startswith(message)


def test_all_faults_are_told_together() -> None:
    with pytest.raises(InputError) as caught:
        changed(DEFAULT, {slug: change for slug, (change, _) in FAULTS.items()})
    assert len(str(caught.value).splitlines()) == len(FAULTS)


def test_a_ladder_without_techniques_is_none() -> None:
    with pytest.raises(InputError, match="no technique left"):
        changed(DEFAULT, dict.fromkeys(DEFAULT.slugs, False))
