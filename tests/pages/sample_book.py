"""A book made by hand: every kind of grid that pages must draw, with real and made-up hints.

The grids are our own. The large ones need not be proved: pages draw what they are given.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from packbuilder import grid
from packbuilder.book.book import Book, Entry
from packbuilder.grid import Geometry
from packbuilder.ladder.hints import Hint, hints
from packbuilder.ladder.path import walk
from packbuilder.ladder.step import Step
from packbuilder.puzzle import BEYOND, Pack, Puzzle

ODD_6 = "AAABBB AACBBB ACCCCE DDDCEE DDEEEF DFFFFF"
ODD_9 = ("AABBBBBCC AABABBCCF AAAABCCCF DDDDEECCF DDEEEEFFF GDDHHEFII GDHHHEFII GGGGHEFII "
         "GGGHHHIII")  # fmt: skip

# fmt: off
GRIDS = (
    ("9", ".6347.......6.134......8.9.3.954...16.58.24.32...635.9.7.9......362.4.......1593.",
     "863479152792651348154328697389547261615892473247163589571936824936284715428715936"),
    ("9", "27..9....689..7.1.5....472.....29.7...38.69...9.71.....423....7.6.1..294....4..86",
     "274591638689237415531684729816429573723856941495713862942368157368175294157942386"),
    ("6", "1..4..5...3.6..........1.2...3..1..2", "136425542136613254254361425613361542"),
    ("9", "..5.9.6286..1..97.2....8.5..264.....7.......2.....741..6.9....7.79..4..1482.7.5..",
     "145793628638152974297648153826419735714536892953827416361985247579264381482371569"),
    ("9", "6..45....58...3.2..43..2......6..8..72.....41..4..9......9..27..3.2...94....34..8",
     "672451389581793426943862715319647852726385941854129637465918273138276594297534168"),
    ("9", "..8..9.642...1..3......37....3.4...1..65.83..7...9.8....27......4..6...361.9..4..",
     "358279164279416538461853729583647291196528347724391856932784615845162973617935482"),
    ("6", "..1.2.....1...6.4..2.6...3.....4.3..", "461523253416316245524631632154145362"),
    ("9", "7..2...1..5.67..3.......5..597...6.....4.7.....1...973..5.......4..38.2..8...2..4",
     "736285419954671832812349567597123648368497251421856973275914386649738125183562794"),
    ("9", ".5...8.....94....2..1..986.23..5..1...........1..7..28.463..5..3....42.....5...8.",
     "753628149689415732421739865237856914968241357514973628846392571375184296192567483"),
    ("9", "21...5..4.8.6....9....8.16......3..8.4..2..7.9..7......61.4....7....6.5.5..9...41",
     "216395784485617239379284165627453918143829576958761423861542397794136852532978641"),
    ("L5", "4.5....45..4..1..2..3....", "4351221453543211523432145"),
    ("O6", "...4...3...5...........4..53..12...3", "561432234165413256352614645321126543"),
    ("O9", ".31...8...125......2.....1.....89.....5...2.....46.....5.....6......617...7...48.",
     "431695827812547936726938514273189645645713298398462751159874362984256173567321489"),
    ("9", "....61.......3.5.8.3..8.69..7.6..4..3.18.47.2..8..7.3..53.9..4.4.2.7.......14....",
     "829561374716439528534782691275613489391854762648927135153296847482375916967148253"),
    ("9", "2...3.....3591..4...84....2.2.3857.............7264.3.1....34...4..5918.....4...6",
     "264538917735912648918476352421385769356197824897264531189623475642759183573841296"),
    ("9", ".2...8.6.51..3....7..5...4....48....9..7.3..8....51....8...5..2....9..34.5.3...9.",
     "423978165516234987798516243132489756965723418847651329389145672671892534254367891"),
)
LARGE = (
    ("4", ".....143.43.....", "4321214314323214"),
    ("12",
     "...1.A.C..329...B.4.A...25.A..6....4.9.C24...763.....3.....9.BA..5.8.42.13.....7"
     "2C.B...9C....34AB..54..379.8....5C3.B2.7.4....8A3196A2...9.64.8.",
     "46718A5C9B329C83B142A67525BA376918C4591C24AB8763784263C15AB93BA69578C4211364A897"
     "2C5B8729CB15634ABAC54623791861985C34B2A7C45B728A3196A23719B6458C"),
    ("16",
     "...3..1AF4.G....1G.64E.8.D9..37.47F..G32B..A1.6892..D..7683..G4FF.5.1..9..2..8.A"
     "A4........C..6.1.96B....D1.37.F2.81.....7A...E...B..2...G.6...9EE1....9.4F..6C.."
     "..G.....1.B......C..G1A6.75EF2B.5.89F.73.G.C...6...G..B19.....35B.CF....5.1...29"
     ".A....6G2B8..7.D",
     "85D36B1AF47G29EC1GA64EF8CD92537B47FC9G32B5EA1D6892BED5C76831AG4FF35714G9E62BC8DA"
     "A4ED372F89C5B6G1C96B8AE5D1G374F2G812B6DC7AF49E537B3A2F54GC68D19EE125739B4FAD6C8G"
     "6FG4CD8E12B935A7DC98G1A6375EF2B45E89F273AGDC4B162D7GACB19E468F35B6CFE84D5317GA29"
     "3A41596G2B8FE7CD"),
)
# fmt: on

TITLES = (
    "First Ferry", "The Rope Store", "Small Change", "Gull and Lantern", "Low Water",
    "The Pilot's Table", "Six Bells", "A Quiet Berth", "The Lamp Room", "Signal Flags",
    "Five Buoys", "Crooked Quay", "The Breakwater", "Night Crossing", "Salt and Iron",
    "The Long Pier", "Four Oars", "A Dozen Nets", "Sixteen Fathoms",
)  # fmt: skip
SETTERS = ("Imre Castellane", "Imre Castellane", "Odile Farrow", "Tamsin Vell")
INTROS = (
    "An easy one to begin with: every step can be seen without a note.",
    None,
    "Mind the middle. The corners help less than they seem to -- until they help a great deal.",
    "Tamsin sets by hand, at a kitchen table, with \"no plan but the picture\". This one drew "
    "itself in an evening.",
)  # fmt: skip
FOREWORD = """
The harbour goes quiet in December. Boats are up on trestles, nets are under the roof, and the
people who know the tide by heart have time for a pencil. This month's grids were set in that
hour: some at a kitchen table, one on the last ferry, two in the lamp room itself.

