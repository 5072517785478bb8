"""What draws power, read from the inputs: each thing on shore, and each thing on the bank.

Power is real (W), apparent power is in VA, conductance in S; running values are (draws, steps) or
(draws, 1), and a mean is the running value times the share of the step in which it is on.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from plugins.power import loads
from plugins.power.bank import nominal_voltage
from plugins.power.paths import input_power, path_of, way_of
from plugins.power.tables import (
    APPLIANCE_CHARGER_EFFICIENCY,
    EFFICACY,
    INVERTER_IDLE,
    MEALS,
    NIGHT_START,
    NO_TANKS,
    NOMINAL_120,
    NOMINAL_230,
    POWER_FACTOR,
    SPLIT,
    TANKS,
    UNLISTED_SHARE,
    WORKING_VOLTS,
)

Array = NDArray[np.float64]

OWN_KEYS = ("air_conditioner", "ice_box", "charger", "galley", "always_on", "inverter_idle", "unlisted")
"""Keys of what is counted without being listed; a listed load of that name gets ``_load`` added."""


@dataclass(frozen=True)
class Timed:
    """A listed load: what it takes while on, its share of each step, and when it may be on."""

    key: str
    path: str
    power: Array
    share: Array
    on: Array


@dataclass(frozen=True)
class OnShore:
    """Something on shore power. ``legs`` are the parts of it on leg one and two."""

    key: str
    power: Array
    apparent: Array
    conductance: Array
    share: Array
    on: Array
    legs: tuple[float, float] = (1.0, 0.0)


@dataclass(frozen=True)
class OnBank:
    """Something on the bank: the watts it takes there, whether through the inverter, and whether its
    watts follow the volts' square (an element or a filament straight on the bank)."""

    key: str
    power: Array
    share: Array
    on: Array
    by_inverter: bool = False
    out: Array | float = 0.0
    element: bool = False


# --- the boat's voltages --------------------------------------------------------------------


def leg_voltage(run: Run) -> Array:
    """Volts of one leg at the post, (draws, 1): of 240 V over two legs, half."""
    volts = run.number("power.shore.voltage") * run.number("power.supply_share")
    both = run.number("power.shore.voltage") > SPLIT
    return np.where(both, volts / 2, volts) if two_legs(run) else volts


def two_legs(run: Run) -> bool:
    """Whether the inlet has two hot legs."""
    return run.text("power.shore.legs", "one") == "two"


def nominal_leg(run: Run) -> float:
    """120 or 230 V: what ratings of appliances on shore refer to."""
    if run.has("power.shore"):
        high = run.number("power.shore.voltage")[0, 0] > SPLIT and not two_legs(run)
        return NOMINAL_230 if high else NOMINAL_120
    return NOMINAL_230 if run.number("climate.voltage", NOMINAL_120)[0, 0] > SPLIT else NOMINAL_120


def spans_both_legs(run: Run) -> bool:
    """Whether the air conditioner's label asks for the volts of both legs."""
    return two_legs(run) and bool(run.number("climate.voltage", NOMINAL_120)[0, 0] > SPLIT)


def bank_nominal(run: Run) -> Array:
    """Nominal volts of the bank, (1, 1), 12 V when none is aboard: one number, whatever spread is stated."""
    return _nominal(float(run.number("power.bank.voltage", 12.0)[0, 0]))


@lru_cache(64)
def _nominal(stated: float) -> Array:
    made = nominal_voltage([[stated]])
    made.flags.writeable = False
    return made


def bank_chemistry(run: Run) -> str:
    """``lead`` or ``lithium``; lead when no bank is aboard."""
    return run.text("power.bank.chemistry", "lead")


def working_voltage(run: Run) -> Array:
    """Volts of the bank in the middle of its use: what its amp-hours are counted at."""
    return WORKING_VOLTS[bank_chemistry(run)] * bank_nominal(run) / 12.0


def working_volts_at(run: Run, nominal: Array | float) -> Array:
    """Volts at which amps of a ``nominal`` voltage are counted: the bank's working volts to scale."""
    return working_voltage(run) * nominal / bank_nominal(run)


def always_on_power(run: Run) -> Array:
    """Watts of what is always on, whose amps are counted at 12 V."""
    return run.number("power.always_on") * working_volts_at(run, 12.0)


# --- listed loads ---------------------------------------------------------------------------


