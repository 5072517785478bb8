"""What the estimates see of a run: the inputs' columns of draws, and the figures they need.

Whatever is looked at is noted, so that a later run of a boat that is nearly the same can keep
the results of the estimates for which nothing has changed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.boatfile.inputs import Input
from console.engine.draws import column, spread_about
from console.guard import call
from console.quantities import Measure

Array = NDArray[np.float64]
Look = tuple[str, str]
"""Something looked at: what kind of thing, and its path or name."""


class Draws:
    """The columns of a boat's inputs, shape (draws + 1, 1) each, made when asked for.

    ``alike`` are draws of the same size of a boat that may be nearly the same: their columns are
    taken over where nothing differs. ``before`` are the draws these are a change of, and
    ``altered`` what the change does to the column of each path it alters.
    """

    def __init__(
        self, boat: Boat, draws: int, alike: Draws | None = None, before: Draws | None = None,
        altered: Mapping[str, Callable[[Array], Array]] | None = None,
    ) -> None:  # fmt: skip
        self.boat, self.draws, self.before = boat, draws, before
        self.columns: dict[str, Array] = {}
        self._alike = alike if alike is not None and alike.draws == draws else before
        self._altered = dict(altered or {})
        self._computing: list[str] = []

    def release(self) -> None:
        """Let go of the boat these are alike; columns still to be made come out the same."""
        self._alike = self.before

    def number(self, path: str) -> Array:
        """An input's column; KeyError when there is no such quantity."""
        made = self.columns.get(path)
        if made is None:
            made = self._kept(path)
            if made is None:
                made = self._make(path)[:, None]
                made.flags.writeable = False
            self.columns[path] = made
        return made

    def _kept(self, path: str) -> Array | None:
        """The same column of the boat that is alike, where nothing of it differs."""
        alike = self._alike
        if alike is None or path in self._altered or path in alike._altered:
            return None
        was, entry = alike.boat.inputs.get(path), self.boat.inputs[path]
        same = was is entry or (
            was is not None
            and (was.kind, was.measure, was.law, was.hard)
            == (entry.kind, entry.measure, entry.law, entry.hard)
        )
        return alike.number(path) if same and not entry.compute else None

    def _make(self, path: str) -> Array:
        made = self._unaltered(path)
        alter = self._altered.get(path)
        if alter is None:
            return made
        low, high = self.boat.inputs[path].hard
        return np.clip(alter(made), low, high)

    def _unaltered(self, path: str) -> Array:
        entry = self.boat.inputs[path]
        if entry.kind != "quantity" or entry.measure is None:
            raise KeyError(path)
        if not entry.compute:
            return self._stated(path, entry)
        if path in self._computing:
            names = " → ".join([*self._computing, path])
            raise RecursionError(f"defaults that need each other: {names}")
        self._computing.append(path)
        try:
            medians = np.asarray(call(entry.compute, InputView(self)), dtype=float)
        finally:
            self._computing.pop()
        rows = np.broadcast_to(medians.reshape(-1) if medians.ndim else medians, (self.draws + 1,))
        return self._about(path, entry, rows)

    def _stated(self, path: str, entry: Input) -> Array:
        """The column of an input about its own median. A change leaves every draw where it was."""
        if self.before is not None:
            return self.before.number(path)[:, 0]
        assert entry.measure is not None
        half = entry.measure.half_si
        return column(path, self.draws, entry.measure.value, half, entry.law, entry.hard)

    def _about(self, path: str, entry: Input, medians: Array) -> Array:
        """The column of a computed default about its medians, each draw as far out as ever."""
        if self.before is not None:
            return self.before._about(path, entry, medians)
        assert entry.measure is not None
        half, relative = entry.measure.half or 0.0, entry.measure.relative
        return spread_about(path, medians, half, relative, entry.law, entry.hard)

    def stand_in(self, name: str, measure: Measure, law: str) -> Array:
        """The draws (draws + 1,) of what stands in for a figure nobody gives."""
        if self.before is not None:
            return self.before.stand_in(name, measure, law)
        return column(name, self.draws, measure.value, measure.half_si, law)


