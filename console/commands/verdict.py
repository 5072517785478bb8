"""Did the repair help?"""

from __future__ import annotations

from pathlib import Path

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


@cli.command(short_help="Did the repair help? The log before and after it, weighed.")
@scenario_argument
@click.option(
    "--log", "log_file", type=click.Path(path_type=Path),
    help="A CSV file of readings (at,reading,value,unit,note) instead of the boat's logbook.",
)  # fmt: skip
@click.option(
    "--repair", "wished", default="", metavar="NAME", help="Which repair; the last one without it."
)
@sets_option
@units_option
@json_option
def verdict(
    scenario: Path,
    log_file: Path | None,
    wished: str,
    sets: tuple[str, ...],
    units: str | None,
    as_json: bool,
) -> None:
    """Weigh the log of SCENARIO before and after a repair.

    The same model that foretells the weather's part is run along the logged days, once as if nothing
    had changed and once as if the repair had changed something.
    """
    boat = boat_at(scenario, sets)
    system = system_of_run(boat, units)
    prepared(boat)
    from console.inference.repair_told import verdict_json, verdict_text
    from console.inference.repairs import judge
    from console.logbook import LogError, log_of, read_csv

    try:
        log = read_csv(log_file, boat) if log_file is not None else log_of(boat)
        made = judge(boat, log, wished, system=system)
    except (LogError, ValueError) as error:
        fail(str(error))
    if as_json:
        print_json(verdict_json(boat, made, system))
    else:
        click.echo(verdict_text(boat, made, system))
