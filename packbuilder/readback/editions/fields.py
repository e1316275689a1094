"""Fields to type in: over each empty cell of each puzzle grid lies one, and none elsewhere."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

from packbuilder.book.book import Book, Entry
from packbuilder.grid import cell_name
from packbuilder.readback.colour import CONTRAST, GROUND, WHITE, contrast
from packbuilder.readback.document import Colour, readable
from packbuilder.readback.match import due
from packbuilder.readback.report import TOLD, Finding
from packbuilder.readback.sections import PUZZLES
from packbuilder.readback.shapes import Box, Lattice
from packbuilder.readback.survey import Item

if TYPE_CHECKING:
    from pypdf import PdfReader

INSIDE = 1.0
"""A field is so much smaller than its cell on each side (points)."""
OFF = 0.3
"""How far its edges may be from there."""
CENTRED = 1
SHARE, SIZED = 0.6, 0.02
"""The size of what is typed, as a share of its cell, and how far it may be off."""
HIDDEN = 0b100011
"""Flags of an annotation that is not shown: invisible, hidden, no view (ISO 32000-1, table 165)."""
READ_ONLY, LINES, SECRET, FILE, RICH = 1, 1 << 12, 1 << 13, 1 << 20, 1 << 25
"""Flags of fields that one cannot type a digit into plainly (ISO 32000-1, tables 221 and 228)."""

_NAME = re.compile(r"p(\d+)-r(\d+)c(\d+)")
_LOOK = re.compile(r"/\S+ +(\d*\.?\d+) +Tf +\d*\.?\d+(?: +g|(?: +\d*\.?\d+){2} +rg)")
"""All that the look of a field says: font, size, colour."""
_FONT = re.compile(r"(/\S+)\s+[\d.]+\s+Tf")
_PAINTS = re.compile(rb"(?<![^\s\])>}])(?:Tj|TJ|'|\"|S|s|f|F|f\*|B|B\*|b|b\*|Do|sh|EI)(?=[\s]|$)")


class Field(NamedTuple):
    """One widget of the file, with what it inherits from its field.

    ``order`` is its place among all annotations of its page. ``fault`` says in words what it does
    or has that no field of the house may; ``number`` is its object's.
    """

    page: int
    box: Box
    name: str
    tooltip: str
    kind: str
    most: int | None
    align: int
    value: str
    order: int
    fault: str
    look: str
    number: int = 0


class Form(NamedTuple):
    """The fields of a file in the order of its pages; ``tabs`` are the tab orders of pages,
    ``fonts`` the names by which fields may call a font."""

    fields: tuple[Field, ...]
    tabs: dict[int, str]
    faults: tuple[str, ...]
    fonts: frozenset[str] = frozenset()


def form_of(reader: PdfReader) -> Form:
    """Read the widgets of a file. Raises InputError where they are damaged."""
    with readable("its form fields"):
        root: Any = reader.trailer["/Root"]
        form = root.get("/AcroForm")
        form = form.get_object() if form is not None else {}
        listed = {
            kid.idnum for one in form.get("/Fields", ()) for kid in _leaves(one) if kid is not None
        }
        fields, tabs, seen = [], {}, set()
        for number, page in enumerate(reader.pages, start=1):
            tabs[number] = str(page.get("/Tabs", ""))
            notes = page.get("/Annots")
            for order, one in enumerate(notes.get_object() if notes is not None else ()):
                note = one.get_object()
                if note.get("/Subtype") == "/Widget":
                    seen.add(getattr(one, "idnum", None))
                    field = _field(number, order, note, str(form.get("/DA", "")))
                    fields.append(field._replace(number=getattr(one, "idnum", 0)))
        faults = ["fields that are reckoned"] if "/CO" in form else []
        if fields and not form.get("/NeedAppearances"):
            faults.append("form fields that no viewer is asked to draw (NeedAppearances)")
        if listed - seen:
            faults.append("form fields that stand on no page")
        if seen - listed:
            faults.append("form fields on pages that its form does not list")
        return Form(tuple(fields), tabs, tuple(faults), frozenset(_fonts(form)))


def _fonts(form: Any) -> Iterator[str]:
    resources = form.get("/DR")
    fonts = resources.get_object().get("/Font") if resources is not None else None
    yield from (str(name) for name in (fonts.get_object() if fonts is not None else ()))


def _leaves(one: Any, depth: int = 0) -> Iterator[Any]:
    """The references of the widgets under a field."""
    kids = one.get_object().get("/Kids")
    if kids is None or depth > 8:
        yield one
    else:
        for kid in kids.get_object():
            yield from _leaves(kid, depth + 1)


def _inherited(note: Any, key: str) -> Any:
    for _ in range(8):
        if key in note:
            return note[key]
        if "/Parent" not in note:
            break
        note = note["/Parent"]
    return None


def _field(number: int, order: int, note: Any, usual_look: str) -> Field:
    x0, y0, x1, y1 = (float(v) for v in note["/Rect"])
    names = []
    at = note
    for _ in range(8):
        if "/T" in at:
            names.append(str(at["/T"]))
        if "/Parent" not in at:
            break
        at = at["/Parent"]
    values = (_inherited(note, key) for key in ("/V", "/DV"))
    value = next((str(v) for v in values if v not in (None, "")), "")
    most = _inherited(note, "/MaxLen")
    return Field(
        number,
        (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)),
        ".".join(reversed(names)),
        str(_inherited(note, "/TU") or ""),
        str(_inherited(note, "/FT") or "").lstrip("/"),
        int(most) if most is not None else None,
        int(_inherited(note, "/Q") or 0),
        value,
        order,
        _fault(note),
        str(_inherited(note, "/DA") or usual_look),
    )


def _fault(note: Any) -> str:
    flags, shown = int(_inherited(note, "/Ff") or 0), int(note.get("/F", 0))
    if any(key in note or _inherited(note, key) is not None for key in ("/A", "/AA")):
        return "runs an action"
    if shown & HIDDEN:
        return "is hidden"
    if flags & (READ_ONLY | LINES | SECRET | FILE | RICH):
        return "cannot be typed into plainly"
    look = note.get("/MK")
    if look is not None and look.get_object().get("/BG"):
        return "has a ground of its own, which covers its cell"
    if (look is not None and look.get_object()) or "/BS" in note or "/Border" in note:
        return "has a border or a label of its own"
    drawn = note.get("/AP")
    if drawn is not None:
        plain = drawn.get_object().get("/N")
        stream = plain.get_object() if plain is not None else None
        if stream is not None and _PAINTS.search(stream.get_data() if _is_stream(stream) else b""):
            return "is drawn with ink in it"
    return ""


def _is_stream(one: Any) -> bool:
    return hasattr(one, "get_data")


# --- against the book ----------------------------------------------------------------------------


def check_fields(form: Form, items: Sequence[Item], book: Book) -> Iterator[Finding]:
    """One field over each empty cell of each puzzle grid, in order, and nothing more."""
    for words in form.faults:
        yield Finding("active", f"the file holds {words}")
    wanted = []
    for item in items:
        match = due(book, item)
        there = item.section == PUZZLES and match and item.lattice
        if match and there and there.size == match[0].puzzle.size:
            wanted.append((item, match[0]))
    found: dict[int, list[Field]] = {}
    for field in form.fields:
        found.setdefault(field.page, []).append(field)
    placed: set[Field] = set()
    for item, entry in wanted:
        yield from _check_grid(item, entry, found.get(item.page, []), placed)
        if form.tabs.get(item.page) != "/S":
            yield Finding("field", "the page's tab order does not follow its structure", item.page)
    for page, fields in found.items():
        here = [(item, entry) for item, entry in wanted if item.page == page]
        yield from _check_order(page, fields, here)
        for field in fields:
            if field not in placed:
                yield Finding(
                    "field-extra",
                    f"a form field ({field.name!r}) lies at {field.box[0]:.0f}, "
                    f"{field.box[1]:.0f} points, where no empty cell of a puzzle is",
                    page,
                )
            yield from _check_look(field, form.fonts, dark=book.edition.dark)


def _check_grid(
    item: Item, entry: Entry, fields: Sequence[Field], placed: set[Field]
) -> Iterator[Finding]:
    """The fields of one grid, each over its cell. ``placed`` gathers those that lie over one."""
    assert item.lattice is not None
    n, clues = entry.puzzle.size, entry.puzzle.clues
    over: dict[int, list[Field]] = {}
    for field in fields:
        x, y = (field.box[0] + field.box[2]) / 2, (field.box[1] + field.box[3]) / 2
        cell = item.lattice.cell_at(x, y)
        if cell is not None:
            over.setdefault(cell, []).append(field)
            placed.add(field)
    told: dict[str, list[tuple[int, str]]] = {}
    for cell in range(n * n):
        name, ones = cell_name(cell, n), over.get(cell, [])
        if clues[cell] and ones:
            told.setdefault("field-extra", []).append(
                (cell, f"a form field lies over the clue in {name}")
            )
        elif not clues[cell] and not ones:
            told.setdefault("field-missing", []).append(
                (cell, f"{name} is empty and has no field to type in")
            )
        elif len(ones) > 1:
            told.setdefault("field-extra", []).append(
                (cell, f"{len(ones)} form fields lie over {name}")
            )
        elif ones:
            words = _amiss(ones[0], entry.number, cell, item.lattice)
            if words:
                told.setdefault("field", []).append((cell, f"the field over {name} {words}"))
    for code, some in told.items():
        more = f"; and {len(some) - TOLD} more" if len(some) > TOLD else ""
        yield Finding(
            code,
            "; ".join(words for _, words in some[:TOLD]) + more,
            item.page,
            tuple(cell_name(cell, n) for cell, _ in some),
            entry.number,
            entry.puzzle.id,
        )


def _amiss(field: Field, number: int, cell: int, lattice: Lattice) -> str:
    """What is wrong with the field of a cell, in words; empty for a good one."""
    row, column = divmod(cell, lattice.size)
    name = f"p{number}-r{row + 1}c{column + 1}"
    told = f"Puzzle {number}, row {row + 1}, column {column + 1}"
    inside = (
        lattice.x[column] + INSIDE,
        lattice.y[row + 1] + INSIDE,
        lattice.x[column + 1] - INSIDE,
        lattice.y[row] - INSIDE,
    )
    if field.kind != "Tx":
        return "is no text field"
    if field.value:
        return f"holds {field.value!r} already"
    if field.fault:
        return field.fault
    if field.name != name:
        return f"is named {field.name!r}, not {name!r}"
    if field.tooltip != told:
        return f"is told as {field.tooltip!r}, not {told!r}"
    if field.most != 1:
        return "takes more than one character"
    if field.align != CENTRED:
        return "does not centre what is typed"
    if any(abs(a - b) > OFF for a, b in zip(field.box, inside, strict=True)):
        return "does not lie a point inside its cell"
    look = _LOOK.fullmatch(field.look.strip())
    if not look:
        return f"has the look {field.look[:40]!r}, and not a font, a size and a colour alone"
    side = lattice.x[column + 1] - lattice.x[column]
    if abs(float(look[1]) / side - SHARE) > SIZED:
        return f"sets what is typed in {float(look[1]):g} pt, which is not {SHARE:g} of its cell"
    return ""


def _check_order(
    page: int, fields: Sequence[Field], here: Sequence[tuple[Item, Entry]]
) -> Iterator[Finding]:
    """The fields of a page stand in the order of puzzles, and of rows."""
    puzzles = [entry.number for _, entry in here]
    keys = []
    for field in sorted(fields, key=lambda f: f.order):
        named = _NAME.fullmatch(field.name)
        if named and int(named[1]) in puzzles:
            keys.append((puzzles.index(int(named[1])), int(named[2]), int(named[3])))
    for before, after in pairwise(keys):
        if before > after:
            yield Finding(
                "field",
                f"the fields do not stand in the order of rows: row {after[1]}, column {after[2]} "
                f"comes after row {before[1]}, column {before[2]}",
                page,
                number=puzzles[after[0]],
            )
            return


def _check_look(field: Field, fonts: frozenset[str], *, dark: bool) -> Iterator[Finding]:
    """What is typed can be read: it has a font of the file, and stands out from the page."""
    named = _FONT.search(field.look)
    if not named or named[1] not in fonts:
        told = f"the font {named[1]}, which its form does not carry" if named else "no font"
        yield Finding("font", f"the field {field.name!r} asks for {told}", field.page)
    colour = _colour(field.look)
    ground: Colour = (GROUND,) * 3 if dark else WHITE
    if contrast(colour, ground) < CONTRAST - 0.05:
        yield Finding(
            "contrast",
            f"what is typed into {field.name!r} stands out from the page by "
            f"{contrast(colour, ground):.1f} to 1; the least is {CONTRAST:g} to 1",
            field.page,
        )


def _colour(look: str) -> Colour:
    """The colour that a field's default appearance sets; black where it sets none."""
    words = look.split()
    for k, word in enumerate(words):
        with_numbers = {"g": 1, "rg": 3}.get(word, 0)
        if with_numbers and k >= with_numbers:
            try:
                parts = [float(v) for v in words[k - with_numbers : k]]
            except ValueError:
                continue
            return (parts[0],) * 3 if len(parts) == 1 else (parts[0], parts[1], parts[2])
    return (0.0, 0.0, 0.0)
