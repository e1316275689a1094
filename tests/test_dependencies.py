"""What is imported is declared; what is handed on with it has a licence that asks for little."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from importlib import metadata

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.conftest import ROOT

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
DECLARED = {
    canonicalize_name(Requirement(one).name)
    for one in (*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["cluster"])
}
REVIEWED = {
    *("click", "contourpy", "font-source-sans-pro", "font-source-serif-pro", "fonttools"),
    *("llvmlite", "numba", "numpy", "pdfminer-six", "pdfplumber", "pillow", "pypdf", "pypdfium2"),
    *("python-sat", "pyyaml", "reportlab", "rich", "uharfbuzz"),
    # and what these need in turn
    *("cffi", "charset-normalizer", "cryptography", "markdown-it-py", "mdurl", "pycparser"),
    *("pygments", "six", "typing-extensions"),
    # the extra for a cluster, and what it needs
    *("click", "cloudpickle", "dask", "distributed", "fsspec", "jinja2", "locket", "markupsafe"),
    *("msgpack", "packaging", "partd", "psutil", "sortedcontainers", "tblib", "toolz", "tornado"),
    *("importlib-metadata", "lazy-importer", "urllib3", "zict", "zipp"),
}
"""The runtime packages whose licences were read by a person: MIT, BSD, Apache 2.0, PSF, OFL."""

PERMISSIVE = re.compile(r"MIT|BSD|Apache|PSF|OFL", re.IGNORECASE)


def imported() -> set[str]:
    """The modules from outside the standard library that are imported, wherever in a file."""
    found = set()
    for path in (ROOT / "packbuilder").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found |= {name.name.partition(".")[0] for name in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                found.add(node.module.partition(".")[0])
    return found - sys.stdlib_module_names - {"packbuilder"}


@pytest.mark.parametrize("module", sorted(imported()))
def test_what_is_imported_is_declared(module: str) -> None:
    owners = metadata.packages_distributions()[module]
    assert {canonicalize_name(name) for name in owners} & DECLARED


def handed_on() -> set[str]:
    """The declared packages and all that they need in turn."""
    found, todo = set(), list(DECLARED)
    while todo:
        name = todo.pop()
        if name not in found:
            found.add(name)
            needs = [Requirement(one) for one in metadata.requires(name) or []]
            here = [one for one in needs if not one.marker or one.marker.evaluate({"extra": ""})]
            todo += [canonicalize_name(one.name) for one in here]
    return found


def test_licences_are_permissive_and_were_read() -> None:
    assert handed_on() <= REVIEWED, "read the licence, then add the name"
    for name in sorted(handed_on()):
        facts = metadata.metadata(name)
        told = [facts.get("License-Expression") or "", (facts.get("License") or "")[:100]]
        told += [one for one in facts.get_all("Classifier") or [] if one.startswith("License")]
        words = " ".join(told)
        assert PERMISSIVE.search(words), (name, words)
        assert "GPL" not in words, (name, words)
