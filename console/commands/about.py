"""What the console knows of a boat file, of the format, and of its plugins."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from console.commands.base import (
    boat_at,
    cli,
    json_option,
    print_json,
    scenario_argument,
    sets_option,
    sets_taken,
    shown,
    units_taken,
)


@cli.command(short_help="Validate a boat file.")
@scenario_argument
@sets_option
@units_taken
@json_option
def check(scenario: Path, sets: tuple[str, ...], as_json: bool) -> None:
    """Read SCENARIO and say whether it is sound, and what is unusual in it."""
    boat = boat_at(scenario, sets)
    given = sum(1 for entry in boat.inputs.values() if entry.origin != "assumed")
    unwell = [*boat.registry.failures, *boat.unwell]
    if as_json:
        from console.results import unwell_json

        print_json({"scenario": boat.name, "ok": True, "given": given, "inputs": len(boat.inputs),
                     "warnings": list(boat.warnings), "unwell": unwell_json(tuple(unwell))})  # fmt: skip
        return
    click.echo(f"{shown(scenario)} is sound: {given} inputs given, {len(boat.inputs) - given} assumed.")
    for warning in boat.warnings:
        click.echo(f"Warning: {shown(warning, 400)}")
    for failure in unwell:
        click.echo(f"Not working: {failure.plugin}, {failure.stage}: {failure.error}")


@cli.command(short_help="JSON Schema of the boat file, for editors.")
@sets_taken
@units_taken
@json_option
def schema(as_json: bool) -> None:
    """Print the JSON Schema of the boat file over all loaded plugins."""
    from console.boatfile import json_schema
    from console.registry import discover

    print_json(json_schema(discover()))


@cli.command(short_help="What is loaded, from where, and its health.")
@sets_taken
@units_taken
@json_option
def plugins(as_json: bool) -> None:
    """List the installed plugins, what each contributes, and whether it works."""
    from console.registry import discover
    from console.results import unwell_json

    registry = discover()
    rows: list[dict[str, Any]] = []
    for plugin in registry.plugins:
        counts = {
            kind: sum(1 for owner, _ in getattr(registry, kind) if owner == plugin.name)
            for kind in ("sections", "estimates", "readings", "changes", "questions")
        }
        troubles = [f"{u.stage}: {u.error}" for u in registry.failures if u.plugin == plugin.name]
        state = "left out" if plugin.left_out else ("not working" if troubles else "well")
        rows.append({"name": plugin.name, "module": plugin.module, "distribution": plugin.distribution,
                     "version": plugin.version, "state": state, "gives": counts, "troubles": troubles})  # fmt: skip
    if as_json:
        print_json({"plugins": rows, "unwell": unwell_json(tuple(registry.failures))})
        return
    for row in rows:
        click.echo(
            f"{row['name']}: {row['state']}, from {row['distribution']} {row['version']} ({row['module']})"
        )
        counted = ", ".join(
            f"{n} {kind.removesuffix('s') if n == 1 else kind}" for kind, n in row["gives"].items() if n
        )
        if counted:
            click.echo(f"  {counted}")
        for trouble in row["troubles"]:
            click.echo(f"  {trouble}")
    names = {row["name"] for row in rows}
    for failure in registry.failures:
        if failure.plugin not in names:
            click.echo(f"{failure.plugin}: {failure.error}")
