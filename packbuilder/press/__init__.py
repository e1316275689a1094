"""The press: a plan goes in, a PDF comes out. Nothing is decided here but how to say it in PDF."""

from __future__ import annotations

from typing import TYPE_CHECKING, BinaryIO

if TYPE_CHECKING:
    from packbuilder.plan.items import Plan


def write_pdf(plan: Plan, out: BinaryIO) -> None:
    """Write a plan as a PDF. The same plan gives the same bytes, in any process and time zone."""
    from packbuilder.press.writing import write

    write(plan, out)
