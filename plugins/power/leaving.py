"""Leaving the boat, casting off, and one thing more on the bank: estimates without a loop of state.

Arrays broadcast (draws, steps).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from console.properties.air import relative_humidity
from plugins.power import bank, consumers
from plugins.power.paths import WAYS, input_power, path_of, way_of
from plugins.power.tables import FULL_ENOUGH

Array = NDArray[np.float64]
Figures = Mapping[str, Array]

DAYS = 14
"""How many days of the same weather the bank is followed for; longer is said as that much."""

EVENING = 18 * 3600.0
"""The time of the evening before casting off from which there is time, s of the day."""


def _capacity(run: Run) -> Array:
    return run.number("power.bank.capacity") * run.number("power.bank.health")


def _floor(run: Run) -> Array:
    return 1.0 - run.number("power.bank.usable_share")


def on_the_bank(run: Run) -> Figures:
    """Leaving, casting off and one thing more: what each asks of the bank."""
    return {**_away(run), **_casting_off(run), **_ask(run)}


def _away(run: Run) -> dict[str, Array]:
    """How long the bank carries the ice box and what stays on, once shore power has stopped.

    The day's own load and sun over and over from the hour it stops, the state bounded above by full
    (`bank.lasting_steps`); amps by Peukert's law; lead's slow last tenth is not followed, so that with
    panels the time errs long by less than a day.
    """
    volts = consumers.working_voltage(run)
    running, share = consumers.ice_box_power(run)
    stays = consumers.always_on_power(run) * run.number("power.away.always_on")
    load = (running * share + stays) / volts
    sun = run.figure("power.solar_amp_hours_per_day")
    full = _capacity(run)
    net = sun - load
    exponent = run.number("power.bank.peukert")
    flow = np.where(
        net > 0,
        net * run.number("power.bank.charge_efficiency"),
        -bank.peukert_current(-net, full, exponent),
    )
    flow = np.broadcast_to(flow, (run.draws, run.steps))
    began = run.hours - run.step_seconds / 7200
    stops = run.number("power.away.stops_at")[0, 0] / 3600
    first = int(np.argmin((began - stops + 1e-9) % 24.0))
    flow = np.roll(flow, -first, axis=-1)
    most = DAYS * 86_400 / run.step_seconds
    steps = bank.lasting_steps(
        flow * run.step_seconds / full, run.number("power.away.state"), _floor(run), most
    )
    seconds = steps * run.step_seconds
    return {"power.away_bank_time": seconds, "power.away_covered": seconds / run.number("power.away.days")}


def away_food(run: Run) -> Figures:
    """How long after shore power stops the ice box passes the food line: the bank's time, then its own."""
    warms = run.figure("cold_box.hours_to_food_line").min(axis=-1, keepdims=True)
    return {"power.away_food_time": run.figure("power.away_bank_time") + np.maximum(warms, 0.0)}


def away_air(run: Run) -> Figures:
    """Relative humidity of the shut cabin with the air conditioner off, 0..1.

    A plain estimate, no balance: the cabin lies at the day's mean outdoors and a little warmer, and its air
    is as wet as outdoors and a little wetter (`power.away.warmth`, `.moisture`).
    """
    outdoors = run.figure("weather.outdoor_temperature").mean(axis=-1, keepdims=True)
    wet = run.figure("weather.outdoor_humidity_ratio").mean(axis=-1, keepdims=True)
    warm = outdoors + run.number("power.away.warmth")
    share = relative_humidity(warm, wet + run.number("power.away.moisture"))
    return {"power.away_humidity": np.clip(share, 0.0, 1.0)}


def _casting_off(run: Run) -> dict[str, Array]:
    """How long the charger takes to fill the bank before casting off, and the water heater's hours."""
    spare = np.maximum(run.number("power.charger.current") - _idle_amps(run), 0.5)
    into = spare * run.number("power.bank.charge_efficiency")
    chemistry = consumers.bank_chemistry(run)
    fill = bank.fill_seconds(
        run.number("power.anchor.state_now"), FULL_ENOUGH, into, _capacity(run), chemistry
    )
    fill = np.minimum(fill, DAYS * 86_400.0)
    there = np.mod(run.number("power.anchor.leave_at") - EVENING - 1.0, 86_400.0) + 1.0
    return {
        "power.fill_time": fill,
        "power.fill_spare": there - fill,
        "power.anchor_lead": np.maximum(fill, run.number("power.anchor.pull_down")),
    }


