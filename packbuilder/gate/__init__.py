"""The gate: promises held against computed facts.

One finding of level ``refuse`` and nothing is released. `report` has the values, `checking` the
way through; `proved`, `promised` and `printable` hold the findings, by the question they answer.
The codes are an interface that scripts may rely on.
"""

from packbuilder.gate.checking import Memory, check
from packbuilder.gate.limits import Limits
from packbuilder.gate.report import Checked, Finding, Report, as_json, facts

__all__ = ["Checked", "Finding", "Limits", "Memory", "Report", "as_json", "check", "facts"]
