"""The form of a file: by what its edition is told at a glance."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pypdfium2.raw as pdfium

from packbuilder.plan.imposition import sides
from packbuilder.plan.items import Plan
from packbuilder.reader.editions import has_ground
from packbuilder.reader.file import load
from packbuilder.reader.pdfium import File


class Form(NamedTuple):
    """How many pages a file has, how large they are (points), whether one can type into it, and
    whether they are dark."""

    pages: int
    width: int
    height: int
    typed: bool
    dark: bool


def planned_form(plan: Plan) -> Form:
    """The form of a plan's file."""
    all_sides, edition = sides(plan), plan.edition
    width, height = round(all_sides[0].width), round(all_sides[0].height)
    return Form(len(all_sides), width, height, edition.fields, edition.dark)


def form_of(pdf: Path | bytes) -> Form:
    """The form of a file. Raises InputError where it cannot be read at all."""
    with File(load(pdf)) as file, file.page(1) as page:
        typed = pdfium.FPDF_GetFormType(file.raw) == pdfium.FORMTYPE_ACRO_FORM
        dark = has_ground(page.marks())
        return Form(file.count, round(page.width), round(page.height), typed, dark)
