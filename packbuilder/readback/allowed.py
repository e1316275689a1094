"""What a file of the house may hold: every dictionary that a viewer acts on, key by key.

A list of what is forbidden is never whole: scripts, launches, attachments and timers hide under
some dozens of names, and a viewer of next year knows more. So the keys that the house style writes
are listed, and all others are refused. A key with nothing in it (an empty dictionary) does nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from packbuilder.editions import Edition
from packbuilder.readback.document import readable
from packbuilder.readback.report import Finding

if TYPE_CHECKING:
    from pypdf import PdfReader

DEEPEST, MOST = 40, 20_000
"""No tree of a file is deeper, and none has more nodes."""
NESTED = 2
"""How deep drawings may stand in one another."""


def _keys_of(words: str) -> frozenset[str]:
    return frozenset(words.split())


CATALOGUE = _keys_of("Type Version Pages Lang ViewerPreferences Metadata")
LINKED = _keys_of("Names Dests Outlines PageMode PageLabels")
TAGGED = _keys_of("MarkInfo StructTreeRoot")
FORM = _keys_of("Fields DR DA NeedAppearances")
PAGE = _keys_of("Type Parent MediaBox Resources Contents Rotate Annots")
BOXES = _keys_of("CropBox BleedBox TrimBox")
NODE = _keys_of("Type Parent Count Kids")
RESOURCES = _keys_of("Font ProcSet XObject")
DRAWING = _keys_of("Type Subtype FormType Name BBox Matrix Resources Length Filter DecodeParms")
LINK = _keys_of("Type Subtype Rect Border F Dest A Contents StructParent P")
FIELD = _keys_of("Type Subtype Rect F P StructParent FT T TU Ff V DV MaxLen Q DA Parent AP MK BS")
"""Some of these are allowed here only because ``editions.fields`` says more clearly what is wrong
with them."""
ACTIONS = {"/URI": _keys_of("Type S URI"), "/GoTo": _keys_of("Type S D")}
ENTRY = _keys_of("Title Parent Prev Next First Last Count Dest A")
STREAM = _keys_of("Length Filter DecodeParms")
SHOWN = (0, 4)
"""Flags of an annotation that shows: none, or that it is printed (ISO 32000-1, table 165)."""


def check_allowed(reader: PdfReader, edition: Edition) -> Iterator[Finding]:
    """Nothing in the file acts, hides or stores but what the house style writes.

    Raises InputError where the file is damaged.
    """
    with readable("what it holds beside its pages"):
        found = list(_check(reader, edition))
    yield from found


def _check(reader: Any, edition: Edition) -> Iterator[Finding]:
    root = reader.trailer["/Root"]
    keys = CATALOGUE | (LINKED if edition.links else frozenset())
    keys |= TAGGED if edition.tagged else frozenset()
    keys |= {"AcroForm"} if edition.fields else frozenset()
    yield from _keys(root, keys, "the catalogue")
    yield from _check_viewing(root, edition)
    names = _open(root.get("/Names"))
    yield from _keys(names, {"Dests"}, "the catalogue's names")
    yield from _check_names(_open(names.get("/Dests")))
    yield from _keys(_open(root.get("/MarkInfo")), {"Marked"}, "the catalogue's MarkInfo")
    yield from _keys(_open(root.get("/AcroForm")), FORM, "the form")
    yield from _keys(_open(_open(root.get("/AcroForm")).get("/DR")), {"Font"}, "the form's DR")
    yield from _check_tree(_open(root.get("/Pages")))
    yield from _check_bookmarks(_open(root.get("/Outlines")))
    for number, page in enumerate(reader.pages, start=1):
        yield from _check_page(page, number, edition)


def _open(one: Any) -> Any:
    """A dictionary of the file; an empty one where there is none."""
    one = one.get_object() if one is not None else None
    return one if isinstance(one, dict) else {}


def _holds(value: Any) -> bool:
    """Whether the value of a key is there and not empty."""
    value = value.get_object() if hasattr(value, "get_object") else value
    return value is not None and not (isinstance(value, (dict, list)) and not value)


def _keys(
    one: Mapping[str, Any], known: frozenset[str] | set[str], what: str, page: int | None = None
) -> Iterator[Finding]:
    """Keys of a dictionary that are none of the house's."""
    strange = [k.lstrip("/") for k in one if k.lstrip("/") not in known and _holds(one[k])]
    if strange:
        told = ", ".join(sorted(strange)[:6])
        yield Finding("active", f"{what} holds what no file of the house has: {told}", page)


def _check_viewing(root: Any, edition: Edition) -> Iterator[Finding]:
    """How a viewer opens and prints the file."""
    shown = _open(root.get("/ViewerPreferences"))
    yield from _keys(shown, {"DisplayDocTitle", "PrintScaling"}, "the viewer's preferences")
    scaling = str(shown.get("/PrintScaling", "")).lstrip("/")
    due = "" if edition.fields else "None"
    if scaling != due:
        told = "asks for no scaling" if due else "says how it is scaled in print, and has no paper"
        yield Finding(
            "active", f"the file's PrintScaling is {scaling!r}: an edition like this {told}"
        )
    mode = str(root.get("/PageMode", "/UseOutlines")).lstrip("/")
    if mode not in ("UseOutlines", "UseNone"):
        yield Finding("active", f"the file opens as {mode}, not with its pages and bookmarks")


