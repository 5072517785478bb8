"""Find, load, guard and switch plugins. Only their wiring is imported here.

A plugin is an entry point in group ``boat_console.plugins``; the built-in ones are found just
so. ``BOAT_CONSOLE_PLUGINS=a,b`` chooses which to load. Each is loaded, and each of its hooks
called, under a guard: pluggy itself would stop at the first exception.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from importlib.metadata import EntryPoint, entry_points
from typing import Any

import pluggy

from console import contract
from console.contract import (
    Caution,
    Change,
    Estimate,
    Join,
    Question,
    Reading,
    Section,
    State,
)
from console.guard import GuardError, Unwell, guarded

OWN = "console"
"""The name under which the console's own sections and weather speak through the contract."""

OWN_PREFIXES = ("boat", "site", "weather", "jobs")
OWN_MODULE = "console.environment"
HOME = "boat-console"

_RECORDS: dict[str, tuple[type, ...]] = {
    "boat_sections": (Section,),
    "boat_estimates": (Estimate, State),
    "boat_readings": (Reading,),
    "boat_changes": (Change,),
    "boat_questions": (Question, Join),
    "boat_cautions": (Caution,),
}


@dataclass(frozen=True, slots=True)
class Plugin:
    """A plugin that is installed: where from, and whether it was loaded."""

    name: str
    module: str
    distribution: str
    version: str
    loaded: bool
    left_out: bool = False


@dataclass
class Registry:
    """What the loaded plugins contribute, each record with the name of its owner."""

    plugins: list[Plugin] = field(default_factory=list)
    sections: list[tuple[str, Section]] = field(default_factory=list)
    estimates: list[tuple[str, Estimate]] = field(default_factory=list)
    states: list[tuple[str, State]] = field(default_factory=list)
    readings: list[tuple[str, Reading]] = field(default_factory=list)
    changes: list[tuple[str, Change]] = field(default_factory=list)
    questions: list[tuple[str, Question]] = field(default_factory=list)
    joins: list[tuple[str, Join]] = field(default_factory=list)
    cautions: dict[str, Caution] = field(default_factory=dict)
    failures: list[Unwell] = field(default_factory=list)
    plans: dict[frozenset[str], Any] = field(default_factory=dict, repr=False, compare=False)

    def installed(self) -> set[str]:
        """Names of all installed plugins, loaded or not."""
        return {plugin.name for plugin in self.plugins}

    def loaded(self) -> set[str]:
        """Names of the plugins that were loaded."""
        return {plugin.name for plugin in self.plugins if plugin.loaded}


def discover(
    environ: Mapping[str, str] | None = None, found: Iterable[EntryPoint] | None = None
) -> Registry:
    """Load the wiring of every installed plugin (or those named in ``BOAT_CONSOLE_PLUGINS``)."""
    environ = os.environ if environ is None else environ
    chosen = environ.get("BOAT_CONSOLE_PLUGINS")
    wanted = None if chosen is None else {name.strip() for name in chosen.split(",") if name.strip()}
    registry = Registry()
    manager = pluggy.PluginManager(contract.PROJECT)
    manager.add_hookspecs(contract.Hooks)
    own = EntryPoint(OWN, OWN_MODULE, contract.ENTRY_POINT_GROUP)
    _take(registry, manager, own, OWN_PREFIXES)
    registry.plugins.clear()  # the console itself is no plugin
    seen: dict[str, str] = {}
    for entry in _in_order(entry_points(group=contract.ENTRY_POINT_GROUP) if found is None else found):
        home = entry.dist.name if entry.dist else ""
        if entry.name in seen or entry.name in (OWN, *OWN_PREFIXES):
            holder = seen.get(entry.name, HOME)
            if holder != home or entry.name in (OWN, *OWN_PREFIXES):
                registry.failures.append(
                    Unwell(entry.name, "name", f"{home or entry.value} also calls its plugin "
                           f"{entry.name}, which {holder} has; the second is not loaded")
                )  # fmt: skip
            continue
        seen[entry.name] = home
        version = entry.dist.version if entry.dist else ""
        left_out = wanted is not None and entry.name not in wanted
        loaded = not left_out and _take(registry, manager, entry, (entry.name,))
        registry.plugins.append(Plugin(entry.name, entry.value, home, version, loaded, left_out))
    for name in sorted((wanted or set()) - set(seen)):
        near = get_close_matches(name, seen, 1)
        hint = f"; did you mean {near[0]}?" if near else f"; installed are {', '.join(sorted(seen))}"
        registry.failures.append(
            Unwell(name, "find", f"BOAT_CONSOLE_PLUGINS names {name}, which is not installed{hint}")
        )
    return registry


