"""Legitimate packs at random: whatever a creator may write and the manifest takes.

Every size and kind of grid, rule, layout (of the house, and of the creator's own), paper and
script, texts from none to as long as their fields take, promises that hold. Each is written as a
manifest, so that its limits are the manifest's own.
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import cache
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from packbuilder import layouts
from packbuilder.errors import InputError
from packbuilder.grid import Geometry, Values, blocks, irregular, latin
from packbuilder.ladder.path import Path as Solve
from packbuilder.ladder.path import walk
from packbuilder.ladder.promises import needs
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof import sat
from packbuilder.proof.kernel import random_solution
from packbuilder.puzzle import DESIGNS, Puzzle
from packbuilder.rules import kinds
from packbuilder.setting.entries import grid_rows
from packbuilder.setting.solved_grids import SolvedGrid, is_bare, meaning_of, solved_with_rules
from tests.conftest import ROOT
from tests.pages.sample_book import ODD_6, ODD_9
from tests.readback.books import CROOKED, carve

GRIDS = 120
"""Grids that packs are made of."""

PAPERS = ("a4", "a4", "letter", "letter", "a5")
LAYOUTS = ("one-up", "two-up", "four-up", "worksheet", "gift-card")

_BLOCKS = [
    blocks(r, c)
    for r, c in ((2, 2), (2, 3), (3, 2), (2, 4), (3, 3), (2, 5), (3, 4), (2, 7), (3, 5), (4, 4))
]
_BASES = [
    *_BLOCKS,
    *(latin(n) for n in (4, 5, 6, 7)),
    *[blocks(3, 3)] * 6,
    *[blocks(2, 3)] * 3,
    *(irregular(picture.replace(" ", "\n")) for picture in (ODD_6, ODD_9, CROOKED.strip())),
]

# fmt: off
_SCRIPTS = (
    "a of the lamp quiet kettle night train's low water - and 1/2 signal-box ferry breakwater V To "
    "1897 (twice) ... kite A We \"low\" unputdownableness Llanfairpwllgwyngyll page 9 Answer: 12",
    "ένα φως στο λιμάνι το Ήσυχο βράδυ και η βάρκα Ωμέγα ανεμόμυλος ηλεκτροεγκεφαλογράφημα 7",
    "огни гавани и тихий чайник Всё Щука под мостом водогрязеторфопарафинолечение не спит 12",
    "Příliš žluťoučký kůň Łódź Żółw Ærø þorn œuvre Ğ İzmir ñandú Ő Donaudampfschifffahrtswesen",
)
HOUSE_WORDS = (
    "Puzzles", "Answers", "How to play", "Contents", "Credits", "Foreword", "Primer", "First hints",
    "Second hints", "Third hints", "The full pack", "Cover", "Example", "Hint 2", "Hint 2.1",
    "Grade 3", "Answer: page 9", "Rules: Cages", "12", "1", "Puzzles 3", "Set by", "page 3",
    "in this sampler", "Promises", "Ideas in the hints", "A", "…", "More: page 4", "Notes",
)
"""Titles and setters that are called as the house calls its own things."""
# fmt: on


_ART = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10">'
    '<path d="M1 1h8v8h-8zM3 3v4h4v-4z" fill-rule="evenodd"/></svg>'
)


class Grid(NamedTuple):
    """A grid with one solution, its rules as a manifest has them, how it is solved, and the
    techniques that it turns on."""

    base: Geometry
    clues: Values
    rules: tuple[tuple[str, Any], ...]
    solve: Solve
    needs: tuple[str, ...]


@cache
def grid(k: int) -> Grid:
    """The k-th grid: each size and kind in its turn, each with no rule, one or two."""
    rng, base = random.Random(k), _BASES[k * 7 % len(_BASES)]
    slugs = [sorted(kinds())[k // 2 % len(kinds())], rng.choice(sorted(kinds()))][: k % 4]
    if base.size > 6:  # for whole grids that keep a rule it takes long to find
        slugs = [slug for slug in slugs if not is_bare(slug)]
    if {"sandwich", "sightlines"} <= {*slugs} or len({*slugs}) < len(slugs):
        slugs = slugs[:1]  # as a manifest has it
    solved = SolvedGrid(base, tuple(random_solution(base, k)), ())
    with suppress(InputError):  # no grid of this size keeps them
        solved = solved_with_rules(base, slugs, str(k)) or solved
    ruled, solution = meaning_of(base, solved.rules), solved.solution
    if not solved.rules and base.size <= 9:
        clues, _ = carve(base, k, base.cell_count * rng.randint(25, 40) // 100)
    else:
        clues = _with_enough(ruled.geometry, ruled.parts, solution, rng)
    ladder = with_rules(DEFAULT, ruled.parts)
    solve = walk(ruled.geometry, clues, ladder=ladder)
    asked = (solve.hardest,) if solve.hardest in ladder.slugs else ()
    found = needs(ruled.geometry, clues, asked, ladder=ladder)
    turns_on = tuple(one.slug for one in found if one.holds)
    return Grid(base, clues, solved.rules, solve, turns_on)


def _with_enough(geometry: Geometry, parts: Any, solution: Values, rng: random.Random) -> Values:
    """So many random clues of a solution that it is the only one."""
    order = list(range(len(solution)))
    rng.shuffle(order)
    count = int(len(order) * rng.uniform(0.3, 0.6))
    while True:
        shown = {*order[:count]}
        clues = tuple(digit if cell in shown else 0 for cell, digit in enumerate(solution))
        if sat.prove(geometry, clues, parts).solutions == 1:
            return clues
        count = min(len(order) - 1, count + max(1, len(order) // 20))


class _Draw(random.Random):
    """A draw of numbers, and of words."""

    def __init__(self, seed: int) -> None:
        super().__init__(seed)
        self.long = self.choice((0.15, 0.4, 0.4, 1.0))
        self._words = self.choice((_SCRIPTS[0], _SCRIPTS[0], *_SCRIPTS, " ".join(_SCRIPTS))).split()

    def words(self, most: int, least: int = 1) -> str:
        """Some words, of so many characters at most; mostly fewer; now and then one long word."""
        most = max(least, int(most * self.long * (1 - self.random() ** 3)))
        if self.random() < 0.04:
            return ("Unputdownableness" * 400)[:most]
        text = ""
        while len(text) < most:
            text += self.choice(self._words) + " "
        return text[:most].strip() or "A" * least

    def title(self, most: int) -> str:
        """A title; now and then one that the house uses itself."""
        return self.choice(HOUSE_WORDS) if self.random() < 0.15 else self.words(most)

    def rarely(self, chance: float) -> bool:
        return self.random() < chance

    def address(self) -> str:
        """A web address."""
        return "https://example.org/" + "".join(
            self.choices("aZ9-_/?=&%.", k=int(280 * self.long * self.random() ** 2))
        )


def write(seed: int, folder: Path) -> Path:
    """Write the pack of a seed into a folder of its own, and give that."""
    rng, place = _Draw(seed), folder / f"pack-{seed}"
    place.mkdir(parents=True)
    layout = rng.choice(LAYOUTS)
    pack = _pack(rng, layout)
    if rng.rarely(0.3):
        pack["layout"] = _own_layout(rng, layout, place)
    papers = layouts.load(pack["layout"], place / "layouts").margins
    if pack["paper"] not in papers and not rng.rarely(0.05):
        pack["paper"] = "a4"
    grids = list(islice(_grids(rng, pack, place), rng.choice((1, 1, 2, 3, 4, 6, 9))))
    if shared := set.intersection(*({*one.needs} for one in grids)):
        pack["needs"] = sorted(shared)[:2]
    puzzles = [_puzzle(rng, number, one, pack) for number, one in enumerate(grids, start=1)]
    _rarer_fields(_Draw(-1 - seed), pack, [*zip(puzzles, grids, strict=True)], place)
    text = yaml.safe_dump({"pack": pack, "puzzles": puzzles}, allow_unicode=True, sort_keys=False)
    (place / "manifest.yaml").write_text(text, encoding="utf-8")
    return place


def _grids(rng: _Draw, pack: dict[str, Any], place: Path) -> Iterator[Grid]:
    """Grids in any order; nearly all of them such as the pack's layout has room for."""
    set_in = layouts.load(pack["layout"], place / "layouts")
    room = set_in.for_paper(pack["paper"]) if pack["paper"] in set_in.margins else None
    for k in rng.sample(range(GRIDS), GRIDS):
        one = grid(k)
        ruled = meaning_of(one.base, one.rules)
        puzzle = Puzzle("p", "P", "P", ruled.geometry, one.clues, rules=ruled.parts)
        odd = room is None or layouts.misfit(room, pack["paper"], puzzle)
        if not odd or rng.rarely(0.02):
            yield one


