"""The answers as one page to keep, print or send."""

from __future__ import annotations

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


@cli.command(short_help="Write the answers as one HTML page, to read, print or send.")
@scenario_argument
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), required=True, metavar="FILE.html",
    help="Where the page goes; a page written before is replaced, any other file is not.",
)  # fmt: skip
@sets_option
@draws_option
@units_option
@json_option
def report(
    scenario: Path, output: Path, sets: tuple[str, ...], draws: int, units: str | None, as_json: bool
) -> None:
    """Run the model on SCENARIO and write the answers, with all they rest on, as one page.

    The page needs no network and prints on paper.
    """
    from console.report import ReportError, report_html, write_report
    from console.report.writing import check_target

    boat = boat_at(scenario, sets)
    try:
        check_target(output)
    except ReportError as error:
        fail(str(error))
    system = system_of_run(boat, units)
    prepared(boat)
    from datetime import date

    from console.engine import estimate
    from console.engine.gains import weigh

    outcome = estimate(boat, draws, system)
    weighed = weigh(boat, pairs=False) if draws else None
    try:
        write_report(output, report_html(outcome, system, date.today(), weighed, sets))
    except ReportError as error:
        fail(str(error))
    if as_json:
        worst = outcome.cards[0].answer.urgency.name.lower() if outcome.cards else None
        print_json({"scenario": boat.name, "file": str(output), "units": system, "worst": worst})
    else:
        click.echo(f"{shown(boat.name)}: the page is {shown(output)}.")