def _check_names(tree: Any) -> Iterator[Finding]:
    """The tree of named places: their names ascend, so that every viewer finds each of them."""
    waiting, before, count = [(tree, 0)], b"", 0
    while waiting:
        node, depth = waiting.pop()
        count += 1
        if depth > DEEPEST or count > MOST:
            yield Finding("destination", "the tree of named places has no end")
            return
        yield from _keys(node, {"Names", "Kids", "Limits"}, "the tree of named places")
        names = list(node.get("/Names", ()))
        for name in names[::2]:
            key = _bytes(name.get_object())
            if key <= before:
                yield Finding(
                    "destination",
                    f"the named place {key.decode('latin-1')!r} stands out of order: viewers that "
                    "look for it by halves do not find it",
                )
            before = key
        for place in names[1::2]:
            yield from _keys(_open(place), {"D"}, "a named place")
        waiting += [(_open(kid), depth + 1) for kid in reversed(list(node.get("/Kids", ())))]


def _bytes(name: Any) -> bytes:
    found = getattr(name, "original_bytes", None)
    return bytes(found) if found is not None else str(name).encode("latin-1", "replace")


def _check_tree(tree: Any) -> Iterator[Finding]:
    """The nodes that hold the pages; what pages inherit is looked at on each page."""
    inherited = {"Resources", "MediaBox", "CropBox", "Rotate"}
    waiting, count = [tree], 0
    while waiting and count < MOST:
        node, count = waiting.pop(), count + 1
        yield from _keys(node, NODE | inherited, "the tree of pages")
        kids = (_open(kid) for kid in node.get("/Kids", ()))
        waiting += [kid for kid in kids if "/Kids" in kid]


def _check_bookmarks(root: Any) -> Iterator[Finding]:
    """Bookmarks lead to a page and do nothing else."""
    yield from _keys(root, {"Type", "First", "Last", "Count"}, "the list of bookmarks")
    waiting, count = [_open(root.get("/First"))], 0
    while waiting and count < MOST:
        entry, count = waiting.pop(), count + 1
        if not entry:
            continue
        what = f"the bookmark {str(entry.get('/Title', ''))[:40]!r}"
        yield from _keys(entry, ENTRY, what)
        yield from _check_action(entry.get("/A"), what, None, {"/GoTo"})
        waiting += [_open(entry.get("/Next")), _open(entry.get("/First"))]


def _check_page(page: Any, number: int, edition: Edition) -> Iterator[Finding]:
    keys = PAGE | (BOXES if edition.bleed else frozenset())
    keys |= {"StructParents", "Tabs"} if edition.tagged or edition.fields else frozenset()
    yield from _keys(page, keys, "the page", number)
    yield from _check_resources(_open(page.get("/Resources")), number)
    content = page.get("/Contents")
    content = content.get_object() if content is not None else None
    for stream in content if isinstance(content, list) else [content]:
        yield from _keys(_open(stream), STREAM, "the page's content", number)
    notes = page.get("/Annots")
    for one in notes.get_object() if notes is not None else ():
        yield from _check_note(_open(one), number)


def _check_resources(resources: Any, number: int, depth: int = 0) -> Iterator[Finding]:
    """Fonts, and at most drawings that are content like the page's own: no images, no blending."""
    yield from _keys(resources, RESOURCES, "the page's resources", number)
    for one in _open(resources.get("/XObject")).values():
        drawing = _open(one)
        if drawing.get("/Subtype") != "/Form" or depth > NESTED:
            kind = str(drawing.get("/Subtype", "")).lstrip("/")
            yield Finding("active", f"the page holds an object of another kind: {kind}", number)
        else:
            yield from _keys(drawing, DRAWING, "a drawing on the page", number)
            yield from _check_resources(_open(drawing.get("/Resources")), number, depth + 1)


def _check_note(note: Any, number: int) -> Iterator[Finding]:
    """A link or a field: it shows no border, is not hidden, and does one thing only."""
    kind = str(note.get("/Subtype"))
    if kind == "/Widget":
        yield from _keys(note, FIELD, "a form field", number)
    if kind != "/Link":
        return  # any other annotation is told as what it is, whatever it holds
    yield from _keys(note, LINK, "a link", number)
    yield from _check_action(note.get("/A"), "a link", number, {"/URI", "/GoTo"})
    flags = int(note.get("/F", 0))
    if flags not in SHOWN:
        yield Finding("link", f"a link is hidden or cannot be pressed (its flags are {flags})",
                      number)  # fmt: skip
    border = [v.get_object() for v in note.get("/Border", ())]
    if len(border) < 3 or any(border[:3]) or len(border) > 3:
        yield Finding("link", "a link has a border of its own, which the page does not print",
                      number)  # fmt: skip


def _check_action(action: Any, what: str, page: int | None, kinds: set[str]) -> Iterator[Finding]:
    """An action leads somewhere, and nothing follows it."""
    action = _open(action)
    if not action:
        return
    kind = str(action.get("/S"))
    if kind not in kinds:
        yield Finding("active", f"{what} runs an action ({kind.lstrip('/')})", page)
    yield from _keys(action, ACTIONS.get(kind, ACTIONS["/GoTo"]), f"the action of {what}", page)