def _in_order(found: Iterable[EntryPoint]) -> list[EntryPoint]:
    # Ours first, so that a stranger of the same name cannot take a built-in's place.
    return sorted(found, key=lambda e: ((e.dist.name if e.dist else "") != HOME, e.name, e.value))


def _take(
    registry: Registry, manager: pluggy.PluginManager, entry: EntryPoint, prefixes: tuple[str, ...]
) -> bool:
    name = entry.name
    try:
        module = guarded(name, "import", entry.load)
        guarded(name, "hooks", manager.register, module, name)
    except GuardError as failure:
        registry.failures.append(failure.unwell)
        return False
    for misspelt in _misspelt(module):
        near = get_close_matches(misspelt, contract.HOOK_NAMES, 1)
        hint = f"; did you mean {near[0]}?" if near else ""
        registry.failures.append(Unwell(name, "hooks", f"{misspelt} is no hook of the console{hint}"))
    for hook_name in contract.HOOK_NAMES:
        hook = getattr(manager.hook, hook_name)
        for implementation in hook.get_hookimpls():
            if implementation.plugin_name != name:
                continue
            try:
                call = implementation.function
                records = guarded(name, hook_name, _listed, call)
            except GuardError as failure:
                registry.failures.append(failure.unwell)
                continue
            for record in records:
                problem = _add(registry, name, prefixes, hook_name, record)
                if problem:
                    registry.failures.append(Unwell(name, hook_name, problem))
    return True


def _listed(hook: Callable[[], Iterable[Any] | None]) -> list[Any]:
    # A generator raises while it yields, not when it is called.
    return list(hook() or ())


def _misspelt(module: Any) -> list[str]:
    mark = f"{contract.PROJECT}_impl"
    return [
        key for key, value in vars(module).items()
        if callable(value) and hasattr(value, mark) and key not in contract.HOOK_NAMES
    ]  # fmt: skip


def _owned(name: str, prefixes: tuple[str, ...]) -> bool:
    return name.split(".", 1)[0] in prefixes and "." in name


def _add(registry: Registry, owner: str, prefixes: tuple[str, ...], hook_name: str, record: Any) -> str:
    """Put a record in its place; the sentence that refuses it, or nothing."""
    if not isinstance(record, _RECORDS[hook_name]):
        return f"{hook_name} yields a {type(record).__name__}, which is no record of that hook"
    match record:
        case Section():
            if record.key not in prefixes:
                return f"section {record.key} is not under the plugin's own name {prefixes[0]}"
            registry.sections.append((owner, record))
        case Estimate():
            for given in record.gives:
                if not _owned(given.name, prefixes):
                    return f"estimate {record.key} gives {given.name}, which is not under {prefixes[0]}"
            names = [given.name for given in record.gives]
            if len(set(names)) != len(names):
                return f"estimate {record.key} gives a figure twice"
            registry.estimates.append((owner, record))
        case State():
            if not (_owned(record.path, prefixes) and _owned(record.rate, prefixes)):
                return f"state {record.path} or its rate {record.rate} is not under {prefixes[0]}"
            registry.states.append((owner, record))
        case Reading():
            registry.readings.append((owner, record))
        case Change():
            registry.changes.append((owner, record))
        case Question():
            if not _owned(record.key, prefixes):
                return f"question {record.key} is not under the plugin's own name {prefixes[0]}"
            if any(record.key == other.key for _, other in registry.questions):
                return f"question {record.key} is there twice"
            registry.questions.append((owner, record))
        case Join():
            registry.joins.append((owner, record))
        case Caution():
            # The same hazard may be declared by several; the first text stands.
            registry.cautions.setdefault(record.key, record)
    return ""