def _pack(rng: _Draw, layout: str) -> dict[str, Any]:
    pack: dict[str, Any] = {
        "title": rng.title(80), "issue": f"20{rng.randint(10, 99)}-{rng.randint(1, 12):02}",
        "byline": rng.title(80), "paper": rng.choice(PAPERS), "layout": layout,
        "sampler": rng.randint(1, 4),
    }  # fmt: skip
    for field, most in (("theme", 200), ("licence", 300)):
        if rng.rarely(0.7):
            pack[field] = rng.words(most)
    if rng.rarely(0.6):
        parts = [rng.words(rng.choice((60, 400, 1400))) for _ in range(rng.randint(1, 4))]
        pack["foreword"] = "\n\n".join(parts)
    if rng.rarely(0.3):
        pack["creep"] = rng.choice((0.05, 0.1))
    if rng.rarely(0.3):
        pack["order"] = "easiest-first"
    if rng.rarely(0.4):
        pack["questions"] = {f"q{k}": rng.words(80) for k in range(rng.randint(1, 3))}
    return pack


def _puzzle(rng: _Draw, number: int, one: Grid, pack: dict[str, Any]) -> dict[str, Any]:
    size = one.base.size
    made: dict[str, Any] = {"id": f"p{number}", "title": rng.title(80), "size": size}
    if one.base.regions is None:
        made["blocks"] = "none"
    elif one.base.shape:
        made["blocks"] = "x".join(map(str, one.base.shape))
    else:
        letters = "".join(chr(ord("A") + region) for region in one.base.regions)
        made["blocks"] = "\n".join(letters[k : k + size] for k in range(0, size * size, size))
    made["grid"] = "\n".join(grid_rows(one.clues, one.base))
    if one.rules:
        made["rules"] = [s if v is None else {s: v} for s, v in json.loads(json.dumps(one.rules))]
    if rng.rarely(0.4):
        made |= {"setter": rng.title(80), "permission": "by letter"}
    if rng.rarely(0.6):
        made["intro"] = rng.words(400)
    if rng.rarely(0.25):
        made["link"] = rng.address()
    if rng.rarely(0.1) and size > 4:
        made["entry"] = True
    if rng.rarely(0.15):
        made["hints"] = []
    elif rng.rarely(0.15):
        made["hints"] = [{"where": rng.words(120), "idea": rng.words(160), "told": rng.words(400)}]
    if rng.rarely(0.6) and "questions" in pack:
        made["answers"] = {name: rng.words(200) for name in pack["questions"]}
    promise = _promise(rng, one)
    return made | ({"promise": promise} if promise else {})


