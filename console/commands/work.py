"""What to do next."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from console.commands.base import (
    boat_at,
    cli,
    fail,
    json_option,
    prepared,
    print_json,
    scenario_argument,
    sets_option,
    system_of_run,
    units_option,
)

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.quantities import System


@cli.command(short_help="The boat's work list: what gives most for the time it takes, and what is due.")
@scenario_argument
@click.argument("cause", required=False)
@sets_option
@click.option(
    "--draws", type=click.IntRange(0, 1024), default=64, show_default=True,
    help="How many draws of the uncertain inputs each job is weighed on.",
)  # fmt: skip
@click.option(
    "--by", type=click.Choice(["time", "money"]), default="time", show_default=True,
    help="Rank by the hour, or by the cost noted under [[jobs.job]] in the boat file.",
)  # fmt: skip
@units_option
@json_option
def jobs(
    scenario: Path, cause: str | None, sets: tuple[str, ...], draws: int, by: Literal["time", "money"],
    units: str | None, as_json: bool,
) -> None:  # fmt: skip
    """Weigh every action open to the owner of SCENARIO, over all plugins, and rank them.

    With CAUSE, its job sheet: parts, state of the boat, steps with their cautions, and the proof.
    """
    boat = boat_at(scenario, sets)
    system = system_of_run(boat, units)
    prepared(boat)
    if cause is not None:
        _sheet(boat, cause, system, as_json)
        return
    from console.jobs import work_list, work_list_json, work_list_text

    made = work_list(boat, system, draws, by=by)
    if as_json:
        print_json(work_list_json(boat, made, system))
    else:
        click.echo(work_list_text(boat, made, system, by))


def _sheet(boat: Boat, cause: str, system: System, as_json: bool) -> None:
    from console.inference import ReadingError
    from console.inference.job_sheet import job_sheet, sheet_json, sheet_text

    try:
        made = job_sheet(boat, cause, system)
    except ReadingError as error:
        fail(str(error))
    if as_json:
        print_json(sheet_json(made))
    else:
        click.echo(sheet_text(boat, made))
