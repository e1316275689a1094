"""Start: a new pack's folder, with a manifest that explains itself and can be built at once.

The two grids were made by this program (``packbuilder set``, seeds 26 and 52) and are kept as text.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

from packbuilder.errors import InputError
from packbuilder.gate import placeholders
from packbuilder.ladder.rungs import RUNGS
from packbuilder.manifest import NAME, schema
from packbuilder.manifest.fields import PACK
from packbuilder.release.staging import disk_fault, move_in, staging
from packbuilder.yamlfields.document import Scalar
from packbuilder.yamlfields.values import Value, Wrong

SCHEMA_NAME = "manifest.schema.json"
NOT_MADE = "nothing was made"


def start(folder: Path, title: str, issue: str) -> tuple[Path, ...]:
    """Make the folder of a new pack and write its manifest and the manifest's schema.

    Gives the files that were written. Nothing is ever overwritten. Raises InputError for a title
    or an issue that a manifest may not have, and for a folder that is there and not empty;
    Unfinished where the disk is full. Then nothing is left behind.
    """
    text = manifest_text(title, issue)
    try:
        _check_free(folder)
    except OSError as fault:  # such as a name that is too long
        raise disk_fault(fault, folder, NOT_MADE) from None
    with staging(folder, NOT_MADE) as aside:
        files = aside / NAME, aside / SCHEMA_NAME
        schema_text = json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"
        for path, content in zip(files, (text, schema_text), strict=True):
            path.write_text(content, encoding="utf-8", newline="\n")
        return move_in(files, folder)


def _check_free(folder: Path) -> None:
    if folder.is_symlink() and not folder.exists():
        raise InputError(
            f"{folder}: this is a broken link: what it leads to is not there; remove it, or name "
            "another folder"
        )
    if folder.exists() and not folder.is_dir():
        raise InputError(f"{folder}: this is a file; name a folder that does not exist yet")
    if folder.exists() and any(folder.iterdir()):
        raise InputError(f"{folder}: the folder is not empty; name one that does not exist yet")


def manifest_text(title: str, issue: str) -> str:
    """The text of a new manifest. Raises InputError with all that is wrong with the two."""
    faults = [fault for name, words in (("title", title), ("issue", issue))
              if (fault := _fault(name, words))]  # fmt: skip
    if faults:
        raise InputError("\n".join(faults))
    first, second = placeholders.TITLES
    fill = {
        # JSON's quoted strings are YAML's too, so that a title may hold colons, quotes and hashes.
        "title": json.dumps(_taken("title", title), ensure_ascii=False),
        "issue": _taken("issue", issue),
        "rungs": str(RUNGS),
        "byline": placeholders.BYLINE,
        "theme": placeholders.THEME,
        "intro": placeholders.INTRO,
        "first": first,
        "second": second,
        "first_grid": _rows(placeholders.GRIDS[0]),
        "second_grid": _rows(placeholders.GRIDS[1]),
    }
    return re.sub(rf"\{{({'|'.join(fill)})\}}", lambda hole: fill[hole[1]], _TEMPLATE)


def _taken(name: str, text: str) -> str:
    """The field of a pack as the manifest would read it. Raises Wrong."""
    spec = PACK.fields[name].spec
    assert isinstance(spec, Value)
    return str(spec.take(Scalar(text)))


def _rows(grid: str) -> str:
    """An example's grid, a row a line, as far in as ``grid: |`` is."""
    return grid.replace(" / ", "\n      ")


def _fault(name: str, text: str) -> str:
    try:
        _taken(name, text)
    except Wrong as wrong:
        return f"{name}: {wrong}"
    return ""


_TEMPLATE = """\
# yaml-language-server: $schema=manifest.schema.json
#
# A pack of puzzles. Lines that begin with "# " are notes: delete them as you like. A "#" with no
# blank behind it hides a field that may be left out: take the "#" away to use it.
#
#   packbuilder check .     holds every promise below against the facts
#   packbuilder build .     makes the pages, reads them back, and puts them into out/
#
# Have each setter's permission before you print a puzzle, and note it under `permission:`. What
# copyright and privacy ask of you is decided by the law of your country, not by this program.

pack:
  title: {title}
  issue: {issue}                # the month, as YYYY-MM
  byline: {byline}       # who makes the pack: put your own name here
  theme: {theme}    # a sentence for the cover
  # What the cover shows: technique, discs, clues or plain; or, below it and further in, your own
  # `picture:` (such as art/lantern.svg), and with it `about:`, `riddle:` and `answer:`.
  #cover: clues
  # A page of text before the puzzles; a blank line parts paragraphs.
  #foreword: Write to your readers here.
  # Techniques that every puzzle of the pack is promised to need (`packbuilder techniques`).
  #needs: [pointing]
  #paper: a4                     # or letter, or a5
  #layout: one-up                # `packbuilder layouts` lists what there is
  #order: easiest-first          # the order in print; as-listed where left out
  #link: https://example.org/packs    # where the full pack is to be had: printed in the sampler
  #licence: For your own use and for teaching.    # what readers may do, for the credits

puzzles:
  - id: first-light              # the puzzle's own name here: lower-case letters, digits, hyphens
    title: {first}
    size: 6                      # cells along one side, 4 to 16; 9 where left out
    blocks: 2x3                  # rows x columns; or none; or a picture, a letter a cell
    # The clues: "." is an empty cell, blanks are ignored, digits past 9 are A, B, C, ...
    grid: |
      {first_grid}
    # What you claim of the puzzle. Every claim is checked; a false one stops the press.
    promise:
      grade: 1                   # 1 (gentle) to {rungs}: the rung of its hardest step
      clues: 12
      symmetry: rotational       # the picture is the same after a half turn

  - id: second-light
    title: {second}
    # A setter other than the byline needs a permission: by what means it was given, and when.
    #setter: Ada Quill
    #permission: by letter, 3 October
    grid: |
      {second_grid}
    # If you give the solution too, it is checked against the proved one.
    #solution: 721985634965134827438267591614729385579318462382456179896542713147693258253871946
    promise:
      grade: 2
      # needs: solved with it and all below its rung, and not by those below alone.
      # uses: on its easiest-first path.
      #needs: [hidden-single, naked-single]
      #uses: [full-house]
      #minimal: true             # no clue can be left out
      clues: 26
      symmetry: rotational
    intro: {intro}    # a sentence or two, printed with the puzzle
    #link: https://example.org/second-light      # printed as a QR code and a live link

  # A puzzle may have a file of its own in this folder, which holds the same fields.
  #- file: puzzles/third-light.yaml
"""
