"""What to do next."""

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


@cli.command(short_help="The boat's work list: what gives most for the time it takes, and what is due.")
@scenario_argument
@sets_option
@click.option(
    "--draws", type=click.IntRange(0, 1024), default=64, show_default=True,
    help="How many draws of the uncertain inputs each job is weighed on.",
)  # fmt: skip
@units_option
@json_option
def jobs(scenario: Path, sets: tuple[str, ...], draws: int, units: str | None, as_json: bool) -> None:
    """Weigh every action open to the owner of SCENARIO, over all plugins, and rank them."""
    boat = boat_at(scenario, sets)
    system = system_of_run(boat, units)
    prepared(boat)
    from console.jobs import work_list, work_list_json, work_list_text

    made = work_list(boat, system, draws)
    if as_json:
        print_json(work_list_json(boat, made, system))
    else:
        click.echo(work_list_text(boat, made, system))
