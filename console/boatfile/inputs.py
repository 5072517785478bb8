"""Inputs: the boat file as one flat table of numbers and words, by path."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Literal

from console.quantities import STYLES, Measure

Origin = Literal["measured", "given", "assumed"]


@dataclass(frozen=True, slots=True)
class Input:
    """One input of the boat, as the screens, the draws and the JSON see it.

    ``path`` is its name (``raw_water.line.strainer.blocked``), ``section`` the table's key,
    ``label`` the last part of the path in plain words. For a quantity, ``measure`` is what the
    file says or the default (None when the default is computed from other inputs: then
    ``compute`` names the function and ``spread`` its relative half-width), and ``text`` is what
    an editor should offer to start from. Words, dates and lists have ``value`` and, for a
    choice, ``choices``.
    """

    path: str
    section: str
    label: str
    kind: Literal["quantity", "choice", "text", "flag", "date", "list"]
    origin: Origin
    help: str
    text: str = ""
    value: Any = None
    style: str = ""
    measure: Measure | None = None
    compute: str = ""
    spread: float = 0.0
    hard: tuple[float, float] = (-math.inf, math.inf)
    usual: tuple[float, float] = (-math.inf, math.inf)
    choices: tuple[str, ...] = ()
    line: int = 0

    @property
    def law(self) -> str:
        """How its spread is distributed: ``scale``, ``fraction`` or ``plain``."""
        return STYLES[self.style].law if self.style else "plain"
