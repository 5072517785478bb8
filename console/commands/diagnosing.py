"""Why something is not as it should be."""

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
    shown,
    system_of_run,
    units_option,
)


@cli.command(short_help="Causes from readings, and the reading to take next.")
@scenario_argument
@click.option(
    "--reading", "readings", multiple=True, metavar='NAME="VALUE UNIT"',
    help='A reading: fill_time="47 s", supply_air="61 F", strainer=half. Several, in any order.',
)  # fmt: skip
@click.option("--complaint", default="", help="What is wrong; without it, what the readings speak to.")
@click.option("--cannot", multiple=True, metavar="NAME", help="A reading you cannot take.")
@click.option("--note", is_flag=True, help="Print a note for a technician.")
@sets_option
@units_option
@json_option
def diagnose(
    scenario: Path, readings: tuple[str, ...], complaint: str, cannot: tuple[str, ...], note: bool,
    sets: tuple[str, ...], units: str | None, as_json: bool,
) -> None:  # fmt: skip
    """Weigh the causes of a complaint aboard SCENARIO by whatever readings there are.

    Without readings it says how likely each cause is beforehand, and what to look at first.
    """
    given = []
    for text in readings:
        name, equals, value = text.partition("=")
        if not equals or not name.strip():
            fail(f'--reading: given is "{shown(text, 40)}"; accepted is NAME="VALUE UNIT"')
        given.append((name, value))
    boat = boat_at(scenario, sets)
    system = system_of_run(boat, units)
    prepared(boat)
    from console.inference import Consultation, ReadingError

    try:
        consultation = Consultation(boat, complaint, given, cannot=cannot)
        found = consultation.settle()
    except ReadingError as error:
        fail(str(error))
    from console.inference import telling

    if note:
        click.echo(telling.note_text(consultation, found, system))
    elif as_json:
        print_json(telling.diagnosis_json(consultation, found, system))
    else:
        click.echo(telling.diagnosis_text(consultation, found, system))
