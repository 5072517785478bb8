"""The command line, thin: every answer of the console without a terminal.

Only click and the standard library are imported here, so that opening the console paints at
once; each command imports what it runs.
"""

from console.commands import about, diagnosing, fitting, log, model, reporting, season, verdict, work
from console.commands.base import cli, guarded_main, main

__all__ = [
    "about",
    "cli",
    "diagnosing",
    "fitting",
    "guarded_main",
    "log",
    "main",
    "model",
    "reporting",
    "season",
    "verdict",
    "work",
]
