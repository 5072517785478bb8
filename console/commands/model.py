"""Opening the console, and running the model without it."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from console.commands.base import (
    boat_at,
    cli,
    draws_option,
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


@cli.command("open", short_help="Open the console.")
@click.argument("scenario", type=click.Path(path_type=Path), required=False)
def open_console(scenario: Path | None) -> None:
    """Open the console on SCENARIO, or on the bundled boat."""
    if not sys.stdout.isatty() or not sys.stdin.isatty():
        fail("the console needs a terminal; without one use: boat-console estimate SCENARIO")
    from console.tui import run_console

    if scenario is not None and not scenario.exists():
        fail(f"{shown(scenario)}: there is no such command or file")
    said = run_console(scenario)
    if said:
        click.echo(said)


@cli.command(short_help="Run the model; print the answers and the figures.")
@scenario_argument
@sets_option
@draws_option
@click.option("--hourly", is_flag=True, help="Also print every hour.")
@units_option
@json_option
def estimate(
    scenario: Path, sets: tuple[str, ...], draws: int, hourly: bool, units: str | None, as_json: bool
) -> None:
    """Run the model on SCENARIO and print the answers and the figures."""
    boat = boat_at(scenario, sets)
    system = system_of_run(boat, units)
    prepared(boat)
    from console.engine import estimate as run

    outcome = run(boat, draws, system, hourly=hourly)
    from console import results

    if as_json:
        print_json(results.outcome_json(outcome, system, hourly))
    else:
        click.echo(results.outcome_text(outcome, system, hourly))


@cli.command(short_help="What if: each figure before, after, and the change.")
@scenario_argument
@sets_option
@click.option("--against", type=click.Path(path_type=Path), help="Compare with this boat file instead.")
@draws_option
@units_option
@json_option
def compare(
    scenario: Path,
    sets: tuple[str, ...],
    against: Path | None,
    draws: int,
    units: str | None,
    as_json: bool,
) -> None:
    """Compare SCENARIO, with the changes of --set, against itself without them (or OTHER).

    Both run on the same draws, so the range is that of the change alone.
    """
    if not sets and against is None:
        fail('compare needs a change: --set PATH="VALUE UNIT", or --against another boat file')
    after = boat_at(scenario, sets)
    before = boat_at(against, ()) if against else boat_at(scenario, ())
    system = system_of_run(after, units)
    prepared(before)
    prepared(after)
    from console import results
    from console.engine import compare as run

    made = run(before, after, draws)
    if as_json:
        print_json(results.comparison_json(made, before, after, system))
    else:
        click.echo(results.comparison_text(made, before, after, system))