def _idle_amps(run: Run) -> Array:
    """Mean amps of the charger that ice box and always-on take meanwhile."""
    running, share = consumers.ice_box_power(run)
    watts = np.mean(running * share, axis=-1, keepdims=True) + consumers.always_on_power(run)
    return np.asarray(watts / consumers.working_voltage(run))


def _ask(run: Run) -> dict[str, Array]:
    """One thing more on the bank tonight: what it takes, what is left at dawn, and what the sun puts back.

    Its amps flow beside the night's mean, and cost by Peukert's law what the sum costs more.
    """
    volts = consumers.working_voltage(run)
    way = run.text("power.ask.path", "inverter")
    watts, full = run.number("power.ask.power"), _capacity(run)
    into = input_power(watts, path_of(run, way, idle=not _left_on(run)))
    amps, seconds = into / volts, run.number("power.ask.hours")
    exponent = run.number("power.bank.peukert")
    mean = run.figure("power.dc_amp_hours_per_day").mean(axis=-1, keepdims=True)
    with_it = bank.peukert_current(mean + amps, full, exponent)
    without = bank.peukert_current(mean, full, exponent)
    spare = (run.figure("power.dawn_state_of_charge") - _floor(run)) * full
    taken = (with_it - without) * seconds
    day = run.steps * run.step_seconds / 86_400
    back = run.figure("power.solar_amp_hours_per_day").sum(axis=-1, keepdims=True) * run.step_seconds / day
    use = mean * 86_400.0 + amps * seconds
    given = run.number("power.ask.start", 0.0) / volts if run.has("power.ask.start") else amps
    figures = {
        "power.ask_charge": taken,
        "power.ask_dawn": np.clip(run.figure("power.dawn_state_of_charge") - taken / full, 0.0, 1.0),
        "power.ask_hours": np.clip(spare / np.maximum(with_it - without, 1e-9), 0.0, 86_400.0),
        "power.ask_peak": run.figure("power.bank_peak").max(axis=-1, keepdims=True)
        + np.maximum(amps, given),
        "power.ask_inverter": _on_inverter(run, way, watts),
        "power.ask_recovery": back * run.number("power.bank.charge_efficiency") / np.maximum(use, 1e-9),
    }
    return figures


def _left_on(run: Run) -> bool:
    return run.has("power.inverter") and bool(run.value("power.inverter.left_on", True))


def _on_inverter(run: Run, way: str, watts: Array) -> Array:
    """The most the inverter must give with it, W."""
    mine = input_power(watts, path_of(run, way, idle=False)[1:]) if way.startswith("inverter") else 0.0
    start = run.number("power.ask.start", 0.0) if way.startswith("inverter") else 0.0
    return np.asarray(
        run.figure("power.inverter_power").max(axis=-1, keepdims=True) + np.maximum(mine, start)
    )


def by_path(run: Run) -> Figures:
    """What the same thing costs the bank by every path, and how long a thing charged at constant current
    takes at 12 and at 24 V.

    For what is behind its own plug-in charger, or takes a stated energy: the amp-hours a day of its hours,
    or the charge of one filling. At 24 V the same amps are twice the power, so half the time; its
    energy is the same, and the stage's idle draw is paid for half as long.
    """
    figures: dict[str, Array] = {}
    volts = consumers.working_voltage(run)
    for path in run.items("power.load"):
        if run.text(f"{path}.where", "shore") != "bank":
            continue
        key = consumers.load_key(path)
        charged = run.has(f"{path}.energy") and run.has(f"{path}.current")
        if charged:
            energy, amps = run.number(f"{path}.energy"), run.number(f"{path}.current")
            for nominal in (12.0, 24.0):
                watts = np.maximum(amps * nominal, 1e-9)
                seconds = energy / watts
                into = input_power(watts, path_of(run, "regulated_12")) * seconds
                figures[f"power.charge_time.{key}_{nominal:.0f}"] = seconds
                figures[f"power.charge_amp_hours.{key}_{nominal:.0f}"] = into / volts
                if run.has("power.shore"):
                    post = into / run.number("power.charger.efficiency")
                    figures[f"power.charge_from_shore.{key}_{nominal:.0f}"] = post
        elif way_of(run, path) == "inverter_charger" or run.text(f"{path}.lamp", "no") != "no":
            load = consumers.timed(run, path)
            for way in WAYS:
                into = input_power(load.power, path_of(run, way))
                figures[f"power.by_path.{key}_{way}"] = into * load.share / volts
    return figures
