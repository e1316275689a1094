"""The command line: parse, call, print. No logic of its own, and nothing heavy imported early.

Results go to standard output; progress and faults to standard error.
"""

from packbuilder.cli.main import commands, main, run

__all__ = ["commands", "main", "run"]