They begin gently and grow steeper. The first four can be done with nothing but a sharp eye. From
the middle of the pack on, a digit will be held to a line before it is held to a cell, and it pays
to ask where a digit can still go rather than what a cell can still be.

Three guests have joined us. Each of them sets in a manner of their own, and their names stand on
their pages.
"""


def geometry_of(kind: str) -> Geometry:
    """The geometry of a kind in ``GRIDS``."""
    made = {
        "4": lambda: grid.blocks(2, 2),
        "6": lambda: grid.blocks(2, 3),
        "9": lambda: grid.blocks(3, 3),
        "12": lambda: grid.blocks(3, 4),
        "16": lambda: grid.blocks(4, 4),
        "L5": lambda: grid.latin(5),
        "O6": lambda: grid.irregular(ODD_6.replace(" ", "\n")),
        "O9": lambda: grid.irregular(ODD_9.replace(" ", "\n")),
    }
    return made[kind]()


@cache
def sample_book(paper: str = "a4", layout: str = "one-up", large: bool = False) -> Book:
    """Sixteen puzzles of several kinds; with ``large``, three more from 4x4 to 16x16."""
    chosen = GRIDS + LARGE if large else GRIDS
    entries = tuple(_entry(k, *one) for k, one in enumerate(chosen))
    pack = Pack(
        slug="harbour-lights",
        folder=Path("harbour-lights"),
        title="Harbour Lights",
        issue="2026-12",
        byline="Imre Castellane",
        puzzles=tuple(entry.puzzle for entry in entries),
        theme="Sixteen grids for the long evenings, set within sight of the water.",
        foreword=FOREWORD,
        paper=paper,
        layout=layout,
        licence="Printed for supporters. Copy it for your own table as often as you like; please "
        "do not pass the file on.",
    )
    return Book(pack, entries)


def with_puzzle(book: Book, k: int, **changes: object) -> Book:
    """The book with fields of its k-th puzzle (from 0) changed."""
    entries = list(book.entries)
    puzzle = replace(entries[k].puzzle, **changes)  # type: ignore[arg-type]
    entries[k] = replace(entries[k], puzzle=puzzle)
    return replace(book, entries=tuple(entries))


def with_pack(book: Book, **changes: object) -> Book:
    """The book with fields of its pack changed."""
    return replace(book, pack=replace(book.pack, **changes))  # type: ignore[arg-type]


def _entry(k: int, kind: str, clue_text: str, solution_text: str) -> Entry:
    geometry = geometry_of(kind)
    clues = grid.parse_grid(clue_text, geometry.size)
    solution = grid.parse_grid(solution_text, geometry.size)
    path = walk(geometry, clues)
    rating = path.rating
    setter = SETTERS[k % len(SETTERS)]
    puzzle = Puzzle(
        id=TITLES[k].lower().replace("'", "").replace(" ", "-"),
        title=TITLES[k],
        setter=setter,
        geometry=geometry,
        clues=clues,
        permission="by letter, 2 November 2026",
        intro=INTROS[k % len(INTROS)],
        link="https://example.org/harbour/first-ferry" if k in (0, 8, 9) else None,
        where=f"manifest.yaml:{20 + 12 * k}",
    )
    told = hints(path) or (_made_up(geometry, clues, solution),)
    return Entry(
        number=k + 1,
        puzzle=puzzle,
        solution=solution,
        grade=rating.grade if k < len(GRIDS) else BEYOND,
        hardest=rating.hardest,
        effort=rating.effort,
        techniques=rating.techniques,
        hints=told[:3],
    )


def _made_up(geometry: Geometry, clues: tuple[int, ...], solution: tuple[int, ...]) -> Hint:
    """A hint of no depth for grids that the ladder cannot begin: the first empty cell."""
    cell = clues.index(0)
    digit = solution[cell]
    step = Step("naked-single", 2, ((cell, digit),), (), (cell,), (digit,), ())
    name = grid.cell_name(cell, geometry.size)
    shown = ((cell, tuple(sorted({digit, 1, geometry.size}))),)
    words = f"Only {grid.SYMBOLS[digit]} is left for {name}."
    return Hint("Look at the first row.", "One cell sees every digit but one.", words, step, clues,
                shown)  # fmt: skip
