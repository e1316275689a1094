"""The gate: promises held against computed facts.

One finding of level ``refuse`` and nothing is released. `codes` says what each code means,
`report` has the values, `checking` the way through; `proved`, `promised` and `printable` make the
findings, by the question that they answer.
"""

from packbuilder.gate.checking import Memory, broken_promises, check
from packbuilder.gate.limits import Limits
from packbuilder.gate.report import Checked, Finding, Report, as_json, facts

__all__ = [
    "Checked",
    "Finding",
    "Limits",
    "Memory",
    "Report",
    "as_json",
    "broken_promises",
    "check",
    "facts",
]
