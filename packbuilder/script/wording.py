"""Every sentence of a script and its board that is not the solve's own."""

from __future__ import annotations

BOARD: dict[str, str] = {
    "hold 1": "Hold one thing",
    "hold 2": "Hold two things",
    "hold 3": "Hold three things",
    "keep": "Keep in mind",
    "only": "only {cell}",
    "last": "{cell} is left",
    "gone": "out of {cells}",
    "cells": "{count} cells",
    "start": "{title}",
    "begin": "{clues} clues",
}
"""What a board page says, by what it shows."""

MOST_WORDS = 12
"""Words of a board page, at most: it is read on a phone, in passing."""

SCRIPT: dict[str, str] = {
    "about": "{title}: {digits} digits to write, about {minutes} at {pace} words a minute.",
    "holds": "At most {most} to hold in mind.",
    "notes": "Candidates are written down: this is the solve with notes.",
    "point": "Point at: {cells}.",
    "hold": "In mind: {marks}.",
    "drop": "Let go of: {marks}.",
    "name": "Name it: {name}.",
    "chapters": "Chapter marks",
    "rehearsal": "{title}: the moves in order",
    "moves": "Each number is a move. Those that stand in no cell are marks to set, named below.",
    "mark": "{numbers}: {mark}.",
}
"""What the presenter's script and the rehearsal sheet say."""
