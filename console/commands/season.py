"""The season ahead."""

from __future__ import annotations

from pathlib import Path

import click

from console.commands.base import (
    boat_at,
    cli,
    json_option,
    prepared,
    print_json,
    scenario_argument,
    sets_option,
    system_of_run,
    units_option,
)


@cli.command(short_help="The days ahead: what grows, what is due, what that does.")
@scenario_argument
@click.option("--days", type=click.IntRange(1, 366), default=30, show_default=True, help="How far ahead.")
@click.option("--upkeep", is_flag=True, help="As if each thing were done whenever it is due.")
@click.option(
    "--draws", type=click.IntRange(0, 1024), default=128, show_default=True,
    help="How many draws of the uncertain inputs.",
)  # fmt: skip
@sets_option
@units_option
@json_option
def ahead(
    scenario: Path, days: int, upkeep: bool, draws: int, sets: tuple[str, ...], units: str | None,
    as_json: bool,
) -> None:  # fmt: skip
    """Step SCENARIO ahead day by day while its strainer shuts and its plate frosts."""
    boat = boat_at(scenario, sets)
    system = system_of_run(boat, units)
    prepared(boat)
    from console.engine.ahead import ahead as run
    from console.season import season_json, season_text

    made = run(boat, days, draws, upkeep=upkeep)
    if as_json:
        print_json(season_json(boat, made, system))
    else:
        click.echo(season_text(boat, made, system))
