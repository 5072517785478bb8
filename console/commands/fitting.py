"""What the log says of the boat itself."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from console.commands.base import (
    boat_at,
    fail,
    json_option,
    prepared,
    print_json,
    scenario_argument,
    sets_option,
    shown,
    system_of_run,
    units_option,
)
from console.commands.log import log


@log.command("fit", short_help="What the log says of the boat itself; --write puts it into the boat file.")
@scenario_argument
@click.option(
    "--log", "log_file", type=click.Path(path_type=Path),
    help="A CSV file of readings instead of the boat's logbook.",
)  # fmt: skip
@click.option("--write", is_flag=True, help="Put what was found into the boat file.")
@sets_option
@units_option
@json_option
def fit(
    scenario: Path, log_file: Path | None, write: bool, sets: tuple[str, ...], units: str | None,
    as_json: bool,
) -> None:  # fmt: skip
    """Narrow the boat's own inputs by its logged readings: how fast its strainer shuts, say."""
    boat = boat_at(scenario, sets)
    system = system_of_run(boat, units)
    prepared(boat)
    from console.boatfile import BoatFileError, save
    from console.inference.fitting import fit_all
    from console.inference.repair_told import fitted_words
    from console.logbook import LogError, log_of

    try:
        made = fit_all(boat, log_of(boat, log_file))
    except (LogError, ValueError) as error:
        fail(str(error))
    rows: list[dict[str, Any]] = [
        {
            "input": each.path,
            "text": each.text(system),
            "before": list(each.before),
            "after": list(each.after),
        }
        for each in made.inputs
    ]
    if as_json:
        print_json({"scenario": boat.name, "inputs": rows, "readings": list(made.readings),
                    "left_out": list(made.left_out), "written": write})  # fmt: skip
    else:
        for line in fitted_words(made, system):
            click.echo(shown(line, 400))
    if not write or not made.inputs:
        return
    try:
        changed = boat_at(scenario, ())
        for each in made.inputs:
            changed = changed.with_edit(each.path, each.text(system))
        save(changed, scenario)
    except BoatFileError as error:
        fail(str(error))
    if not as_json:
        click.echo(f"Written to {shown(scenario)}.")
