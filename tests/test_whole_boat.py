"""The whole boat through the real plugins: no dead input, what must be monotone, bad files."""

import re
from functools import cache
from pathlib import Path

import numpy as np
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.boatfile import BoatFileError, load, loads
from console.contract import Urgency
from console.engine import compare, estimate, run_day
from console.registry import discover

FOLDER = Path(__file__).resolve().parent.parent / "scenarios"
HUMID_COAST = Path(pvlib.__file__).parent / "data" / "12839.tm2"
"""The typical year of a humid coast that pvlib ships: TMY2, NSRDB station 12839."""

BOATS = ["marram", "glasswort", "samphire", "five-facts"]


@cache
def registry():
    return discover({})


@cache
def boat(name):
    return load(FOLDER / f"{name}.toml", registry())


@cache
def everything():
    """The berthed boat with what only the anchored one has, so that every table is aboard."""
    made = boat("marram")
    for path, text in [
        ("power.solar.peak_power", "200 W"), ("power.bank.capacity", "300 A*h"), ("raw_water.fill_time", "60 s"),
    ]:  # fmt: skip
        made = made.with_edit(path, text)
    return made


@cache
def variants():
    """The boat as it is and with each of the choices that give other inputs their part."""
    made = [everything()]
    for edits in (
        [
            ("cold_box.drain", "open"),
            ("cold_box.opening", "door"),
            ("cold_box.seal.missing_share", "10 %"),
            ("power.bank.chemistry", "lead"),
        ],
        [("cold_box.compressor.control", "variable"), ("cold_box.compressor.cooled_by", "water")],
        [("cold_box.compressor.control", "fixed"), ("weather.file", str(HUMID_COAST))],
        [("climate.supply_frequency", "50 Hz")],
        [("power.bank.capacity", "60 A*h")],  # asked for more than its 20-hour rate: Peukert speaks
        [("raw_water.line.strainer.blocked", "99 %"), ("site.seawater_temperature", "95 F")],
        [("raw_water.line.pump_to_unit.dip", "8 in")],
    ):
        other = everything()
        for path, text in edits:
            other = other.with_edit(path, text)
        made.append(other)
    made.append(boat("glasswort"))  # no air conditioner: the ice box reckons its own cabin
    return made


def values(made):
    """Every figure, hour by hour, of the nominal run."""
    return run_day(made).figures


NO_FIGURE = {
    # input: why no figure of the day moves with it
}


def moved(made, path):
    """The same boat with one quantity moved well inside its limits, by two different amounts."""
    entry = made.inputs[path]
    low, high = entry.hard
    value = float(run_day(made).draws.number(path)[0, 0])
    span = min(high - low, 4 * abs(value) if value else 1e9)
    style = {"temperature": "K", "wire": "mm**2"}.get(entry.style)
    for share in (0.35, -0.35, 0.1, 1.0, -0.05):
        target = value + share * (span if np.isfinite(span) else max(abs(value), 1.0))
        target = min(max(target, low + 1e-3 * (high - low)), high - 1e-3 * (high - low))
        if abs(target - value) < 1e-9 * max(abs(value), 1.0):
            continue
        yield made.with_edit(path, text_of(target, entry.style, style))


def text_of(value, style, unit=None):
    from console.quantities import convert, shown_unit

    if unit == "K":
        return f"{value!r} kelvin"
    if unit == "mm**2":
        return f"{value * 1e6!r} mm**2"
    return f"{float(convert(value, style, 'si'))!r} {shown_unit(style, 'si')}".strip()


def quantity_paths():
    return sorted(path for path, entry in everything().inputs.items() if entry.kind == "quantity")


@pytest.mark.parametrize("path", quantity_paths())
def test_every_numeric_input_moves_a_figure(path):
    if path in NO_FIGURE:
        pytest.skip(NO_FIGURE[path])
    for made in variants():
        if path not in made.inputs:
            continue
        before = values(made)
        for other in moved(made, path):
            after = values(other)
            for name in before:
                if name in after and not np.array_equal(before[name], after[name], equal_nan=True):
                    return
    pytest.fail(f"no figure moves with {path}")


def figure(made, name):
    return run_day(made).daily(name)[0]


