"""What all commands share: the group, the options, reading the boat, and failing in one sentence."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.quantities import System

BAD_INPUT = 2
DRAWS = 256
MOST_DRAWS = 16_384


class _Commands(click.Group):
    """A first word that is no command is a boat file to open."""

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        first = args[0] if args else ""
        if first and first not in self.commands and not first.startswith("-"):
            if "." not in first and "/" not in first and not Path(first).exists():
                fail(f"there is no command or file {shown(first)}; commands are {', '.join(self.commands)}")
            args = ["open", *args]
        return super().resolve_command(ctx, args)


@click.group(
    cls=_Commands, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]}
)
@click.version_option(package_name="boat-console", message="%(version)s")
@click.pass_context
def cli(ctx: click.Context) -> None:
    """What the air conditioner, ice box, raw water and power of a boat are doing.

    Without a command, opens the console on SCENARIO (a boat file), or on the bundled boat.
    """
    if ctx.invoked_subcommand is None:
        ctx.invoke(cli.commands["open"], scenario=None)


scenario_argument = click.argument("scenario", type=click.Path(path_type=Path))
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
units_option = click.option(
    "--units",
    type=click.Choice(["us", "si"]),
    default=None,
    help="Units to show; the file's own without it.",
)
sets_option = click.option(
    "--set", "sets", multiple=True, metavar='PATH="VALUE UNIT"', help="Change an input for this run."
)
sets_taken = click.option(
    "--set", "_sets", multiple=True, metavar='PATH="VALUE UNIT"', expose_value=False,
    help="Taken by every command; no boat is read here.",
)  # fmt: skip
units_taken = click.option(
    "--units", type=click.Choice(["us", "si"]), expose_value=False,
    help="Taken by every command; no number is shown here.",
)  # fmt: skip
draws_option = click.option(
    "--draws", type=click.IntRange(0, MOST_DRAWS), default=DRAWS, show_default=True,
    help="How many draws of the uncertain inputs; 0 runs the nominal boat alone.",
)  # fmt: skip


def shown(text: object, limit: int = 80) -> str:
    from console.guard import one_line

    return one_line(text, limit)


def fail(sentence: str) -> NoReturn:
    raise click.ClickException(sentence)


def boat_at(path: Path, sets: tuple[str, ...]) -> Boat:
    from console.boatfile import BoatFileError, load
    from console.registry import discover

    try:
        boat = load(path, discover())
        for change in sets:
            name, equals, value = change.partition("=")
            if not equals or not name.strip():
                fail(f'--set: given is "{shown(change, 40)}"; accepted is PATH="VALUE UNIT"')
            boat = _with(boat, name.strip(), value.strip().strip('"'))
        named = boat.inputs.get("weather.file")
        if named is not None and named.value:
            _check_weather_file(boat)
    except BoatFileError as error:
        fail(str(error))
    return boat


def _with(boat: Boat, name: str, value: str) -> Boat:
    from console.boatfile import BoatFileError

    try:
        return boat.with_edit(name, value)
    except BoatFileError as error:  # the slip is in what was typed, not on a line of the file
        fail(f"--set {shown(name, 120)}: {error.sentence}")


def _check_weather_file(boat: Boat) -> None:
    from console.boatfile import BoatFileError
    from console.engine.views import Draws, InputView
    from console.environment.building import weather_problem

    problem = weather_problem(InputView(Draws(boat, 0)))
    if problem:
        raise BoatFileError(
            problem, file=boat.path.name if boat.path else "",
            line=boat.inputs["weather.file"].line, path="weather.file",
        )  # fmt: skip


def system_of_run(boat: Boat, units: str | None) -> System:
    from console.results import system_of

    return system_of(boat) if units is None else ("us" if units == "us" else "si")


def prepared(boat: Boat) -> None:
    """Build what is missing of the stored tables, saying so on stderr."""
    from console.prepare import missing, prepare

    wanted = missing(boat)
    if wanted:

        def say(what: str, share: float) -> None:
            click.echo(
                f"\rFirst run, building tables: {what} ({round(100 * share)} %)   ", err=True, nl=False
            )

        prepare(boat, say if sys.stderr.isatty() else None)
        if sys.stderr.isatty():
            click.echo("", err=True)


def print_json(made: Any) -> None:
    import json
    import re

    text = json.dumps(made, ensure_ascii=False, indent=1, allow_nan=False)
    # JSON lets these stand; a terminal takes some of them for orders.
    click.echo(re.sub("[\x7f-\x9f\u2028\u2029]", lambda found: f"\\u{ord(found[0]):04x}", text))


def guarded_main(run: Callable[[], Any]) -> int:
    try:
        run()
    except click.exceptions.Exit as stop:
        return stop.exit_code
    except click.ClickException as error:
        text = shown(error.format_message(), 2000)
        click.echo(f"boat-console: {text}", err=True)
        return BAD_INPUT
    except (click.Abort, KeyboardInterrupt):
        click.echo("boat-console: stopped", err=True)
        return 130
    except BrokenPipeError:
        return 0
    except Exception as error:  # the last line: a sentence, never a traceback
        from console.guard import sentence_of, strict

        if strict():
            raise
        click.echo(f"boat-console: something went wrong inside ({sentence_of(error)}); "
                   "set BOAT_CONSOLE_STRICT=1 to see where", err=True)  # fmt: skip
        return 1
    return 0


def main() -> None:
    """The script's entry."""
    sys.exit(guarded_main(lambda: cli(standalone_mode=False)))
