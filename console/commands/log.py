"""The logbook from the command line."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from console.commands.base import (
    boat_at,
    cli,
    fail,
    json_option,
    print_json,
    scenario_argument,
    sets_taken,
    shown,
    system_of_run,
    units_option,
    units_taken,
)

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.logbook import Entry, Logbook

DATES = click.Choice(["day-first", "month-first", "year-first"])
DECIMAL = click.Choice(["comma", "point"])
_why = click.option("--why", default="", help="Why, to be kept with it.")


@cli.group("log", short_help="The logbook: add, list, correct, import, export, a paper sheet.")
def log() -> None:
    """The logbook of a boat: SCENARIO.log.sqlite beside its file.

    Enter late, in any order, with gaps. Nothing is ever deleted: a correction keeps the old value.
    """


def _command(name: str, short: str) -> Callable[[Any], Any]:
    """A command of the group on a boat, with the options every command takes."""

    def made(function: Any) -> Any:
        for each in (json_option, units_taken, sets_taken, scenario_argument):
            function = each(function)
        return log.command(name, short_help=short)(function)

    return made


def _book_of(boat: Boat) -> Logbook:
    from console.logbook import beside, open

    assert boat.path is not None
    return open(beside(boat.path))


@contextmanager
def _said(file: str = "") -> Iterator[None]:
    """What the logbook refuses, as bad input; with the file it stands in."""
    from console.logbook import LogError

    try:
        yield
    except LogError as error:
        text = str(error)
        joint = ", " if text.startswith("line ") else ": "
        nothing = " Nothing was written." if text.endswith("?") else "; nothing was written"
        fail(f"{shown(file)}{joint}{text}{nothing}" if file else text)


@_command("add", "Write readings and events.")
@click.argument("what", nargs=-1, metavar='NAME="VALUE UNIT" ...')
@click.option("--reading", "readings", multiple=True, metavar='NAME="VALUE UNIT"', help="The same, named.")
@click.option("--event", "events", multiple=True, metavar="NAME[=VALUE]", help="Something that happened.")
@click.option("--at", default="now", help="A date or time; also: yesterday 18:30. Now without it.")
@click.option("--note", default="", help="A few words kept with it.")
def add(
    scenario: Path, what: tuple[str, ...], readings: tuple[str, ...], events: tuple[str, ...], at: str,
    note: str, as_json: bool,
) -> None:  # fmt: skip
    """Write readings and events of one moment: fill_time="47 s" defrosted contents="12 cans in"."""
    given = (*what, *readings, *events)
    if not given:
        fail('log add needs a reading or an event: NAME="VALUE UNIT", or NAME for an event')
    boat = boat_at(scenario, ())
    from console.logbook.catalogue import catalogue_of
    from console.logbook.telling import entry_json, entry_text, still_to_come
    from console.logbook.times import moment_of, zone_of

    catalogue = catalogue_of(boat.registry)
    with _said():
        when = moment_of(at, zone_of(boat))
        entries = []
        for each in given:
            name, _, value = each.partition("=")
            entries.append(catalogue.entry(name.strip(), value.strip().strip('"'), "", when, note))
        with _book_of(boat) as book:
            taken = book.add(entries)
    warnings = still_to_come(taken.added)
    if as_json:
        print_json({"logbook": str(book.path), "added": [entry_json(e) for e in taken.added],
                    "known": [entry_json(e) for e in taken.known], "warnings": warnings})  # fmt: skip
        return
    for entry in taken.added:
        click.echo(f"Written, entry {entry.id}: {entry_text(entry, catalogue)}")
    said = {entry.key for entry in entries}
    for entry in taken.known:
        stands = _as_it_stands(entry, entry.key in said)
        click.echo(f"Not doubled, {stands}: {entry_text(entry, catalogue)}")
    for warning in warnings:
        click.echo(f"Worth a look: {warning}")


def _as_it_stands(entry: Entry, same: bool) -> str:
    if entry.void:
        return f"entry {entry.id} said that and is void (log void --undo brings it back)"
    if not same:
        return f"entry {entry.id} said that and was corrected"
    return f"entry {entry.id} says that already"


@_command("list", "What is in the logbook.")
@click.option("--reading", "names", multiple=True, help="This reading or event alone.")
@click.option("--since", default="", help="From this date or time on.")
@click.option("--until", default="", help="Before this date or time.")
@click.option("--all", "everything", is_flag=True, help="Also what is void, and what stood before.")
def list_entries(
    scenario: Path, names: tuple[str, ...], since: str, until: str, everything: bool, as_json: bool
) -> None:
    """List readings and events by time."""
    boat = boat_at(scenario, ())
    from console.logbook.catalogue import catalogue_of
    from console.logbook.telling import entry_json, entry_text

    catalogue = catalogue_of(boat.registry)
    with _said(), _book_of(boat) as book:
        entries = _within(boat, book.entries(void=everything), names, since, until)
        history = {
            entry.id: book.history(entry.id)[:-1] for entry in entries if everything and entry.revision > 1
        }
    if as_json:
        rows = []
        for entry in entries:
            before = [entry_json(old) for old in history.get(entry.id, ())]
            rows.append({**entry_json(entry), **({"before": before} if everything else {})})
        print_json({"logbook": str(book.path), "entries": rows})
        return
    if not entries:
        click.echo("Nothing is logged there yet." if names or since or until else "The logbook is empty.")
    for entry in entries:
        click.echo(f"{entry.id:>5}  {entry_text(entry, catalogue)}{'  [void]' if entry.void else ''}")
        for old in history.get(entry.id, ()):
            why = f"  [{shown(entry.why)}]" if entry.why else ""
            click.echo(f"       was {entry_text(old, catalogue)}{'  [void]' if old.void else ''}{why}")


def _within(
    boat: Boat, entries: tuple[Entry, ...], names: tuple[str, ...], since: str, until: str
) -> list[Entry]:
    from console.logbook.catalogue import catalogue_of
    from console.logbook.times import day_begins, zone_of

    logged = {entry.reading for entry in entries}  # also those of a plugin that is not loaded now
    wanted = {name if name in logged else catalogue_of(boat.registry).word(name).name for name in names}
    first, last = (day_begins(edge, zone_of(boat)) if edge else None for edge in (since, until))
    return [
        entry for entry in entries
        if (not wanted or entry.reading in wanted)
        and (first is None or entry.at >= first) and (last is None or entry.at < last)
    ]  # fmt: skip


@_command("correct", "Correct an entry; the old value is kept.")
@click.argument("number", type=int)
@click.option("--value", default=None, help='The right value with its unit, such as "48 s".')
@click.option("--at", default=None, help="The right date or time.")
@click.option("--note", default=None, help="The right note.")
@_why
def correct(
    scenario: Path, number: int, value: str | None, at: str | None, note: str | None, why: str,
    as_json: bool,
) -> None:  # fmt: skip
    """Correct entry NUMBER (as log list numbers it)."""
    if value is None and at is None and note is None:
        fail("log correct needs what is right: --value, --at or --note")
    boat = boat_at(scenario, ())
    from console.logbook.catalogue import catalogue_of, clean
    from console.logbook.editing import corrected
    from console.logbook.times import zone_of

    catalogue, zone = catalogue_of(boat.registry), zone_of(boat)
    with _said(), _book_of(boat) as book:
        made = book.correct(
            number, lambda now: corrected(now, catalogue, zone, value=value, at=at, note=note), clean(why)
        )
    _tell_one(boat, book, made, "Corrected", as_json)


@_command("void", "Let an entry count for nothing; it is kept.")
@click.argument("number", type=int)
@click.option("--undo", is_flag=True, help="Let it count again.")
@_why
def void(scenario: Path, number: int, undo: bool, why: str, as_json: bool) -> None:
    """Make entry NUMBER void, or with --undo let it count again."""
    boat = boat_at(scenario, ())
    from console.logbook.catalogue import clean

    with _said(), _book_of(boat) as book:
        made = book.void(number, clean(why), undo)
    _tell_one(boat, book, made, "Void" if made.void else "Counts again", as_json)


def _tell_one(boat: Boat, book: Logbook, entry: Entry, done: str, as_json: bool) -> None:
    from console.logbook.catalogue import catalogue_of
    from console.logbook.telling import entry_json, entry_text

    if as_json:
        print_json({"logbook": str(book.path), "entry": entry_json(entry)})
    else:
        click.echo(f"{done}, entry {entry.id}: {entry_text(entry, catalogue_of(boat.registry))}")


@_command("map", "Say once which column of a spreadsheet or logger is what.")
@click.argument("name", required=False)
@click.option("--at", default="", help="The column with the date, or the date and time.")
@click.option("--time", default="", help="The column with the time, when it is apart.")
@click.option(
    "--column", "columns", multiple=True, metavar='"COLUMN=READING UNIT"', help="A column of readings."
)
@click.option("--note", default="", help="The column with notes.")
@click.option("--dates", type=DATES, default=None, help="How its dates are written.")
@click.option("--decimal", type=DECIMAL, default=None, help="Its decimal sign.")
@click.option("--zone", default="", help="The logger's clock: America/New_York, or -05:00.")
def map_columns(
    scenario: Path, name: str | None, at: str, time: str, columns: tuple[str, ...], note: str,
    dates: str | None, decimal: str | None, zone: str, as_json: bool,
) -> None:  # fmt: skip
    """Keep a mapping under NAME in the logbook; log import uses it. Without NAME, list them."""
    boat = boat_at(scenario, ())
    from dataclasses import asdict

    from console.logbook.catalogue import catalogue_of
    from console.logbook.mapping import HowToRead, mapping_of, mappings_of

    with _said(), _book_of(boat) as book:
        if name is not None:
            if not at:
                fail("log map needs the column of the dates: --at COLUMN")
            how = HowToRead(dates or "", decimal or "", zone)
            made = mapping_of(name, at, columns, catalogue_of(boat.registry), time, note, how)
            book.keep_mapping(name, made.to_json())
        kept = mappings_of(book.mappings())
    if as_json:
        print_json({"logbook": str(book.path), "mappings": [asdict(each) for each in kept]})
        return
    for each in kept if name is None else [each for each in kept if each.name == name]:
        click.echo(
            f"{each.name}: {shown(each.at)}{' and ' + shown(each.time) if each.time else ''} is when"
        )
        for column in each.columns:
            click.echo(f"  {shown(column.heading)} is {column.reading} {shown(column.unit)}".rstrip())
    if not kept:
        click.echo("No mapping is kept yet.")


@_command("import", "Read a CSV file into the logbook.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--map", "wanted", default="", help="The mapping to use; without it the one that fits.")
@click.option("--dates", type=DATES, default=None, help="How its dates are written, when they do not tell.")
@click.option("--decimal", type=DECIMAL, default=None, help="Its decimal sign, when it does not tell.")
@click.option("--zone", default="", help="The clock its times are of, when it is not the boat's.")
def import_csv(
    scenario: Path,
    file: Path,
    wanted: str,
    dates: str | None,
    decimal: str | None,
    zone: str,
    as_json: bool,
) -> None:
    """Read FILE: at,reading,value,unit,note, or columns as log map has them. All of it or nothing."""
    boat = boat_at(scenario, ())
    from console.logbook.importing import import_file
    from console.logbook.mapping import HowToRead
    from console.logbook.telling import still_to_come

    with _said(file.name), _book_of(boat) as book:
        done = import_file(book, file, boat, HowToRead(dates or "", decimal or "", zone), wanted)
    warnings = [*done.warnings, *still_to_come(done.added)[:1]]
    if as_json:
        print_json({"logbook": str(book.path), "file": str(file), "form": done.form, "mapping": done.mapping,
                    "added": len(done.added), "known": len(done.known_lines),
                    "known_lines": list(done.known_lines), "gaps": done.gaps, "warnings": warnings})  # fmt: skip
        return
    click.echo(done.said())
    for warning in warnings:
        click.echo(f"Worth a look: {warning}")


@_command("export", "Write the logbook as CSV.")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), default=None, help="The file; else the screen."
)
@click.option("--replace", is_flag=True, help="Replace the file when it is there.")
@click.option("--reading", "names", multiple=True, help="This reading or event alone.")
@click.option("--since", default="", help="From this date or time on.")
@click.option("--until", default="", help="Before this date or time.")
def export(
    scenario: Path, output: Path | None, replace: bool, names: tuple[str, ...], since: str, until: str,
    as_json: bool,
) -> None:  # fmt: skip
    """Write what counts as at,reading,value,unit,note; log import reads it back the same."""
    boat = boat_at(scenario, ())
    from console.logbook.importing import to_csv
    from console.logbook.telling import entry_json

    with _said(), _book_of(boat) as book:
        entries = _within(boat, book.entries(), names, since, until)
    text = to_csv(entries)
    if output is not None or not as_json:
        _write(text, output, replace)
    if as_json:
        rows = [entry_json(entry) for entry in entries]
        print_json({"logbook": str(book.path), "file": str(output) if output else None, "csv": text,
                    "entries": rows})  # fmt: skip
    elif output is not None:
        click.echo(
            f"{len(entries)} {'entry' if len(entries) == 1 else 'entries'} written to {shown(output)}."
        )


@log.command("sheet", short_help="Print a one-page paper log sheet per system.")
@scenario_argument
@click.option("--system", "system_key", default="", help="One system alone, such as cold_box.")
@click.option("--html", "as_html", is_flag=True, help="As HTML, to print from a browser.")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), default=None, help="The file; else the screen."
)
@click.option("--replace", is_flag=True, help="Replace the file when it is there.")
@sets_taken
@units_option
@json_option
def sheet(
    scenario: Path, system_key: str, as_html: bool, output: Path | None, replace: bool, units: str | None,
    as_json: bool,
) -> None:  # fmt: skip
    """Print a page for a pencil: what to read, in which unit, and what may have happened."""
    boat = boat_at(scenario, ())
    from dataclasses import asdict

    from console.logbook.sheet import sheet_html, sheet_of, sheet_text, systems

    with _said():
        keys = [system_key] if system_key else list(systems(boat))
        sheets = [sheet_of(boat, key, system_of_run(boat, units)) for key in keys]
    as_html = as_html or (output is not None and output.suffix.lower() in (".html", ".htm"))
    text = sheet_html(sheets) if as_html else "\n".join(sheet_text(each) for each in sheets)
    if as_json:
        if output is not None:
            _write(text, output, replace)
        print_json({"sheets": [asdict(each) for each in sheets]})
        return
    _write(text, output, replace)
    if output is not None:
        click.echo(f"{len(sheets)} {'page' if len(sheets) == 1 else 'pages'} written to {shown(output)}.")


def _write(text: str, output: Path | None, replace: bool) -> None:
    """To the screen, or to a file: all of it or nothing, and no file is replaced unasked."""
    if output is None:
        stream = sys.stdout.buffer
        stream.write(text.encode("utf-8"))
        stream.flush()
        return
    from console.logbook.writing import ThereAlready, write_file

    with _said():
        try:
            write_file(text, output, replace)
        except ThereAlready as error:
            fail(f"{error}; --replace replaces it")
