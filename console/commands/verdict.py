"""Did the repair help?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

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


@cli.command(short_help="Did the repair help? The log before and after it, weighed.")
@scenario_argument
@click.option(
    "--log", "log_file", type=click.Path(path_type=Path),
    help="A CSV file of readings (at,reading,value,unit,note) instead of the boat's logbook.",
)  # fmt: skip
@click.option(
    "--repair", "wished", default="", metavar="NAME", help="Which repair; the last one without it."
)
@click.option(
    "--plan", is_flag=True, help="Before the repair: what to log, how long, and how sure that makes it."
)
@click.option(
    "--days", type=click.IntRange(1, 60), default=None, help="With --plan: so many days each side."
)
@sets_option
@units_option
@json_option
def verdict(
    scenario: Path,
    log_file: Path | None,
    wished: str,
    plan: bool,
    days: int | None,
    sets: tuple[str, ...],
    units: str | None,
    as_json: bool,
) -> None:
    """Weigh the log of SCENARIO before and after a repair.

    The same model that foretells the weather's part is run along the logged days, once as if nothing
    had changed and once as if the repair had changed something. With --plan, and before any repair, it
    says what to log.
    """
    if days is not None and not plan:
        fail("--days goes with --plan")
    boat = boat_at(scenario, sets)
    system = system_of_run(boat, units)
    prepared(boat)
    if plan:
        _plan(boat, wished, days, as_json)
        return
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


def _plan(boat: Boat, wished: str, days: int | None, as_json: bool) -> None:
    from console.inference.plan_told import plan_json, plan_text
    from console.inference.prescription import plan_log

    try:
        made = plan_log(boat, wished, days)
    except ValueError as error:
        fail(str(error))
    if as_json:
        print_json(plan_json(boat, made))
    else:
        click.echo(plan_text(boat, made))
