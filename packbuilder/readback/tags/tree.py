"""The structure tree of a tagged file, by pypdf, as plain values (ISO 32000-1, 14.7 and 14.8)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from packbuilder.readback.document import readable

if TYPE_CHECKING:
    from pypdf import PdfReader

DEEPEST = 40
"""No tree of a pack is deeper."""
KEYS = frozenset({"/Type", "/S", "/P", "/K", "/Pg", "/A", "/Alt", "/ActualText", "/T"})
ATTRIBUTES = frozenset({"/O", "/Scope", "/Summary"})
"""What elements and their attributes may have (ISO 32000-1, tables 323 and 349)."""


class Content(NamedTuple):
    """Marked content: on which page (from 1), under which number there."""

    page: int
    tag: int


class Object(NamedTuple):
    """An annotation in the tree: its page, what it is (``Link``, ``Widget``), its object number."""

    page: int
    kind: str
    number: int


@dataclass(frozen=True, eq=False)
class Element:
    """An element of the tree. ``role`` is a standard one where the file says which it stands for.

    ``number`` is its object's. Texts are empty where it has none; ``said`` is its ActualText, None
    where it has none, since an empty one means silence.
    """

    role: str
    number: int
    kids: tuple[Element | Content | Object, ...] = ()
    alt: str = ""
    said: str | None = None
    scope: str = ""
    summary: str = ""
    title: str = ""

    def elements(self, *roles: str) -> list[Element]:
        """Its own child elements, of some roles or of any."""
        return [k for k in self.kids if isinstance(k, Element) and (not roles or k.role in roles)]

    def walk(self) -> Iterator[Element]:
        """This element and all below it, in reading order."""
        waiting: list[Element] = [self]
        while waiting:
            here = waiting.pop()
            yield here
            waiting.extend(kid for kid in reversed(here.kids) if isinstance(kid, Element))

    def contents(self) -> Iterator[Content]:
        """All marked content in and below it, in reading order."""
        return (leaf for leaf in self._leaves() if isinstance(leaf, Content))

    def objects(self) -> Iterator[Object]:
        """All annotations in and below it, in reading order."""
        return (leaf for leaf in self._leaves() if isinstance(leaf, Object))

    def _leaves(self) -> Iterator[Content | Object]:
        waiting: list[Element | Content | Object] = [self]
        while waiting:
            here = waiting.pop()
            if isinstance(here, Element):
                waiting.extend(reversed(here.kids))
            else:
                yield here


@dataclass(frozen=True)
class Tree:
    """A file's structure. ``root`` is its Document.

    ``owners`` give, as the file's parent tree does, the object number of the element that each
    marked content or annotation belongs to; ``annotations`` are all links and fields of the pages.
    ``language``, ``marked`` and ``titled`` are what the catalogue says; ``faults`` are broken parts
    of the tree in words.
    """

    root: Element
    owners: Mapping[Content | int, int]
    annotations: tuple[Object, ...]
    language: str
    marked: bool
    titled: bool
    faults: tuple[str, ...]


def tree_of(reader: PdfReader) -> Tree | None:
    """The structure tree of a file; None where it has none. Raises InputError where it is
    damaged."""
    with readable("its structure for screen readers"):
        catalogue: Any = reader.trailer["/Root"]
        if "/StructTreeRoot" not in catalogue:
            return None
        return _Reading(reader, catalogue).tree()


class _Reading:
    """One reading of a tree: the pages by their objects, and what is broken."""

    def __init__(self, reader: PdfReader, catalogue: Any) -> None:
        self._reader = reader
        self._catalogue = catalogue
        self._start = catalogue["/StructTreeRoot"]
        roles = self._start.get("/RoleMap")
        self._roles = {} if roles is None else dict(roles.get_object())
        self._pages = {
            page.indirect_reference.idnum: number
            for number, page in enumerate(reader.pages, start=1)
            if page.indirect_reference is not None
        }
        self._seen: set[int] = set()
        self._faults: dict[str, None] = {}

    def tree(self) -> Tree:
        tops = list(self._kids(self._start, 0, 0))
        elements = [kid for kid in tops if isinstance(kid, Element)]
        if len(tops) == 1 and elements and elements[0].role == "Document":
            root = elements[0]
        else:
            self._faults["the tree does not begin with one Document"] = None
            root = Element("Document", 0, tuple(tops))
        owners = self._owners()
        marked = self._catalogue.get("/MarkInfo")
        shown = self._catalogue.get("/ViewerPreferences")
        return Tree(
            root,
            owners,
            tuple(self._annotations()),
            str(self._catalogue.get("/Lang", "")),
            bool(marked is not None and marked.get_object().get("/Marked")),
            bool(shown is not None and shown.get_object().get("/DisplayDocTitle")),
            tuple(self._faults),
        )

    def _kids(self, node: Any, page: int, depth: int) -> Iterator[Element | Content | Object]:
        if "/K" not in node:
            return
        kids = node.raw_get("/K")
        opened: Any = kids.get_object()
        for kid in opened if isinstance(opened, list) else [kids]:
            number = getattr(kid, "idnum", 0)
            one: Any = kid.get_object()
            if isinstance(one, int):
                yield Content(page, int(one))
            elif not isinstance(one, dict):
                self._faults["the tree has a part that is none"] = None
            elif one.get("/Type") == "/MCR":
                yield Content(self._page_of(one, page), int(one["/MCID"]))
            elif one.get("/Type") == "/OBJR":
                target: Any = one
                kind = str(target["/Obj"].get("/Subtype", "")).lstrip("/")
                yield Object(self._page_of(one, page), kind, target.raw_get("/Obj").idnum)
            elif number in self._seen or depth > DEEPEST:
                self._faults["an element stands in the tree twice"] = None
            else:
                self._seen.add(number)
                yield self._element(one, number, page, depth)

    def _element(self, one: Any, number: int, page: int, depth: int) -> Element:
        self._note_strange(one, KEYS, "an element")
        role = str(one.get("/S", "")).lstrip("/")
        role = str(self._roles.get(f"/{role}", role)).lstrip("/")
        scope = summary = ""
        for more in self._attributes(one):
            self._note_strange(more, ATTRIBUTES, "an element")
            scope = str(more.get("/Scope", scope)).lstrip("/")
            summary = str(more.get("/Summary", summary))
        here = self._page_of(one, page)
        return Element(
            role,
            number,
            tuple(self._kids(one, here, depth + 1)),
            str(one.get("/Alt", "")),
            str(one["/ActualText"]) if "/ActualText" in one else None,
            scope,
            summary,
            str(one.get("/T", "")),
        )

    def _note_strange(self, one: Any, known: frozenset[str], what: str) -> None:
        """Note keys that no element of the house has: languages, spans, expansions, files."""
        for key in one:
            if key not in known:
                self._faults[f"{what} has {key.lstrip('/')}, which none of the house has"] = None

    def _attributes(self, one: Any) -> Iterator[Any]:
        found = one.get("/A")
        if found is not None:
            found = found.get_object()
            for more in found if isinstance(found, list) else [found]:
                if isinstance(more.get_object(), dict):
                    yield more.get_object()

    def _page_of(self, one: Any, page: int) -> int:
        return self._pages.get(one.raw_get("/Pg").idnum, 0) if "/Pg" in one else page

    def _annotations(self) -> Iterator[Object]:
        for number, page in enumerate(self._reader.pages, start=1):
            notes = page.get("/Annots")
            for note in notes.get_object() if notes is not None else ():
                kind = str(note.get_object().get("/Subtype", "")).lstrip("/")
                yield Object(number, kind, getattr(note, "idnum", 0))

    def _owners(self) -> dict[Content | int, int]:
        """The parent tree: from marked content, and from annotations, to their elements."""
        entries: dict[int, Any] = {}
        waiting = [self._start.get("/ParentTree")]
        while waiting:
            node = waiting.pop()
            if node is not None:
                node = node.get_object()
                waiting.extend(node.get("/Kids", ()))
                nums = node.get("/Nums", [])
                for k in range(0, len(nums) - 1, 2):
                    entries[int(nums[k])] = nums[k + 1]
        after = self._start.get("/ParentTreeNextKey")
        if after is not None and any(key >= int(after) for key in entries):
            self._faults["the tree's next key is in use already"] = None
        found: dict[Content | int, int] = {}
        for number, page in enumerate(self._reader.pages, start=1):
            owners = entries.get(int(page.get("/StructParents", -1)))
            if owners is not None:
                for tag, owner in enumerate(owners.get_object()):
                    found[Content(number, tag)] = getattr(owner, "idnum", 0)
            notes = page.get("/Annots")
            for note in notes.get_object() if notes is not None else ():
                key = int(note.get_object().get("/StructParent", -1))
                if key in entries:
                    found[getattr(note, "idnum", 0)] = getattr(entries[key], "idnum", 0)
        return found