def _rarer_fields(
    rng: _Draw, pack: dict[str, Any], puzzles: Sequence[tuple[dict[str, Any], Grid]], place: Path
) -> None:
    """Fields that few packs have; of draws of their own, so that all else of a seed stays."""
    if rng.rarely(0.3):
        pack["cover"] = rng.choice(DESIGNS)
    elif rng.rarely(0.2):
        (place / "art.svg").write_text(_ART, encoding="utf-8")
        said = {"about": 160, "riddle": 160, "answer": 120}
        pack["cover"] = {"picture": "art.svg", **{k: rng.words(most) for k, most in said.items()}}
    if rng.rarely(0.3):
        pack["link"] = rng.address()
    if rng.rarely(0.2):
        met = sorted({slug for _, one in puzzles for slug in dict(one.solve.techniques)})
        names = {slug: rng.words(60, 2) for slug in met if slug in DEFAULT.slugs}
        pack["ladder"] = {slug: {"name": f"{name[:58]} {k}"}
                          for k, (slug, name) in enumerate(names.items())}  # fmt: skip
    if rng.rarely(0.1) and not any("promise" in made for made, _ in puzzles):
        pack["assume-unique"] = True
    for made, one in puzzles:
        if rng.rarely(0.2):
            made["spoil"] = False
        if rng.rarely(0.15):
            made.setdefault("promise", {})["needs"] = [*one.needs[:2]]
        if rng.rarely(0.05):
            made.setdefault("promise", {})["no-notes"] = 20
        if rng.rarely(0.05) and "hints" not in made:
            made["hints"] = [
                {"told": rng.words(400)} if rng.rarely(0.5) else {"where": rng.words(120)}
                for _ in range(rng.choice((1, 1, 1, 2)))
            ]