def load_key(path: str) -> str:
    """The key of a listed load's figures: the last part of its path."""
    key = path.rsplit(".", 1)[-1]
    return f"{key}_load" if key in OWN_KEYS else key


def _volts_of(run: Run, path: str) -> Array | float:
    if _on_mains(run, path):
        both = two_legs(run) and run.text(f"{path}.leg", "one") == "both"
        return nominal_leg(run) * (2.0 if both else 1.0)
    fixed = {"regulated_12": 12.0, "regulated_24": 24.0}.get(run.text(f"{path}.path", "direct"))
    return bank_nominal(run) if fixed is None else fixed


def _on_mains(run: Run, path: str) -> bool:
    on_shore = run.text(f"{path}.where", "shore") == "shore"
    return on_shore or run.text(f"{path}.path", "direct").startswith("inverter")


def running_power(run: Run, path: str) -> Array:
    """Watts a listed load takes while it is on, (draws, 1)."""
    power = run.number(f"{path}.power") * _lamp_share(run, path)
    if not run.has(f"{path}.current") or (_on_mains(run, path) and run.given(f"{path}.power")):
        return power
    factor = POWER_FACTOR[run.text(f"{path}.kind", "electronics")] if _on_mains(run, path) else 1.0
    return run.number(f"{path}.current") * _volts_of(run, path) * factor * _lamp_share(run, path)


def _lamp_share(run: Run, path: str) -> float:
    """What LED of the same light take of a lamp's watts, when all lamps are counted as LED."""
    kind = run.text(f"{path}.lamp", "no")
    if kind == "no" or run.text("power.lamps", "as_listed") == "as_listed":
        return 1.0
    return EFFICACY[kind] / EFFICACY["led"]


def stores_heat(run: Run, path: str) -> bool:
    """Whether by its name a listed load heats a tank, which can be done hours before it is used."""
    name = run.text(f"{path}.name", "").lower().replace("-", " ")
    return any(word in name for word in TANKS) and not any(word in name for word in NO_TANKS)


def listed_hours(run: Run, path: str) -> tuple[loads.Interval, ...]:
    """Its hours as listed, or moved to the night."""
    spans = loads.clock_intervals(run.value(f"{path}.hours", []) or [])
    night = run.text(f"{path}.when", "as_listed") == "night" or (
        run.text("power.hot_water", "as_listed") == "night" and stores_heat(run, path)
    )
    return loads.begun_at(spans, NIGHT_START) if night else spans


def timed(run: Run, path: str) -> Timed:
    """A listed load with its hours worked out for the run's steps."""
    spans = listed_hours(run, path)
    power, often = running_power(run, path), run.number(f"{path}.share")
    covered, on = loads.timetable(spans, run.hours, run.step_seconds)
    share: Array = covered * often
    if run.has(f"{path}.energy"):
        need = run.number(f"{path}.energy") / np.maximum(power, 1e-9) / 3600
        share = loads.until_filled(share, spans, run.hours, run.step_seconds, need)
    return Timed(load_key(path), path, power, share, on)


def shore_loads(run: Run) -> list[OnShore]:
    """The listed loads that shore power carries: those on shore, and those of the inverter."""
    found: list[OnShore] = []
    nominal = nominal_leg(run)
    for path in run.items("power.load"):
        on_bank = run.text(f"{path}.where", "shore") == "bank"
        if on_bank and not way_of(run, path).startswith("inverter"):
            continue
        load, kind = timed(run, path), run.text(f"{path}.kind", "electronics")
        power, legs = load.power, _legs(run, path)
        if on_bank and way_of(run, path) == "inverter_charger":
            power = power / APPLIANCE_CHARGER_EFFICIENCY
        apparent = power / POWER_FACTOR[kind]
        if run.has(f"{path}.current"):
            apparent = run.number(f"{path}.current") * _volts_of(run, path) * _lamp_share(run, path)
        none = np.zeros_like(apparent)
        element = kind == "heater"
        found.append(
            OnShore(
                load.key,
                power,
                none if element else apparent,
                apparent / nominal**2 if element else none,
                load.share,
                load.on,
                legs,
            )
        )
    return found


def _legs(run: Run, path: str) -> tuple[float, float]:
    if not two_legs(run):
        return (1.0, 0.0)
    return {"one": (1.0, 0.0), "two": (0.0, 1.0), "both": (0.5, 0.5)}[run.text(f"{path}.leg", "one")]


