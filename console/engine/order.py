"""The order of the estimates: by the figures they need and give, not by plugin."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from console.contract import Estimate, Given
from console.guard import Unwell


@dataclass(frozen=True, slots=True)
class Node:
    """An estimate with its owner."""

    owner: str
    estimate: Estimate

    @property
    def key(self) -> str:
        return self.estimate.key


@dataclass(frozen=True, slots=True)
class Plan:
    """Nodes in the order they run, who gives what, and what was refused."""

    nodes: tuple[Node, ...]
    givers: dict[str, tuple[Node, Given]]
    refused: tuple[Unwell, ...]

    def given(self, name: str) -> tuple[Node, Given] | None:
        """Who gives a figure, families included."""
        found = self.givers.get(name)
        if found:
            return found
        head, dot, _ = name.rpartition(".")
        return self.givers.get(f"{head}.*") if dot else None


def covers(family: str, name: str) -> bool:
    """Whether a given name (perhaps ``x.*``) is that of a figure."""
    return family == name or (family.endswith(".*") and name.startswith(family[:-1]))


def ancestors(planned: Plan, wanted: Collection[str], pinned: Collection[str] = ()) -> set[str]:
    """Keys of the estimates that ``wanted`` figures rest on; what is pinned needs nobody.

    The console's own estimates are always among them, as defaults may look at the weather.
    """
    keys = {node.key for node in planned.nodes if node.owner == "console"}
    asked = {name for name in wanted if name not in pinned}
    for node in reversed(planned.nodes):
        gives = [given.name for given in node.estimate.gives]
        if node.key in keys or any(_meets(name, given) for name in asked for given in gives):
            keys.add(node.key)
            asked.update(need.name for need in node.estimate.needs if need.name not in pinned)
    return keys


def _meets(need: str, given: str) -> bool:
    return covers(given, need) or covers(need, given)


def plan(estimates: Sequence[tuple[str, Estimate]], aboard: Callable[[str], bool]) -> Plan:
    """Order the estimates whose table is aboard.

    Refused, each with one sentence: a figure two estimates give, a need whose unit is not the
    giver's, and the members of a cycle. A need that nobody gives is left to its default.
    """
    refused: list[Unwell] = []
    nodes: list[Node] = []
    givers: dict[str, tuple[Node, Given]] = {}
    for owner, estimate in estimates:
        if estimate.about and not aboard(estimate.about):
            continue
        node = Node(owner, estimate)
        twice = next((g.name for g in estimate.gives if any(_meets(g.name, n) for n in givers)), None)
        if twice:
            other = next(givers[n][0] for n in givers if _meets(twice, n))
            refused.append(
                Unwell(owner, estimate.key, f"gives {twice}, which {other.key} of {other.owner} gives too")
            )
            continue
        nodes.append(node)
        givers.update({given.name: (node, given) for given in estimate.gives})

    def givers_of(need: str) -> list[tuple[Node, Given]]:
        return [pair for name, pair in givers.items() if _meets(need, name)]

    wrong: set[str] = set()
    for node in nodes:
        for need in node.estimate.needs:
            for giver, given in givers_of(need.name):
                if given.unit != need.unit and node.key not in wrong:
                    wrong.add(node.key)
                    refused.append(
                        Unwell(node.owner, node.key, f"needs {need.name} in {need.unit}, "
                               f"but {giver.owner} gives it in {given.unit}")
                    )  # fmt: skip
    if wrong:
        keep = [(n.owner, n.estimate) for n in nodes if n.key not in wrong]
        inner = plan(keep, aboard)
        return Plan(inner.nodes, inner.givers, (*refused, *inner.refused))

    ordered: list[Node] = []
    waiting = list(nodes)
    while waiting:
        done = {node.key for node in ordered}
        ready = [
            node for node in waiting
            if all(g.key in done for need in node.estimate.needs for g, _ in givers_of(need.name))
        ]  # fmt: skip
        if not ready:
            loop = _cycle(waiting, givers_of)
            names = " → ".join([*(node.key for node in loop), loop[0].key])
            refused.extend(Unwell(node.owner, node.key, f"is part of a cycle: {names}") for node in loop)
            broken = {node.key for node in loop}
            rest = [(n.owner, n.estimate) for n in nodes if n.key not in broken]
            inner = plan(rest, aboard)
            return Plan(inner.nodes, inner.givers, (*refused, *inner.refused))
        ordered.extend(ready)
        waiting = [node for node in waiting if node not in ready]
    return Plan(tuple(ordered), givers, tuple(refused))


def _cycle(waiting: list[Node], givers_of: Callable[[str], list[tuple[Node, Given]]]) -> list[Node]:
    """The members of one cycle among nodes of which none can start."""
    stuck = {node.key: node for node in waiting}
    walk: list[Node] = []
    node = waiting[0]
    while node not in walk:
        walk.append(node)
        node = next(
            stuck[giver.key]
            for need in node.estimate.needs
            for giver, _ in givers_of(need.name)
            if giver.key in stuck
        )
    return walk[walk.index(node) :]


def nobody_gives(need: str, plan_: Plan, installed: set[str], loaded: set[str]) -> str:
    """The sentence for a need without a giver and without a default."""
    plugin = need.split(".", 1)[0]
    if plugin in loaded:
        near = get_close_matches(need, plan_.givers, 1)
        hint = f" (did you mean {near[0]}?)" if near else ""
        return f"needs {need}, which {plugin} does not give here{hint}"
    if plugin in installed:
        return f"needs {need}; the plugin {plugin} is installed but not loaded"
    return f"needs {need}; the plugin {plugin} is not installed"