@pytest.mark.parametrize(
    ("path", "rising", "name", "sign"),
    [
        (
            "raw_water.line.seacock_to_strainer.open_width",
            ["10 %", "30 %", "60 %", "100 %"],
            "raw_water.flow",
            1,
        ),
        ("raw_water.line.strainer.blocked", ["0 %", "40 %", "80 %", "95 %"], "raw_water.flow", -1),
        ("raw_water.line.overboard.height", ["0 in", "8 in", "3 ft", "6 ft"], "raw_water.flow", -1),
        ("weather.high", ["82 F", "88 F", "94 F", "100 F"], "climate.cooling_load", 1),
        ("weather.dew_point", ["60 F", "68 F", "74 F", "77 F"], "climate.cooling_load", 1),
        ("site.seawater_temperature", ["65 F", "75 F", "85 F", "92 F"], "climate.unit_capacity", -1),
        ("site.seawater_temperature", ["65 F", "75 F", "85 F", "92 F"], "climate.unit_current", 1),
        ("climate.set_point", ["70 F", "74 F", "78 F"], "climate.cooling_load", -1),
        ("cold_box.seal.gap", ["0.1 mm", "0.5 mm", "1 mm", "3 mm"], "cold_box.frost_rate", 1),
        ("cold_box.seal.failing_share", ["0 %", "20 %", "60 %", "100 %"], "cold_box.frost_rate", 1),
        ("cold_box.insulation", ["2 in", "3 in", "5 in"], "cold_box.amp_hours_per_day", -1),
    ],
)
def test_a_figure_goes_only_one_way_with_an_input(path, rising, name, sign):
    made = [figure(boat("marram").with_edit(path, text), name) for text in rising]
    steps = sign * np.diff(made)
    assert np.all(steps >= -1e-9 * np.abs(made[0])), made
    assert steps.sum() > 0, made


def test_little_water_raises_the_amps_and_takes_the_capacity():
    free = boat("marram").with_edit("raw_water.line.strainer.blocked", "0 %")
    clogged = boat("marram").with_edit("raw_water.line.strainer.blocked", "97 %")
    assert figure(clogged, "climate.unit_capacity") < figure(free, "climate.unit_capacity")
    assert figure(clogged, "climate.unit_current") > figure(free, "climate.unit_current")


def test_a_slower_dock_slows_the_pump_and_the_unit():
    slow = boat("marram").with_edit("power.shore.frequency", "50 Hz")
    for name in ("raw_water.flow", "climate.unit_capacity"):
        assert figure(slow, name) < figure(boat("marram"), name)


