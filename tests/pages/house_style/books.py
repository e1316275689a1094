"""Books to hold against the house style: the sample packs, and small ones made at random.

The random ones are what a manifest may hold: every size, kind of grid, rule, layout, paper and
edition, words as long as the fields take. That their puzzles have one solution is the gate's
business, not the pages'.
"""

from __future__ import annotations

import random
from contextlib import suppress
from dataclasses import replace
from functools import cache
from itertools import count, islice
from pathlib import Path

from packbuilder.book.assembling import assemble, book_of
from packbuilder.book.book import Book, Entry
from packbuilder.book.lessons import lessons, shipped
from packbuilder.editions import EDITIONS, Edition
from packbuilder.errors import InputError
from packbuilder.gate import check
from packbuilder.grid import irregular
from packbuilder.ladder.hints import hints
from packbuilder.ladder.path import walk
from packbuilder.layouts import load, misfit
from packbuilder.manifest import load as load_pack
from packbuilder.pages import plan_book
from packbuilder.proof.kernel import random_solution
from packbuilder.puzzle import BEYOND, Pack, Promise, Puzzle
from packbuilder.rules import kinds
from packbuilder.setting.solved_grids import SolvedGrid, is_bare, meaning_of, solved_with_rules
from tests.conftest import ROOT
from tests.pages.house_style.measuring import Printed
from tests.pages.sample_book import ODD_6, ODD_9
from tests.plaintext.test_rows import GEOMETRIES
from tests.readback.books import CROOKED, carve, hint

PACKS = ("night-train", "lantern-week", "cold-kettle-hill")
FORMS = [edition for edition in EDITIONS.values() if edition.suffix == ".pdf"]
PLACES = [("a5", "one-up")] + [
    (paper, layout) for layout in ("one-up", "two-up", "four-up", "worksheet", "gift-card")
    for paper in ("a4", "letter")
]  # fmt: skip
COUNT = 2 * len(FORMS) * len(PLACES)
"""Small books: two of each edition in each layout and paper."""
GRIDS = 180

_ODD = [irregular(picture.replace(" ", "\n")) for picture in (ODD_6, ODD_9, CROOKED.strip())]
_BASES = [*GEOMETRIES, *_ODD, *[g for g in GEOMETRIES if g.shape in ((3, 3), (2, 3))] * 6]
_WORDS = [
    "a", "of", "the", "lamp", "quiet", "kettle", "night", "train's", '"low"', "water", "-", "and",
    "1/2", "signal-box", "ferry", "breakwater", "Llanfairpwllgwyngyll", "Ωmega", "Всё", "Żółw",
    "1897", "(twice)", "...", "unputdownableness", "kite", "A", "V", "To", "We",
]  # fmt: skip


@cache
def pack_book(name: str) -> Book:
    """A sample pack's book, through the gate."""
    return assemble(check(load_pack(ROOT / "packs" / name)))


def printed(book: Book, edition: Edition) -> Printed:
    """A book in the form of an edition, as it is planned."""
    made = book_of(book, edition)
    return Printed(made, plan_book(made))


