"""The day on which a permission was given, out of the words in which the creator notes it."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator

from packbuilder.book.wording import MONTHS

_MONTH = "|".join(f"{name[:3]}(?:{name[3:]})?" for name in MONTHS)
_ISO = re.compile(r"\b(?P<year>\d{4})-(?P<number>\d\d)-(?P<day>\d\d)\b")
_DAY, _YEAR = r"(?P<day>\d{1,2})(?:st|nd|rd|th)?", r"(?P<year>\d{4})\b"
_NAMED = rf"(?P<month>{_MONTH})\.?"
_DAY_FIRST = re.compile(rf"\b{_DAY}\.? (?:of )?{_NAMED},? {_YEAR}", re.IGNORECASE)
_MONTH_FIRST = re.compile(rf"\b{_NAMED} {_DAY},? {_YEAR}", re.IGNORECASE)


def permission_date(words: str) -> datetime.date | None:
    """The last day that is named whole: ``2026-10-03``, ``3 October 2026``, ``Oct. 3, 2026``.

    None where none is. Months in figures are read in the order of ISO 8601 alone, since others
    mean different days in different countries.
    """
    return max(_days(words), default=(0, None), key=lambda found: found[0])[1]


def _days(words: str) -> Iterator[tuple[int, datetime.date | None]]:
    for pattern in (_ISO, _DAY_FIRST, _MONTH_FIRST):
        for found in pattern.finditer(words):
            parts = found.groupdict()
            number = parts.get("number") or _number(parts["month"])
            try:
                day = datetime.date(int(parts["year"]), int(number), int(parts["day"]))
            except ValueError:  # such as 31 June
                continue
            yield found.start(), day


def _number(month: str) -> int:
    return [name[:3] for name in MONTHS].index(month[:3].capitalize()) + 1
