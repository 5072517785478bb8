"""The command line, thin: every answer of the console without a terminal.

Only click and the standard library are imported here, so that opening the console paints at
once; each command imports what it runs.
"""

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
                _fail(
                    f"there is no command or file {_shown(first)}; commands are {', '.join(self.commands)}"
                )
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
        ctx.invoke(open_console, scenario=None)


_scenario = click.argument("scenario", type=click.Path(path_type=Path))
_json = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
_units = click.option(
    "--units",
    type=click.Choice(["us", "si"]),
    default=None,
    help="Units to show; the file's own without it.",
)
_sets = click.option(
    "--set", "sets", multiple=True, metavar='PATH="VALUE UNIT"', help="Change an input for this run."
)
_taken = click.option(
    "--set", "_sets", multiple=True, metavar='PATH="VALUE UNIT"', expose_value=False,
    help="Taken by every command; no boat is read here.",
)  # fmt: skip
_units_taken = click.option(
    "--units", type=click.Choice(["us", "si"]), expose_value=False,
    help="Taken by every command; no number is shown here.",
)  # fmt: skip
_draws = click.option(
    "--draws", type=click.IntRange(0, MOST_DRAWS), default=DRAWS, show_default=True,
    help="How many draws of the uncertain inputs; 0 runs the nominal boat alone.",
)  # fmt: skip


@cli.command("open", short_help="Open the console.")
@click.argument("scenario", type=click.Path(path_type=Path), required=False)
def open_console(scenario: Path | None) -> None:
    """Open the console on SCENARIO, or on the bundled boat."""
    if not sys.stdout.isatty() or not sys.stdin.isatty():
        _fail("the console needs a terminal; without one use: boat-console estimate SCENARIO")
    from console.tui import run_console

    if scenario is not None and not scenario.exists():
        _fail(f"{_shown(scenario)}: there is no such command or file")
    said = run_console(scenario)
    if said:
        click.echo(said)


@cli.command(short_help="Run the model; print the answers and the figures.")
@_scenario
@_sets
@_draws
@click.option("--hourly", is_flag=True, help="Also print every hour.")
@_units
@_json
def estimate(
    scenario: Path, sets: tuple[str, ...], draws: int, hourly: bool, units: str | None, as_json: bool
) -> None:
    """Run the model on SCENARIO and print the answers and the figures."""
    boat = _boat(scenario, sets)
    system = _system(boat, units)
    _prepare(boat)
    from console.engine import estimate as run

    outcome = run(boat, draws, system, hourly=hourly)
    from console import results

    if as_json:
        _print_json(results.outcome_json(outcome, system, hourly))
    else:
        click.echo(results.outcome_text(outcome, system, hourly))


@cli.command(short_help="What if: each figure before, after, and the change.")
@_scenario
@_sets
@click.option("--against", type=click.Path(path_type=Path), help="Compare with this boat file instead.")
@_draws
@_units
@_json
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
        _fail('compare needs a change: --set PATH="VALUE UNIT", or --against another boat file')
    after = _boat(scenario, sets)
    before = _boat(against, ()) if against else _boat(scenario, ())
    system = _system(after, units)
    _prepare(before)
    _prepare(after)
    from console import results
    from console.engine import compare as run

    made = run(before, after, draws)
    if as_json:
        _print_json(results.comparison_json(made, before, after, system))
    else:
        click.echo(results.comparison_text(made, before, after, system))


@cli.command(short_help="Validate a boat file.")
@_scenario
@_sets
@_units_taken
@_json
def check(scenario: Path, sets: tuple[str, ...], as_json: bool) -> None:
    """Read SCENARIO and say whether it is sound, and what is unusual in it."""
    boat = _boat(scenario, sets)
    given = sum(1 for entry in boat.inputs.values() if entry.origin != "assumed")
    unwell = [*boat.registry.failures, *boat.unwell]
    if as_json:
        from console.results import unwell_json

        _print_json({"scenario": boat.name, "ok": True, "given": given, "inputs": len(boat.inputs),
                     "warnings": list(boat.warnings), "unwell": unwell_json(tuple(unwell))})  # fmt: skip
        return
    click.echo(f"{_shown(scenario)} is sound: {given} inputs given, {len(boat.inputs) - given} assumed.")
    for warning in boat.warnings:
        click.echo(f"Warning: {_shown(warning, 400)}")
    for failure in unwell:
        click.echo(f"Not working: {failure.plugin}, {failure.stage}: {failure.error}")