def _promise(rng: _Draw, one: Grid) -> dict[str, Any]:
    """Some promises that hold."""
    promise: dict[str, Any] = {}
    if rng.rarely(0.4):
        promise["grade"] = one.solve.grade
    if rng.rarely(0.3):
        promise["uses"] = [slug for slug in dict(one.solve.techniques) if rng.rarely(0.5)]
    if rng.rarely(0.3):
        promise["clues"] = sum(map(bool, one.clues))
    return promise


def _own_layout(rng: _Draw, base: str, place: Path) -> str:
    """A layout of the creator's own, changed from one of the house's in a few places."""
    (place / "layouts").mkdir()
    own = place / "layouts" / "our-own.yaml"
    while True:
        own.write_text(yaml.safe_dump(_changed(rng, base), sort_keys=False), encoding="utf-8")
        with suppress(InputError):
            return layouts.load(own.stem, own.parent).name


def _changed(rng: _Draw, base: str) -> dict[str, Any]:
    """The fields of a layout, some of them other ones; not all that comes out is sound."""
    made = yaml.safe_load((ROOT / "layouts" / f"{base}.yaml").read_text(encoding="utf-8"))
    made |= {"on": made.pop(True)} if True in made else {}  # so YAML 1.1 reads a bare `on`
    scale = rng.choice((0.9, 1.0, 1.2, 1.5, 1.9))
    for name in rng.sample(sorted(made["type"]), rng.randint(1, 4)):
        made["type"][name] = round(made["type"][name] * scale, 1)
    for margins in made["margins"].values():
        for side in rng.sample(sorted(margins), 2):
            margins[side] = round(margins[side] * rng.uniform(0.9, 1.3), 1)
    if rng.rarely(0.4):
        made["grids"]["notes_room"] = round(made["grids"]["notes_room"] * rng.uniform(0.6, 1.4), 1)
    if rng.rarely(0.3):
        made["grids"]["notes"] = rng.choice(("below", "beside"))
    if rng.rarely(0.2):
        made["grids"]["down"] = rng.randint(1, 3)
    if rng.rarely(0.2):
        labels = rng.choice(([], ["Name"], ["Date", "Time", "Who helped"]))
        made["writing"] = {"labels": labels, "ruled": rng.choice((7, 9))}
    if rng.rarely(0.3):
        made["narrow_strip"] = rng.rarely(0.5)
    for rule in made["cells"]:
        if rng.rarely(0.3):
            rule["minimum"] = 9
    gaps = _Draw(len(str(made)))  # of its own, so that all else of a seed stays
    for group in ("hints", "answers"):
        if gaps.rarely(0.3):
            made[group]["gap"] = gaps.choice((3, 5, 7, 15, 30))
    if gaps.rarely(0.2):
        made["grids"]["gap_across"] = gaps.choice((0, 3, 6, 12))
    return made