def unlisted(run: Run) -> OnShore:
    """What may be on for minutes and is not listed."""
    power = run.number("power.unlisted_current") * nominal_leg(run)
    always = np.ones((run.steps, loads.SLOTS))
    share = np.full(run.steps, UNLISTED_SHARE)
    return OnShore("unlisted", power, power, np.zeros_like(power), share, always)


# --- the galley -----------------------------------------------------------------------------


def galley(run: Run) -> Timed:
    """The galley: its day's energy spread over the hours of meals, its running watts apart."""
    covered, on = loads.timetable(MEALS, run.hours, run.step_seconds)
    of_day = sum(end - start for start, end in MEALS) / 24.0
    mean = run.number("power.galley")
    power = np.maximum(run.number("power.galley_power"), mean / of_day)
    share = covered * mean / of_day / np.maximum(power, 1e-9)
    return Timed("galley", "power.galley", power, share, on)


# --- the bank's side ------------------------------------------------------------------------


def ice_box_power(run: Run) -> tuple[Array, Array]:
    """Watts of the ice box's compressor at the bank: while running, and its share of each step.

    Its amps are the bank's own where both are of one voltage; else a stage stands between.
    """
    volts = working_volts_at(run, run.number("cold_box.compressor.voltage", 12.0))
    mean = run.figure("cold_box.amp_hours_per_day") * volts
    running = np.maximum(run.figure("cold_box.compressor_current") * volts, mean)
    return running, np.divide(mean, running, out=np.zeros_like(running), where=running > 0)


def bank_loads(run: Run, at_dock: bool) -> list[OnBank]:
    """Everything that takes from the bank, watts at the bank.

    At the dock what hangs on the inverter is fed by shore power itself (`shore_loads`), so only the
    direct current is left.
    """
    always = np.ones((run.steps, loads.SLOTS))
    whole = np.ones(run.steps)
    running, often = ice_box_power(run)
    found = [
        OnBank("always_on", always_on_power(run), whole, always),
        OnBank("ice_box", running, often, always),
    ]
    inverted: list[Timed] = []
    for path in run.items("power.load"):
        if run.text(f"{path}.where", "shore") != "bank":
            continue
        load = timed(run, path)
        way = way_of(run, path)
        if way.startswith("inverter"):
            if not at_dock:
                inverted.append(load)
                found.append(_by_inverter(run, load, way))
            continue
        into = input_power(load.power, path_of(run, way))
        element = way == "direct" and is_element(run, path)
        found.append(OnBank(load.key, into, load.share, load.on, element=element))
    return found if at_dock else [*found, *_inverter(run, inverted)]


def is_element(run: Run, path: str) -> bool:
    """Whether its watts follow the square of its volts: an element, a filament."""
    old = run.text(f"{path}.lamp", "no") in ("filament", "halogen")
    return run.text(f"{path}.kind", "electronics") == "heater" or (
        old and run.text("power.lamps", "as_listed") == "as_listed"
    )


def _by_inverter(run: Run, load: Timed, way: str) -> OnBank:
    path = path_of(run, way, idle=False)
    return OnBank(
        load.key, input_power(load.power, path), load.share, load.on, by_inverter=True,
        out=input_power(load.power, path[1:]),
    )  # fmt: skip


def _inverter(run: Run, fed: list[Timed]) -> list[OnBank]:
    found: list[OnBank] = []
    aboard = run.has("power.inverter")
    if aboard and run.value("power.inverter.air_conditioner", False):
        spans = loads.clock_intervals(run.value("power.inverter.air_conditioner_hours", []) or [])
        out = run.figure("climate.unit_power")
        covered, on = loads.timetable(spans, run.hours, run.step_seconds)
        share = run.figure("climate.run_share") * covered
        into = input_power(out, path_of(run, "inverter", idle=False))
        found.append(OnBank("air_conditioner", into, share, on, by_inverter=True, out=out))
        fed = [*fed, Timed("air_conditioner", "", out, share, on)]
    idle = run.number("power.inverter.idle", INVERTER_IDLE)
    if aboard and run.value("power.inverter.left_on", True):
        found.append(OnBank("inverter_idle", idle, np.ones(run.steps), np.ones((run.steps, loads.SLOTS))))
    elif fed:
        on = np.max([load.on for load in fed], axis=0)
        found.append(OnBank("inverter_idle", idle, np.mean(on, axis=-1), on))
    return found