class InputView:
    """The inputs as a default's function sees them: a `console.contract.Run` without figures."""

    steps = 1
    step_seconds = 3600.0

    def __init__(self, draws: Draws, looked: set[Look] | None = None) -> None:
        self._draws = draws
        self._looked: set[Look] = set() if looked is None else looked
        self.draws = draws.draws + 1

    @property
    def _boat(self) -> Boat:
        return self._draws.boat

    @property
    def hours(self) -> Array:
        return np.array([12.0])

    @property
    def untouched(self) -> InputView:
        """The inputs before any change."""
        before = self._draws.before
        return self if before is None else InputView(before, self._looked)

    def number(self, path: str, default: float | None = None) -> Array:
        self._looked.add(("number", path))
        try:
            return self._draws.number(path)
        except KeyError:
            if default is None:
                raise KeyError(f"there is no input {path}") from None
            return np.full((self.draws, 1), float(default))

    def value(self, path: str, default: Any = None) -> Any:
        self._looked.add(("value", path))
        entry = self._boat.inputs.get(path)
        return default if entry is None or entry.value is None else entry.value

    def text(self, path: str, default: str | None = None) -> str:
        found = self.value(path, default)
        if found is None:
            raise KeyError(f"there is no input {path}")
        return str(found)

    def has(self, path: str) -> bool:
        self._looked.add(("has", path))
        boat = self._boat
        return path in boat.inputs or path in boat.tables or path in boat.item_paths

    def given(self, path: str) -> bool:
        self._looked.add(("given", path))
        entry = self._boat.inputs.get(path)
        return entry is not None and entry.origin != "assumed"

    def items(self, path: str) -> tuple[str, ...]:
        self._looked.add(("items", path))
        return self._boat.item_paths.get(path, ())

    def figure(self, name: str) -> Array:
        raise KeyError(f"a default cannot use the figure {name}")

    def family(self, prefix: str) -> Mapping[str, Array]:
        return {}


class EstimateView(InputView):
    """What an estimate sees: the inputs, and the figures it said it needs."""

    def __init__(
        self, draws: Draws, hours: Array, step_seconds: float, figures: Mapping[str, Array],
        looked: set[Look] | None = None,
    ) -> None:  # fmt: skip
        super().__init__(draws, looked)
        self.steps, self.step_seconds = hours.size, step_seconds
        self._hours, self._figures = hours, figures

    @property
    def hours(self) -> Array:
        return self._hours

    def figure(self, name: str) -> Array:
        self._looked.add(("figure", name))
        try:
            return self._figures[name]
        except KeyError:
            raise KeyError(f"the figure {name} is not among the needs of this estimate") from None

    def family(self, prefix: str) -> Mapping[str, Array]:
        self._looked.add(("figure", f"{prefix}.*"))
        return {name: value for name, value in self._figures.items() if name.startswith(prefix + ".")}


def looks_the_same(look: Look, was: Draws, now: Draws) -> bool:
    """Whether something an estimate looked at is to the bit what it was.

    A file's content may have changed under the same name, so a named file never is.
    """
    kind, path = look
    one, other = InputView(was), InputView(now)
    match kind:
        case "number":
            if path not in was.boat.inputs or path not in now.boat.inputs:
                return path not in was.boat.inputs and path not in now.boat.inputs
            try:
                first, second = one.number(path, 0.0), other.number(path, 0.0)
            except Exception:  # a default's function is a plugin's code: let the estimate tell
                return False
            return first is second or np.array_equal(first, second)
        case "value":
            first, second = one.value(path), other.value(path)
            return bool(first == second) and not (path.endswith(".file") and second)
        case "has":
            return one.has(path) == other.has(path)
        case "given":
            return one.given(path) == other.given(path)
        case "items":
            return one.items(path) == other.items(path)
    return True