@pytest.mark.parametrize("name", [name for name in BOATS if "raw_water" not in boat(name).absent])
def test_the_losses_of_the_line_sum_to_the_head_of_the_pump(name):
    ran = run_day(boat(name), 64)
    losses = sum(array for key, array in ran.figures.items() if key.startswith("raw_water.loss."))
    assert losses == pytest.approx(ran.figures["raw_water.pump_head"], rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("name", BOATS)
def test_the_heat_paths_of_the_box_sum_to_its_total(name):
    ran = run_day(boat(name), 64)
    if "cold_box.heat_total" not in ran.figures:
        pytest.skip("no ice box aboard")
    parts = sum(array for key, array in ran.figures.items() if key.startswith("cold_box.heat."))
    assert parts == pytest.approx(ran.figures["cold_box.heat_total"], rel=1e-6)


@pytest.mark.parametrize("day", [None, "2026-01-15", "2026-04-15", "2026-07-26", "2026-10-15"])
def test_a_boat_runs_through_a_real_hourly_record_of_a_humid_coast(day):
    made = boat("marram").with_edit("weather.file", str(HUMID_COAST))
    made = made.with_edit("weather.date", day) if day else made
    ran = run_day(made, 32)
    assert ran.unwell == []
    assert ran.warnings == []
    outdoor = ran.figures["weather.outdoor_temperature"][0]
    load = ran.figures["climate.cooling_load"][0]
    assert 273 < outdoor.min() < outdoor.max() < 311
    if day != "2026-01-15":
        assert load.max() > 500


def test_summer_of_the_real_record_loads_the_cabin_more_than_spring():
    def load(day):
        made = boat("marram").with_edit("weather.file", str(HUMID_COAST)).with_edit("weather.date", day)
        return figure(made, "climate.cooling_load")

    assert load("2026-07-26") > load("2026-03-10")


@pytest.mark.parametrize("name", BOATS)
def test_every_draw_of_every_figure_is_finite(name):
    ran = run_day(boat(name), 256)
    assert ran.unwell == []
    assert ran.warnings == []


@pytest.mark.parametrize("name", BOATS)
def test_the_same_file_gives_the_same_answer(name):
    first, second = (estimate(load(FOLDER / f"{name}.toml", registry()), 64, "us") for _ in range(2))
    assert first.figures == second.figures
    assert [c.answer.verdict for c in first.cards] == [c.answer.verdict for c in second.cards]


@pytest.mark.parametrize("name", BOATS)
def test_the_nominal_run_is_the_first_row_of_the_run_over_draws(name):
    alone, rows = run_day(boat(name)), run_day(boat(name), 32)
    for key, array in alone.figures.items():
        assert array[0] == pytest.approx(rows.figures[key][0], rel=2e-3, abs=1e-6), key


def test_a_comparison_of_a_boat_with_itself_is_nothing():
    made = compare(boat("marram"), boat("marram"), 32)
    assert all((d.change, d.low, d.high) == (0, 0, 0) for d in made.differences)


def test_a_change_of_units_alone_changes_no_answer():
    made = boat("marram").with_edit("site.seawater_temperature", "84 F ± 3 F")
    other = boat("marram").with_edit(
        "site.seawater_temperature", "28.888888888888889 degC ± 1.6666666666666667 degC"
    )
    for a, b in zip(compare(made, other, 32).differences, compare(made, made, 32).differences, strict=True):
        assert a.after == pytest.approx(b.after, rel=1e-6), a.name


def test_every_input_that_moves_by_itself_is_there_and_its_rate_is_of_its_unit():
    states = registry().states
    assert {owner for owner, _ in states} >= {"raw_water", "cold_box"}
    ran = run_day(boat("marram"))
    for _, state in states:
        style = boat("marram").inputs[state.path].style
        rate = ran.meanings[state.rate].unit
        assert rate == {"share": "1/s", "short_length": "m/s"}[style]


# --- bad files ------------------------------------------------------------------------------

WRONG = [
    "5",
    "5 parsnips",
    "-1e9 m",
    "1e300 s",
    "",
    "much",
    "5 F ± 400 %",
    "1/0 in",
    "± 3",
    "[x] [/",
    "9" * 200,
]


def broken():
    """(file text, the field) of every quantity of a real boat, given every wrong way."""
    text = (FOLDER / "marram.toml").read_text(encoding="utf-8")
    fields = list(re.finditer(r'^(\w+) = "([-\d][^"]*)"', text, re.M))
    for index, field in enumerate(fields):
        wrong = WRONG[index % len(WRONG)]
        yield text[: field.start(2)] + wrong + text[field.end(2) :], field[1]
        yield text[: field.start(1)] + f"{field[1]}_x" + text[field.end(1) :], field[1]
        yield (
            text[: field.start(2) - 1]
            + ["5", "true", "[1]", "{ a = 1 }"][index % 4]
            + text[field.end(2) + 1 :],
            field[1],
        )
        yield text[: field.end(2)] + text[field.end(2) + 1 :], ""


BROKEN = list(broken())


@pytest.mark.parametrize(("text", "field"), BROKEN, ids=range(len(BROKEN)))
def test_a_real_boat_broken_anywhere_gives_one_sentence_naming_the_place(text, field):
    with pytest.raises(BoatFileError) as caught:
        loads(text, registry())
    said = str(caught.value)
    assert said.isprintable()
    assert re.match(r"line \d+: ", said)
    assert field in said


def test_there_are_a_hundred_kinds_of_broken_file():
    assert len(BROKEN) >= 100


PIECES = ["", "0", "9", "-", "%", '"', "=", "[", "]", "\n", " F", "±", "1e9", "x", "\x1b"]


def mutated(name, data):
    """The text of a bundled boat with a few characters changed."""
    text = (FOLDER / f"{name}.toml").read_text(encoding="utf-8")
    for _ in range(data.draw(st.integers(1, 5))):
        place = data.draw(st.integers(0, len(text) - 1))
        piece = data.draw(st.sampled_from(PIECES))
        text = text[:place] + piece + text[place + data.draw(st.integers(0, 3)) :]
    return text


def runs_or_is_refused(text):
    """Whether a boat file's text gives answers, or one printable sentence."""
    try:
        made = loads(text, registry())
    except BoatFileError as error:
        return str(error).isprintable()
    outcome = estimate(made)
    return bool(outcome.cards) and all(card.answer.verdict for card in outcome.cards)


@settings(max_examples=150)
@given(st.sampled_from(BOATS), st.data())
def test_a_mutated_boat_runs_or_is_refused_but_never_breaks(name, data):
    assert runs_or_is_refused(mutated(name, data))


def test_names_with_markup_and_control_characters_reach_the_answers_as_text():
    text = '[boat]\nname = "x [kW] [/ \\u001b[31m"\n[power.shore]\n[[power.load]]\nname = "k [b] \\u0007"\npower = "1 kW"\nhours = ["06:00-07:00"]\n'
    outcome = estimate(loads(text, registry()))
    assert not outcome.unwell


def left_out(*names):
    chosen = ",".join(sorted({"climate", "cold_box", "power", "raw_water"} - set(names)))
    boat = load(FOLDER / "marram.toml", discover({"BOAT_CONSOLE_PLUGINS": chosen}))
    return {card.question.key: card.answer for card in estimate(boat, 64).cards}


def test_what_is_aboard_but_not_loaded_does_not_pass_for_not_aboard():
    """A bank that carries an ice box nobody counts is not fine."""
    answers = left_out("cold_box")
    anchor = answers["power.anchor"]
    assert anchor.verdict.startswith("Without numbers for cold box: ")
    assert anchor.urgency == Urgency.UNKNOWN
    assert anchor.sure is None
    assert "cold box" in anchor.reasons[0].text
    assert not answers["raw_water.flow"].verdict.startswith("Without")


def test_with_every_plugin_loaded_no_answer_lacks_numbers():
    assert not any(answer.verdict.startswith("Without numbers") for answer in left_out().values())


@pytest.mark.parametrize("name", ["marram", "samphire", "five-facts"])
def test_no_input_is_said_to_sharpen_what_it_has_no_part_in(name):
    """Of a hundred and more columns one likens any figure by chance; the flow knows no galley."""
    for card in estimate(boat(name), 256).cards:
        if card.question.key == "raw_water.flow":
            assert card.drivers
            assert not [
                d.path for d in card.drivers if d.path.split(".")[0] in ("power", "cold_box", "weather")
            ]