@cli.command(short_help="JSON Schema of the boat file, for editors.")
@_taken
@_units_taken
@_json
def schema(as_json: bool) -> None:
    """Print the JSON Schema of the boat file over all loaded plugins."""
    from console.boatfile import json_schema
    from console.registry import discover

    _print_json(json_schema(discover()))


@cli.command(short_help="What is loaded, from where, and its health.")
@_taken
@_units_taken
@_json
def plugins(as_json: bool) -> None:
    """List the installed plugins, what each contributes, and whether it works."""
    from console.registry import discover
    from console.results import unwell_json

    registry = discover()
    rows: list[dict[str, Any]] = []
    for plugin in registry.plugins:
        counts = {
            kind: sum(1 for owner, _ in getattr(registry, kind) if owner == plugin.name)
            for kind in ("sections", "estimates", "readings", "changes", "questions")
        }
        troubles = [f"{u.stage}: {u.error}" for u in registry.failures if u.plugin == plugin.name]
        state = "left out" if plugin.left_out else ("not working" if troubles else "well")
        rows.append({"name": plugin.name, "module": plugin.module, "distribution": plugin.distribution,
                     "version": plugin.version, "state": state, "gives": counts, "troubles": troubles})  # fmt: skip
    if as_json:
        _print_json({"plugins": rows, "unwell": unwell_json(tuple(registry.failures))})
        return
    for row in rows:
        click.echo(
            f"{row['name']}: {row['state']}, from {row['distribution']} {row['version']} ({row['module']})"
        )
        counted = ", ".join(
            f"{n} {kind.removesuffix('s') if n == 1 else kind}" for kind, n in row["gives"].items() if n
        )
        if counted:
            click.echo(f"  {counted}")
        for trouble in row["troubles"]:
            click.echo(f"  {trouble}")
    names = {row["name"] for row in rows}
    for failure in registry.failures:
        if failure.plugin not in names:
            click.echo(f"{failure.plugin}: {failure.error}")


# --- helpers --------------------------------------------------------------------------------


def _shown(text: object, limit: int = 80) -> str:
    from console.guard import one_line

    return one_line(text, limit)


def _fail(sentence: str) -> NoReturn:
    raise click.ClickException(sentence)


def _boat(path: Path, sets: tuple[str, ...]) -> Boat:
    from console.boatfile import BoatFileError, load
    from console.registry import discover

    try:
        boat = load(path, discover())
        for change in sets:
            name, equals, value = change.partition("=")
            if not equals or not name.strip():
                _fail(f'--set: given is "{_shown(change, 40)}"; accepted is PATH="VALUE UNIT"')
            boat = _with(boat, name.strip(), value.strip().strip('"'))
        named = boat.inputs.get("weather.file")
        if named is not None and named.value:
            _check_weather_file(boat)
    except BoatFileError as error:
        _fail(str(error))
    return boat


def _with(boat: Boat, name: str, value: str) -> Boat:
    from console.boatfile import BoatFileError

    try:
        return boat.with_edit(name, value)
    except BoatFileError as error:  # the slip is in what was typed, not on a line of the file
        _fail(f"--set {_shown(name, 120)}: {error.sentence}")


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


def _system(boat: Boat, units: str | None) -> System:
    from console.results import system_of

    return system_of(boat) if units is None else ("us" if units == "us" else "si")


def _prepare(boat: Boat) -> None:
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


def _print_json(made: Any) -> None:
    import json

    click.echo(json.dumps(made, ensure_ascii=False, indent=1, allow_nan=False))


def _guarded_main(run: Callable[[], Any]) -> int:
    try:
        run()
    except click.exceptions.Exit as stop:
        return stop.exit_code
    except click.ClickException as error:
        text = _shown(error.format_message(), 600)
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
    sys.exit(_guarded_main(lambda: cli(standalone_mode=False)))


if __name__ == "__main__":
    main()
