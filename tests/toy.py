"""Small plugins made in the test itself, found as any installed one is."""

from __future__ import annotations

import itertools
import sys
import types
from collections.abc import Callable, Iterable
from typing import Any, Literal

import numpy as np

from console.contract import Answer, Estimate, Given, Need, Question, Reason, Section, Urgency, hookimpl
from console.fields import Quantity, Table, choice, quantity, table, tables, text
from console.registry import Registry, discover

_NUMBERS = itertools.count()


class FoundEntry:
    """What importlib.metadata would find for an installed plugin."""

    group = "boat_console.plugins"

    def __init__(self, name: str, load: Callable[[], Any], dist: str = "a-stranger") -> None:
        self.name, self.value, self._load = name, f"{name}_module", load
        self.dist = types.SimpleNamespace(name=dist, version="1.0")

    def load(self) -> Any:
        return self._load()


def module(**names: Any) -> types.ModuleType:
    """A module of its own holding the names, importable by records."""
    made = types.ModuleType(f"toy_{next(_NUMBERS)}")
    vars(made).update(names)
    sys.modules[made.__name__] = made
    return made


def plugin(name: str, *, home: str = "a-stranger", **hooks: Callable[[], Iterable[Any]]) -> FoundEntry:
    """An entry point whose module implements the given hooks."""
    made = module(**{hook: hookimpl(function) for hook, function in hooks.items()})
    return FoundEntry(name, lambda: made, home)


class Hose(Table):
    name: str = text("", help="What you call it.")
    part: Literal["hose", "pump"] = choice("hose", help="What it is.")
    bore: Quantity = quantity(
        "short_length",
        "20 mm ± 10 %",
        hard=("1 mm", "200 mm"),
        usual=("8 mm", "60 mm"),
        help="Inside width.",
    )


class Lamp(Table):
    power: Quantity = quantity("power", "10 W ± 20 %", hard=("0 W", "1000 W"), help="From its label.")


class Tank(Table):
    """The toy's own table."""

    volume: Quantity = quantity(
        "volume", "100 L ± 20 %", hard=("1 L", "5000 L"), usual=("20 L", "1000 L"), help="On its label."
    )
    full: Quantity = quantity("share", "50 % ± 20 %", hard=("0 %", "100 %"), help="By the gauge.")
    level: Quantity = quantity(
        "temperature", "20 degC ± 3 degC", hard=("-5 degC", "60 degC"), help="Feel it."
    )
    weight: Quantity = quantity(
        "mass", "± 10 %", compute="tests.toy:weight_of_volume", hard=("0 g", "9e9 g"), help="By sums."
    )
    seconds: Quantity = quantity("seconds", None, hard=("1 s", "1 h"), measured=True, help="Count.")
    colour: Literal["red", "blue"] = choice("red", help="Look.")
    hoses: list[Hose] = tables(help="In order.")
    lamp: Lamp | None = table(Lamp, when_absent="not_aboard", help="If there is one.")


def weight_of_volume(run: Any) -> Any:
    return run.number("tank.volume") * 1000.0


def content(run: Any) -> dict[str, Any]:
    return {"tank.content": run.number("tank.volume") * run.number("tank.full")}


def answer(found: Any) -> Answer:
    litres = found.say_range(found.daily("tank.content"), "volume")
    return Answer(f"There is {litres}.", Urgency.FINE, "tank.content", (Reason("the gauge", 1.0),))


def tank(**more: Callable[[], Iterable[Any]]) -> FoundEntry:
    """The well toy plugin: a tank."""
    hooks: dict[str, Callable[[], Iterable[Any]]] = {
        "boat_sections": lambda: [Section("tank", "tests.toy:Tank", "The tank")],
        "boat_estimates": lambda: [
            Estimate(
                "tank.content", "tests.toy:content", (), (Given("tank.content", "m**3", "What is in it"),)
            )
        ],
        "boat_questions": lambda: [
            Question("tank.much", "How much is left?", "tests.toy:answer", ("tank.content",))
        ],
    }
    return plugin("tank", **{**hooks, **more})


def estimate_of(
    key: str, gives: dict[str, str], function: Callable[[Any], Any], needs: Iterable[Need] = (), **more: Any
) -> Estimate:
    """An estimate whose function lives in a module of its own."""
    made = module(f=function)
    given = tuple(Given(name, unit, name) for name, unit in gives.items())
    return Estimate(key, f"{made.__name__}:f", tuple(needs), given, **more)


def registry(*entries: Any, environ: dict[str, str] | None = None) -> Registry:
    """A registry of just these plugins."""
    return discover(environ or {}, list(entries))


__all__ = ["np"]
