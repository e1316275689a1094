"""Every finding is in the tables of DEVELOPERS.md, and every code in the tables can be found.

``python -m tests.test_findings`` writes the tables from what the code declares.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from typing import Any

import pytest

from packbuilder import gate, readback
from packbuilder.gate.codes import CODES as GATE
from tests.conftest import ROOT

GUIDE = ROOT / "DEVELOPERS.md"


def tables() -> dict[str, str]:
    """The tables by the name of their marker."""
    levels = {"refuse": "refused", "warn": "note"}
    gate = [f"| `{c}` | {levels[x.level]} | {x.meaning} | {x.mend} |" for c, x in GATE.items()]
    back = [f"| `{code}` | {meaning} |" for code, meaning in readback.CODES.items()]
    gate = ["| code | level | what it means | how to mend it |", "|---|---|---|---|", *gate, ""]
    back = ["| code | what it means |", "|---|---|", *back, ""]
    mend = f"To mend any of these: {readback.MEND}.\n\n"
    return {"gate": "\n".join(gate), "read-back": mend + "\n".join(back)}


def parted(text: str, name: str) -> tuple[str, str, str]:
    """The guide before a table, the table, and the guide after it."""
    before, start, rest = text.partition(f"<!-- findings: {name} -->\n")
    table, end, after = rest.partition("<!-- end of findings -->")
    assert start and end, f"the guide has no marker for {name}"
    return before + start, table, end + after


@pytest.mark.parametrize("name", tables())
def test_the_guide_has_the_table(name: str) -> None:
    _, found, _ = parted(GUIDE.read_text(encoding="utf-8"), name)
    assert found == tables()[name], "write it anew: python -m tests.test_findings"


def nodes(room: str) -> Iterator[ast.AST]:
    """All of a room's code but the declarations of its codes."""
    for path in sorted((ROOT / "packbuilder" / room).rglob("*.py")):
        for top in ast.parse(path.read_text(encoding="utf-8")).body:
            declares = isinstance(top, ast.Assign) and getattr(top.targets[0], "id", "") == "CODES"
            if not declares:
                yield from ast.walk(top)


def makers_in(found: list[ast.AST]) -> Iterator[tuple[str, int]]:
    """What takes a ``code``, by whatever name, and the place of that among its arguments."""
    for node in found:
        if isinstance(node, ast.FunctionDef):
            names = [one.arg for one in node.args.args if one.arg != "self"]
        elif isinstance(node, ast.ClassDef):
            fields = [one.target for one in node.body if isinstance(one, ast.AnnAssign)]
            names = [one.id for one in fields if isinstance(one, ast.Name)]
            for one in node.body:
                if isinstance(one, ast.FunctionDef) and one.name == "__init__":
                    names = [arg.arg for arg in one.args.args[1:]]
        else:
            continue
        if "code" in names:
            yield node.name, names.index("code")


def called(node: ast.Call) -> str:
    return getattr(node.func, "id", None) or getattr(node.func, "attr", "")


def test_every_maker_is_seen() -> None:
    """Functions and classes by whose own arguments a code is given."""
    back = dict(makers_in(list(nodes("readback"))))
    some = {"Finding": 0, "Fault": 0, "finding": 0, "gather": 0, "Planned": 0, "Due": 1}
    assert some.items() <= back.items()
    assert {"_faults", "_finding"} <= back.keys()


@pytest.mark.parametrize("one", [readback.Finding, gate.Finding])
def test_a_code_that_is_not_declared_is_a_fault_of_the_program(one: Any) -> None:
    with pytest.raises(KeyError):
        one("no-such-code", "words", **({"mend": "mend it"} if one is gate.Finding else {}))


@pytest.mark.parametrize(
    ("rooms", "declared"),
    [(("gate", "ladder/head"), set(GATE)), (("readback", "release"), set(readback.CODES))],
    ids=["gate", "read-back"],
)
def test_every_code_that_is_used_is_declared_and_the_other_way_round(
    rooms: tuple[str, ...], declared: set[str]
) -> None:
    found = [node for room in rooms for node in nodes(room)]
    texts = {n.value for n in found if isinstance(n, ast.Constant) and isinstance(n.value, str)}
    assert declared <= texts, "declared, and found nowhere"
    makers, used = dict(makers_in(found)), set[str]()
    for node in found:
        if isinstance(node, ast.Call) and called(node) in makers:
            at = makers[called(node)]
            named = [one.value for one in node.keywords if one.arg == "code"]
            for value in (*node.args[at : at + 1], *named):
                parts = (value.body, value.orelse) if isinstance(value, ast.IfExp) else (value,)
                used |= {one.value for one in parts if isinstance(one, ast.Constant)}
    assert len(used) > 10
    assert used <= declared, "used, and not declared"


if __name__ == "__main__":
    for name, table in tables().items():
        before, _, after = parted(GUIDE.read_text(encoding="utf-8"), name)
        GUIDE.write_text(before + table + after, encoding="utf-8")