@cache
def drawn(k: int) -> Entry:
    """The k-th grid: each size and kind in its turn, each with no rule, one or two; with hints."""
    rng, base = random.Random(k), _BASES[k * 7 % len(_BASES)]
    slugs = [sorted(kinds())[k // 2 % len(kinds())], rng.choice(sorted(kinds()))][: k % 4]
    if base.size > 6:  # for whole grids that keep a rule it takes long to find
        slugs = [slug for slug in slugs if not is_bare(slug)]
    slugs = [*dict.fromkeys(slugs)]  # as a manifest has it
    solved = SolvedGrid(base, tuple(random_solution(base, k)), ())
    with suppress(InputError):  # no grid of this size keeps them
        solved = solved_with_rules(base, slugs, str(k)) or solved
    ruled, solution = meaning_of(base, solved.rules), solved.solution
    clues = tuple(digit if rng.random() < 0.3 else 0 for digit in solution)
    told = tuple(hint(ruled.geometry, clues, solution, k + j) for j in range(3))
    if not solved.rules and base.size <= 9:
        clues, solution = carve(base, k, base.cell_count * rng.randint(25, 40) // 100)
        told = hints(walk(base, clues))
    puzzle = Puzzle("odd", "Odd", "Odd", ruled.geometry, clues, rules=ruled.parts,
                    rule_names=tuple(slug for slug, _ in solved.rules))  # fmt: skip
    return Entry(1, puzzle, solution, 1, "x-wing", 10.0, (("x-wing", 1),), told)


def small_book(seed: int) -> Printed:
    """A random book and its plan, in the longest words that its layout has room for."""
    for long in (1.0, 0.5, 0.2, 0.0):
        with suppress(InputError):
            return printed(_book(seed, _Draw(seed, long)), FORMS[seed % len(FORMS)])
    raise AssertionError(f"no book of seed {seed} can be planned")


class _Draw(random.Random):
    """A draw of numbers, and of words: ``long`` is a share of what a manifest takes."""

    def __init__(self, seed: int, long: float) -> None:
        super().__init__(seed)
        self.long = long

    def words(self, most: int, least: int = 1) -> str:
        """Some words, of so many characters at most; mostly far fewer."""
        text, most = "", max(least, int(most * self.long * self.random() ** 2))
        while len(text) < most:
            text += self.choice(_WORDS) + " "
        return text[:most].strip() or "A" * least

    def address(self) -> str | None:
        """A web address, or none."""
        more = "".join(self.choices("aZ9-_/?=&%.", k=int(280 * self.long * self.random() ** 3)))
        return f"https://example.org/{more}" if self.long and self.random() < 0.3 else None

    def techniques(self, *counts: int) -> tuple[str, ...]:
        """Some techniques that a lesson is known of."""
        return tuple(self.sample(sorted(shipped()), self.choice(counts) * (self.long > 0)))


def _book(seed: int, rng: _Draw) -> Book:
    paper, layout = PLACES[seed // len(FORMS) % len(PLACES)]
    pack = Pack(
        "random", Path("random"), rng.words(80), f"20{seed % 90 + 10}-{seed % 12 + 1:02}",
        rng.words(40), (), paper=paper, layout=layout, theme=rng.words(200, 0),
        foreword="\n\n".join(rng.words(900, 0) for _ in range(seed % 4)),
        licence=rng.words(300, 0), sampler=seed % 3 + 1, creep=rng.choice((0.0, 0.05, 0.1)),
        needs=rng.techniques(0, 0, 1, 2),
    )  # fmt: skip
    setters = [pack.byline, *(rng.words(most) for most in (20, 80))]
    grids = (drawn(k % GRIDS) for k in count(seed * 3))
    fitting = (grid for grid in grids if _fits(pack, FORMS[seed % len(FORMS)], grid.puzzle))
    entries = [
        _entry(rng, number, grid, rng.choice(setters))
        for number, grid in enumerate(islice(fitting, seed % 6 + 1), start=1)
    ]
    pack = replace(pack, puzzles=tuple(entry.puzzle for entry in entries))
    return Book(pack, tuple(entries), lessons=lessons(pack))


def _entry(rng: _Draw, number: int, grid: Entry, setter: str) -> Entry:
    link, marks = rng.address(), rng.choice((None, None, 0, 2)) if rng.long else None
    puzzle = replace(
        grid.puzzle, title=rng.words(80), setter=setter, link=link,
        promise=Promise(
            needs=rng.techniques(0, 0, 1), no_notes=marks, minimal=rng.random() < rng.long / 3
        ),
        intro=None if link else rng.words(400, 0) or None,
    )  # fmt: skip
    told = grid.hints[: rng.choice((0, 1, 3)) * (rng.long > 0)]  # some find no room on small pages
    ways = tuple(rng.randint(1, 12) for _ in range(rng.randint(5, 60)))
    grade = rng.choice((1, 2, 3, 4, 5, 6, 7, 8, BEYOND))
    return replace(grid, number=number, puzzle=puzzle, grade=grade, hints=told, ways=ways)


def _fits(pack: Pack, edition: Edition, puzzle: Puzzle) -> bool:
    """Whether the gate would let a puzzle pass into the edition's layout."""
    made = book_of(Book(replace(pack, puzzles=(puzzle,)), ()), edition).pack
    return misfit(load(made.layout).for_paper(made.paper), made.paper, puzzle) is None
