"""Hints: three tiers for a point of the solve at which a reader gets stuck.

A reader gets stuck where the ways on are few and hard: at the steps of the highest rung, and among
them where the fewest steps are open.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace
from math import isqrt

from packbuilder.grid import Values
from packbuilder.ladder.basis import COUNTS_ALL, basis_of
from packbuilder.ladder.evidence import Because
from packbuilder.ladder.hint_words import idea, once_more, where
from packbuilder.ladder.letters import by_letters, letters_of
from packbuilder.ladder.path import Path
from packbuilder.ladder.reasons import Reasons, in_part, told
from packbuilder.ladder.step import Step
from packbuilder.ladder.telling import Telling
from packbuilder.ladder.words import technique_of
from packbuilder.puzzle import BEYOND, Grade, HintWords

MOST = 5
"""Hints for one puzzle, whatever its grade."""

FEW = 3
"""Hints for a puzzle that has few hard steps: one below grade HARD."""

HARD = 5
"""The grade from which on a puzzle may have MOST hints."""

APART = 4
"""Steps between two hints: closer ones would help with the same knot."""

EARLIER = 2
"""Earlier steps that a hint tells beside its own; what rests on more is begun at one of those."""

_RINGS = 8
"""Placed digits that a picture rings at most where they close the candidates of cells."""

EARLY = 1 / 2
"""Where nothing but singles is to be told: the part of the solve that still has knots."""


@dataclass(frozen=True)
class Hint:
    """Help with one step, in three tiers that give away more and more.

    ``where`` says where to look and no more; ``idea`` names the idea; ``told`` is the step in
    words, and ``caption`` the same as it stands below its picture. ``position`` is the grid as it
    stands before the step: clues and digits placed so far, those at least that the step needs.
    ``shown`` lists the cells whose candidates the step needs, each with its candidates, those on
    which its earlier steps rest among them; ``struck`` the (cell, digit) candidates among them that
    the step removes; a cell that it settles shows its digit instead. ``because`` is its evidence
    (see `evidence`), ``gives`` the (cell, digit) pair that can be placed at once after it.
    ``letters`` are what the caption calls some cells.
    """

    where: str
    idea: str
    told: str
    step: Step
    position: Values
    shown: tuple[tuple[int, tuple[int, ...]], ...] = ()
    struck: tuple[tuple[int, int], ...] = ()
    because: tuple[Because, ...] = ()
    gives: tuple[tuple[int, int], ...] = ()
    letters: tuple[tuple[int, str], ...] = ()
    linked: bool = True

    @property
    def caption(self) -> str:
        """The step in words, its cells by the letters that they have in the picture."""
        return by_letters(self.told, self.letters, isqrt(len(self.position)))

    @property
    def pictured(self) -> Values:
        """The digits that its picture shows: the position, and those that can be written."""
        written = dict(self.written)
        return tuple(written.get(cell, value) for cell, value in enumerate(self.position))

    @property
    def written(self) -> tuple[tuple[int, int], ...]:
        """The (cell, digit) pairs that can be written: what it places, or what it gives at once.

        Not in a cell whose candidates are shown: the reader must see them.
        """
        shown = dict(self.shown)
        return (*self.step.places, *(pair for pair in self.gives if pair[0] not in shown))

    @property
    def marked(self) -> tuple[Because, ...]:
        """Its evidence, so far as its picture marks it: of some cells' candidates, if a few digits
        close them. Of more, the candidates speak for themselves."""
        if self.step.places:
            return self.because
        loose = {c for one in self.because if one.house < 0 for c in one.cells}
        few = len(loose) <= _RINGS or self.step.part is not None
        return tuple(one for one in self.because if one.house >= 0 or few)

    @property
    def held(self) -> frozenset[int]:
        """The cells on which the earlier steps of its evidence rest."""
        rest = {cell for one in self.because if one.step >= 0 for cell in one.cells}
        return frozenset(cell for cell in rest if not self.position[cell])

    @property
    def settled(self) -> tuple[tuple[int, int], ...]:
        """The cells that its strikes settle, each with the digit that is left."""
        cells = {c for c, _ in self.step.removes} - {c for c, _ in self.struck}
        return tuple(pair for pair in self.gives if pair[0] in cells)

    @property
    def spoken(self) -> tuple[tuple[int, tuple[int, ...]], ...]:
        """What `shown` lists, and the candidates of the cells that it settles too."""
        lost = self.step.removes
        every = {c: tuple(sorted((d, *(e for at, e in lost if at == c)))) for c, d in self.settled}
        return tuple(sorted((every | dict(self.shown)).items()))

    @property
    def loses(self) -> tuple[int, ...]:
        """The cells that lose candidates and keep others, in order."""
        cells = {cell for cell, _ in self.step.removes}
        return tuple(cell for cell in sorted(cells) if not self.pictured[cell])


def hints(path: Path, own: Sequence[HintWords] = ()) -> tuple[Hint, ...]:
    """The hints for a puzzle, in the order of the solve; none if no step can be made.

    In the creator's ``own`` words where there are any.
    """
    steps, every = tuple(told(path)), path.ways()
    straight = replace(path, steps=tuple(step for _, step in steps))
    reasons, ways = Reasons(straight), [every[k] for k, _ in steps]
    found = (_sparing(hint_at(reasons, k), straight) for k in _knots(reasons, ways))
    return unlike(found, own)


def _sparing(hint: Hint, path: Path) -> Hint:
    """The hint without the found digits that its step can be followed without.

    A reader who is not there yet is not to see them.
    """
    step, clues, geometry = hint.step, path.clues, path.geometry
    if not step.places and not step.part and basis_of(step, geometry) is None:
        return hint
    needed = {cell for one in hint.because for cell in (*one.cells, *one.about)}
    houses = () if step.part else step.houses
    needed |= {c for h in (*houses, *(one.house for one in hint.because if one.house >= 0))
               for c in geometry.houses[h].cells}  # fmt: skip
    seeing = {cell for cell, _ in hint.gives} | hint.held
    earlier = {d for one in hint.because if one.step >= 0 for d in path.steps[one.step].digits}
    needed |= {cell for cell, value in enumerate(hint.position) if value in earlier}
    if step.part:
        needed |= {*step.part.cells}
        seeing |= {*step.cells, *(cell for cell, _ in step.removes)}
    needed |= {peer for cell in seeing for peer in geometry.peers[cell]}
    kept = (v if clues[c] or c in needed else 0 for c, v in enumerate(hint.position))
    return replace(hint, position=tuple(kept))


def most(grade: Grade) -> int:
    """How many hints a puzzle of this grade has at most."""
    return MOST if grade == BEYOND or grade >= HARD else FEW


def hint_at(reasons: Reasons, k: int, *, onward: bool = True) -> Hint:
    """The hint that helps with step ``k`` (from 0), and tells what it gives if ``onward``: then it
    strikes no more than that takes."""
    given = Telling(reasons).given(k) if onward else None
    if given and len(_earlier(reasons.because(k), Telling(reasons).beside(k))) > EARLIER:
        given = None
    if given:
        reasons = _no_more(reasons, k)
    path, telling = reasons.path, Telling(reasons, alone=True)
    step, geometry = path.steps[k], path.geometry
    left = reasons.candidates(k)
    because = (*reasons.because(k), *(telling.beside(k) if given else ()))
    earlier = {one.step: path.steps[one.step] for one in because if one.step >= 0}
    shown = _shown(step, earlier.values(), left, reasons.as_well(k))
    settled = {cell for cell, _ in given.places} if given and not given.houses else set()
    return Hint(
        where=where(step, reasons.values(k), geometry),
        idea=idea(step, technique_of(step, path.ladder).idea, geometry, settles=bool(settled)),
        told=telling.onward(k) if given else telling.words(k),
        step=step,
        position=reasons.values(k),
        shown=tuple(one for one in shown if one[0] not in settled),
        struck=tuple(pair for pair in step.removes if pair[0] not in settled),
        because=because,
        gives=given.places if given else (),
        letters=letters_of(step, geometry),
    )


def _earlier(*some: Iterable[Because]) -> set[int]:
    """The earlier steps of some evidence that must be told whole."""
    return {one.step for because in some for one in because if one.kind == "step"}


def _no_more(reasons: Reasons, k: int) -> Reasons:
    """The reasons of a path whose step ``k`` strikes what the next one rests on, and no more."""
    path, size = reasons.path, reasons.path.geometry.size
    rests = in_part(path.steps[k], reasons.rests_on(k + 1), size)
    return Reasons(replace(path, steps=(*path.steps[:k], rests, *path.steps[k + 1 :])))


def unlike(found: Iterable[Hint], own: Sequence[HintWords] = ()) -> tuple[Hint, ...]:
    """The hints of a puzzle as they are printed: what was said before is said once more.

    The creator's ``own`` words are printed as they are. The small grids stay as computed, but for
    letters, which those words do not use.
    """
    said, unlike = Counter[str](), []
    for k, hint in enumerate(found):
        words = asdict(own[k]) if k < len(own) else {}
        theirs = {tier: text for tier, text in words.items() if text is not None}
        hint = replace(hint, **theirs, letters=() if "told" in theirs else hint.letters)
        said.update((hint.where, hint.idea))
        where, idea = once_more(hint.where, hint.idea, (said[hint.where], said[hint.idea]))
        unlike.append(replace(hint, **({"where": where, "idea": idea} | theirs)))
    return tuple(unlike)


def _knots(reasons: Reasons, ways: Sequence[int]) -> list[int]:
    """The steps worth a hint: the hardest first, then the narrowest, then the earliest."""
    path, steps = reasons.path, reasons.path.steps
    first_strike = next((k for k, step in enumerate(steps) if step.removes), len(steps))

    def worth(k: int) -> bool:
        if steps[k].removes:
            # A strike that opens nothing easier was not what the reader was looking for.
            return k + 1 < len(steps) and steps[k + 1].rung < steps[k].rung
        # After the first strike a single may rest on struck candidates that the page does not show.
        early = k < first_strike and k <= EARLY * len(steps)
        return early and ways[k] <= 2 and not plain(k)

    def plain(k: int) -> bool:
        # The last empty cell of a house is seen without help.
        return steps[k].technique == "full-house"

    def rank(k: int) -> tuple[bool, bool, bool, int, int]:
        return not worth(k), plain(k), k > EARLY * len(steps), ways[k], k

    top = max((step.rung for step in steps), default=0)
    first = sorted((k for k, step in enumerate(steps) if step.rung == top), key=rank)[:1]
    others = sorted(filter(worth, range(len(steps))), key=lambda k: (-steps[k].rung, ways[k], k))
    chosen: list[int] = []
    for k in first + others:
        # That need not be worth a hint for its own sake: it is the way to a knot.
        start = _beginning(reasons, k)
        # What is more than a few is for hard steps, not for singles between them.
        room = FEW if steps[start].places else most(path.grade)
        if len(chosen) < room and all(abs(start - other) >= APART for other in chosen):
            chosen.append(start)
    return sorted(chosen)


def _beginning(reasons: Reasons, k: int) -> int:
    """Step ``k`` itself; if it rests on too many earlier ones to tell, the first that does not."""
    while True:
        earlier = _earlier(reasons.because(k))
        if len(earlier) <= EARLIER:
            return k
        k = min(earlier)


def _shown(
    step: Step,
    earlier: Iterable[Step],
    left: Sequence[tuple[int, ...]],
    as_well: Iterable[tuple[int, int]],
) -> tuple[tuple[int, tuple[int, ...]], ...]:
    """The cells whose candidates make the step plain, in reading order.

    Of a strike those that it rests on and those that it clears, with the candidates that it speaks
    of; of each earlier step that has a part in it, those on which that rests, likewise. What goes,
    too, and is not told does not stay there. All cells where the step counts all candidates.
    """
    found: dict[int, set[int]] = {}
    if step.technique in COUNTS_ALL:
        found = {cell: set(here) for cell, here in enumerate(left)}
    for one in (*earlier, step):
        own = {*one.cells, *(cell for cell, _ in one.removes if one is step)}
        for cell in own if one.removes else ():
            found.setdefault(cell, set()).update(_spoken_of(one, cell, left[cell]))
    for cell, d in (*step.untold, *as_well):
        found.get(cell, set()).discard(d)
    # A rule's step may rest on filled cells too; they have no candidates to show.
    return tuple((cell, tuple(sorted(found[cell]))) for cell in sorted(found) if found[cell])


def _spoken_of(step: Step, cell: int, here: tuple[int, ...]) -> tuple[int, ...]:
    """Those candidates of a cell of the step without which it would not be plain.

    A step along links, or of one digit, is about those candidates alone. A cell that it leaves a
    single candidate shows that too: it is what the step was made for.
    """
    struck = {d for at, d in step.removes if at == cell}
    spoken = {d for where, d in step.nodes if cell in where}
    if not step.nodes and len(step.digits) == 1 and not step.told:
        spoken = set(step.digits)
    elif not step.nodes:
        return here
    left = set(here) - struck
    return tuple(d for d in here if d in spoken | struck or (struck and len(left) == 1))
