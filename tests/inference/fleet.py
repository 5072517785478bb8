"""Simulated boats with one known fault each, and what their owners read.

The simulator uses the forward model's equations and nothing else of the console: medians, widths and
shapes of every uncertain input are its own, and so are severities, frequencies of causes, the noise of
instruments, how people see things, and the one reading in twenty that is plain wrong. `Fleet.optimum`
is the posterior by the simulator's own likelihood: no one could do better on these boats.
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass

import numpy as np

from console.boatfile import Boat, loads
from console.engine.changes import Named, altered, key_of, of_kind
from console.engine.order import covers
from console.engine.run import run_day, run_steps
from console.engine.views import Draws
from console.inference.stacks import ScoredDraws, StackedDraws
from console.registry import discover

COMPLAINT = "climate"
HOUR = 16
READINGS_EACH = 5
WRONG = 0.05

SUBSYSTEM = {
    "clogged_strainer": "water", "fouled_intake": "water", "seacock_part_shut": "water", "kinked_hose": "water",
    "suction_air_leak": "water", "air_lock": "water", "worn_pump": "water", "dead_pump": "water",
    "intermittent_pump": "water", "scaled_condenser": "water", "blocked_air_filter": "air",
    "iced_evaporator": "air", "restricted_duct": "air", "air_ingress": "air", "supply_short_circuit": "air",
    "thermostat_location": "air", "low_refrigerant": "refrigerant", "overcharge": "refrigerant",
    "low_voltage": "electrical", "undersized": "none", "nothing_wrong": "none",
}  # fmt: skip

FREQUENCY = {
    "clogged_strainer": 29, "fouled_intake": 8, "seacock_part_shut": 3, "kinked_hose": 5, "suction_air_leak": 2,
    "air_lock": 5, "worn_pump": 4, "dead_pump": 3.5, "intermittent_pump": 1.5, "scaled_condenser": 10,
    "blocked_air_filter": 7, "iced_evaporator": 4, "restricted_duct": 2, "air_ingress": 4.5,
    "supply_short_circuit": 1.5, "thermostat_location": 1.5, "low_refrigerant": 4, "overcharge": 0.5,
    "low_voltage": 4, "undersized": 5, "nothing_wrong": 5,
}  # fmt: skip
"""Of a hundred calls: shares a service firm's list suggests (strainer 30, hull side 15, air lock and pump 13,
scale 10, filter and ice 12, ingress and load 10, electrical 4, refrigerant 4), split by the simulator."""

OWNERS_FILES = (
    """
    format = 1
    [boat]
    name = "Fulmar"
    length = "35 ft"
    [site]
    latitude = "29.5 deg"
    longitude = "-81.2 deg"
    timezone = "America/New_York"
    seawater_temperature = "84 F ± 3 F"
    [weather]
    date = 2026-07-20
    high = "91 F"
    low = "77 F"
    dew_point = "74 F"
    [climate]
    capacity = "16000 Btu/h"
    current = "12.4 A"
    voltage = "115 V"
    [raw_water]
    container = "10 L"
    [[raw_water.line]]
    part = "intake"
    bore = "3/4 in"
    [[raw_water.line]]
    part = "seacock"
    [[raw_water.line]]
    part = "hose"
    bore = "3/4 in"
    length = "4 ft"
    [[raw_water.line]]
    part = "strainer"
    [[raw_water.line]]
    part = "pump"
    max_head = "14 ft"
    max_flow = "12 gpm"
    [[raw_water.line]]
    part = "hose"
    name = "to the unit"
    length = "9 ft"
    [[raw_water.line]]
    part = "condenser"
    [[raw_water.line]]
    part = "hose"
    name = "overboard"
    length = "7 ft"
    [[raw_water.line]]
    part = "overboard"
    [power.shore]
    voltage = "120 V"
    """,
    """
    format = 1
    [boat]
    name = "Dunlin"
    length = "11 m"
    [site]
    latitude = "39.5 deg"
    longitude = "2.7 deg"
    timezone = "Europe/Madrid"
    seawater_temperature = "27 C ± 1.5 C"
    [weather]
    date = 2026-08-05
    high = "33 C"
    low = "24 C"
    dew_point = "21 C"
    [climate]
    capacity = "3.5 kW"
    current = "4.6 A"
    voltage = "230 V"
    [raw_water]
    container = "8 L"
    [[raw_water.line]]
    part = "intake"
    bore = "19 mm"
    [[raw_water.line]]
    part = "seacock"
    [[raw_water.line]]
    part = "hose"
    bore = "19 mm"
    length = "1.5 m"
    [[raw_water.line]]
    part = "strainer"
    [[raw_water.line]]
    part = "pump"
    max_head = "3.6 m"
    max_flow = "32 L/min"
    [[raw_water.line]]
    part = "hose"
    name = "to the unit"
    length = "2.5 m"
    [[raw_water.line]]
    part = "condenser"
    [[raw_water.line]]
    part = "hose"
    name = "overboard"
    length = "2 m"
    [[raw_water.line]]
    part = "overboard"
    [power.shore]
    voltage = "230 V"
    """,
)


def owners_boat(kind: int) -> Boat:
    """The boat as its owner's file has it."""
    text = "\n".join(line.strip() for line in OWNERS_FILES[kind].splitlines())
    return loads(text, discover())


def _random(*words: object) -> np.random.Generator:
    seed = hashlib.sha256("/".join(map(str, words)).encode()).digest()[:8]
    return np.random.default_rng(int.from_bytes(seed, "little"))


# --- the boats ------------------------------------------------------------------------------


def _latents(base: Draws, paths: list[str], rows: int, salt: str) -> dict[str, np.ndarray]:
    """Every uncertain input with the simulator's own median, width and shape (triangular)."""
    made = {}
    for path in paths:
        habit = _random("habit", path)
        shift, width = habit.uniform(-0.35, 0.35), habit.uniform(0.75, 1.3)
        score = _random("boats", salt, path).triangular(-2.3, 0.0, 2.3, rows)
        made[path] = shift + width * score
    return made


def _severity(key: str, middle: float, half: float, rows: int, salt: str) -> np.ndarray:
    """The simulator's own severities: triangular, moved, and wider than declared."""
    habit = _random("severity habit", key)
    centre = middle + habit.uniform(-0.3, 0.3) * half
    values = centre + 1.35 * half * _random("severity", salt, key).triangular(-1.0, 0.1, 1.0, rows)
    return np.concatenate([[centre], values])


@dataclass
class Looks:
    """What the simulator needs of one row to say what an owner sees."""

    figures: dict[str, np.ndarray]
    inputs: dict[str, np.ndarray]
    weight: np.ndarray


@dataclass(frozen=True)
class Case:
    """One simulated boat: its fault, and its readings as its owner would type them."""

    kind: int
    cause: str
    typed: tuple[tuple[str, str], ...]
    values: dict[str, float | str]


# --- how owners see things: the simulator's own, coarse and with slips --------------------------


def _grade(value, *edges):
    """Shares of len(edges) + 1 grades by straight ramps of ± 15 % of the way about each edge."""
    value = np.asarray(value, dtype=float)
    above = [np.clip((value - e * 0.8) / (0.4 * e + 1e-9), 0, 1) for e in edges]
    above = [np.ones_like(value), *above, np.zeros_like(value)]
    for k in range(1, len(above)):
        above[k] = np.minimum(above[k], above[k - 1])
    return np.stack([above[k] - above[k + 1] for k in range(len(above) - 1)], axis=1)


def _mix(table, slip=0.04):
    table = np.asarray(table, dtype=float)
    table = table / np.maximum(table.sum(axis=1, keepdims=True), 1e-9)
    return (1 - slip) * table + slip / table.shape[1]


def _strainer(look):
    """Some say no more than that it is dirty, however dirty it is."""
    clean, third, half, packed = _grade(look.inputs["strainer.blocked"], 0.18, 0.45, 0.75).T
    vague = 0.15
    return _mix(
        np.stack(
            [clean, *((1 - vague) * grade for grade in (third, half, packed)), vague * (1 - clean)], axis=1
        )
    )


def _stream(look):
    none, weak, full = _grade(look.figures["raw_water.flow_share"], 0.05, 0.75).T
    stop, air = look.inputs["pump.stopped"], look.inputs["pump.suction_air"]
    fits = np.clip(
        np.where((stop > 0.05) & (stop < 0.95), 0.7, 0.0) + np.clip(air / 0.06, 0, 1) * 0.6, 0, 0.85
    )
    return _mix(np.stack([full * (1 - fits), weak * (1 - fits), fits * (1 - none), none], axis=1))


def _airflow(look):
    none, weak, strong = _grade(look.figures["climate.airflow_share"], 0.12, 0.66).T
    kinked = np.clip((look.inputs["climate.duct_restriction"] - 0.3) / 0.3, 0, 1) * 0.7
    return _mix(
        np.stack([strong * (1 - kinked), weak * (1 - 0.6 * kinked), none, kinked * (1 - none)], axis=1)
    )


def _frost(look):
    return _mix(_grade(look.figures["climate.frost_share"], 0.15, 0.7))


def _hoses(look):
    pinched = np.clip((0.75 - look.inputs["hose.open_width"]) / 0.25, 0, 1)
    return _mix(np.stack([0.6 * (1 - pinched), 0.6 * pinched, np.full_like(pinched, 0.4)], axis=1))


def _gush(look):
    opening = (1 - look.inputs["intake.blocked"]) * look.inputs["seacock.open_share"]
    return _mix(_grade(opening, 0.07, 0.45)[:, ::-1])


def _sound(look):
    stop, wear = look.inputs["pump.stopped"], look.inputs["pump.wear"]
    air = np.maximum(look.inputs["pump.air"], np.clip(look.inputs["pump.suction_air"] / 0.15, 0, 1))
    dry = np.clip((air - 0.3) / 0.4, 0, 1)
    turns = 1 - stop
    grinds = np.clip((wear - 0.3) / 0.4, 0, 1) * 0.45
    normal = turns * (1 - dry) * (1 - grinds)
    return _mix(
        np.stack([normal, turns * dry, 0.45 * stop, turns * (1 - dry) * grinds, 0.55 * stop], axis=1)
    )


def _bubbles(look):
    return _mix(_grade(look.inputs["pump.suction_air"], 0.012, 0.06))


def _handle(look):
    share = look.inputs["seacock.open_share"]
    shut = np.clip((0.92 - share) / 0.15, 0, 1)
    return _mix(np.stack([0.88 * (1 - shut), shut, 0.12 + 0.1 * shut], axis=1))


def _trip(look):
    high = np.clip(look.figures["climate.trip.high_pressure"], 0, 1)
    near = np.clip(1 - look.figures["climate.high_pressure_margin"] / 4.0, 0, 1)
    high = np.maximum(high, 0.9 * near)
    low = np.clip(look.figures["climate.trip.low_pressure"] * 1.5, 0, 1) * (1 - high)
    volts = np.clip(look.figures["climate.trip.voltage"], 0, 1)
    ice = 0.3 * np.clip((look.figures["climate.frost_share"] - 0.5) / 0.3, 0, 1) * (1 - high)
    none = (1 - high) * (1 - low) * (1 - volts) * (1 - ice)
    return _mix(np.stack([none, 0.8 * high, 0.8 * low, 0.8 * volts, 0.8 * ice, 0.2 * (1 - none)], axis=1))


def _runs(look):
    always = np.clip((look.figures["climate.load_share"] - 0.85) / 0.2, 0, 1)
    short = np.clip((look.figures["climate.starts_per_hour"] - 4.5) / 3.0, 0, 1)
    return _mix(np.stack([always * (1 - short), (1 - always) * (1 - short), short], axis=1))


def _worst(look):
    gives = np.maximum(look.figures["climate.unit_capacity"], 100.0)
    noon, evening, night = (
        np.clip((look.figures[f"climate.load_{part}"] / gives - 0.88) / 0.2, 0, 1)
        for part in ("afternoon", "evening", "night")
    )
    return _mix(
        np.stack(
            [0.1 + night, 0.3 + noon * (1 - night), np.full_like(noon, 0.04), 0.08 + 0.3 * evening], axis=1
        )
    )


CHOICES = {
    "trip": _trip, "runs": _runs, "worst_time": _worst,
    "strainer": _strainer, "overboard_stream": _stream, "airflow": _airflow, "evaporator_frost": _frost,
    "hose_look": _hoses, "intake_gush": _gush, "pump_sound": _sound, "bubbles": _bubbles, "seacock": _handle,
}  # fmt: skip
_INPUTS = {
    "strainer.blocked": "raw_water.line.strainer.blocked", "intake.blocked": "raw_water.line.intake.blocked",
    "seacock.open_share": "raw_water.line.seacock.open_share", "pump.stopped": "raw_water.line.pump.stopped",
    "pump.suction_air": "raw_water.line.pump.suction_air", "pump.wear": "raw_water.line.pump.wear",
    "pump.air": "raw_water.line.pump.air", "climate.duct_restriction": "climate.duct_restriction",
}  # fmt: skip

SEEN = (
    "airflow_share", "frost_share", "trip.high_pressure", "trip.low_pressure", "trip.voltage",
    "high_pressure_margin", "load_share", "starts_per_hour", "unit_capacity", "load_afternoon", "load_evening",
    "load_night",
)  # fmt: skip
"""Figures the looks of the simulated owners go by."""

NUMBERS = {
    # shared bias, own scatter and shape: "C" degrees, "%" of the value
    "fill_time": ("bucket", 0.045, 0.035, "%"), "seawater_out": ("probe", 0.55, 0.2, "C"),
    "supply_air": ("probe", 0.55, 0.75, "C"), "unit_current": ("meter", 0.02, 0.035, "%"),
    "panel_air": ("panel", 0.5, 0.4, "C"), "condensate_rate": ("cup", 0.0, 0.2, "%"),
    "seawater_in": ("probe", 0.55, 0.15, "C"), "return_air": ("probe", 0.55, 0.3, "C"),
    "cabin_air": ("probe", 0.55, 0.3, "C"), "return_humidity": ("hygro", 0.03, 0.015, "RH"),
    "cabin_humidity": ("hygro", 0.03, 0.015, "RH"), "supply_voltage": ("volts", 0.012, 0.008, "%"),
}  # fmt: skip
CONDITIONS = (
    "seawater_in", "return_air", "cabin_air", "return_humidity", "cabin_humidity", "supply_voltage",
)  # fmt: skip
BESIDE = {
    "seawater_out": ("seawater_in",), "supply_air": ("return_air", "return_humidity"), "panel_air": ("cabin_air",),
    "unit_current": ("supply_voltage", "seawater_in"), "condensate_rate": ("return_air", "return_humidity"),
}  # fmt: skip
TAKEN = {
    "fill_time": 8, "supply_air": 7, "seawater_out": 5, "strainer": 6, "overboard_stream": 5, "airflow": 5,
    "trip": 5, "unit_current": 4, "runs": 3, "worst_time": 3, "pump_sound": 2, "seacock": 1.5, "hose_look": 1.5,
    "evaporator_frost": 1.5, "panel_air": 1.5, "intake_gush": 1, "bubbles": 1, "condensate_rate": 1,
}  # fmt: skip
"""How often each piece of evidence is taken; what it is read against comes beside it."""


def _noise(rng, name, size=None):
    """The own scatter, in units of its size: a triangular hump with Laplace tails, not a Student's t."""
    hump = rng.triangular(-1.8, 0, 1.8, size)
    tail = rng.laplace(0, 0.9, size)
    return np.where(rng.random(size) < 0.85, hump, tail)


def _noise_density(x):
    hump = np.clip(1 - np.abs(x) / 1.8, 0, None) / 1.8
    return 0.85 * hump + 0.15 * np.exp(-np.abs(x) / 0.9) / 1.8


class Fleet:
    """Boats of one kind, `rows` of each cause, all made by the simulator."""

    def __init__(self, kind: int, rows: int, salt: str = "") -> None:
        self.kind, self.rows, self.salt = kind, rows, salt
        self.boat = owners_boat(kind)
        base = Draws(self.boat, rows)
        run_day(self.boat, columns=base)  # so that its columns are known
        paths = [
            path for path, column in sorted(base.columns.items())
            if column.shape[0] > 2 and np.ptp(column[1:]) > 0 and self.boat.inputs[path].measure is not None
        ]  # fmt: skip
        index = np.arange(rows + 1)
        self.well = ScoredDraws(base, index, _latents(base, paths, rows, f"{kind}{salt}"))
        self.day = run_day(self.boat, columns=self.well)
        self.changes: dict[str, Named] = {
            change.key: (owner, change) for owner, change in of_kind(self.boat, "cause", COMPLAINT)
            if change.key in FREQUENCY
        }  # fmt: skip
        self.readings = {r.name: (owner, r) for owner, r in self.boat.registry.readings}
        self.faulted = {key: self._faulted(named) for key, named in self.changes.items()}
        self._stack: tuple[list[str], StackedDraws] | None = None

    def _faulted(self, named: Named) -> Draws:
        owner, change = named
        if not change.alters:
            return self.well
        severities = {}
        if change.severity:
            from console.engine.changes import severity_of

            drawn = severity_of(owner, change, self.boat, 255)
            low, middle, high = np.percentile(drawn[1:], (5, 50, 95))
            severities[key_of(owner, change)] = _severity(
                change.key, middle, 0.5 * (high - low), self.rows, f"{self.kind}{self.salt}"
            )
        made = altered(self.well, [named], severities)
        assert made is not None, change.key
        return made

    def look(self, draws: Draws, figures: dict[str, np.ndarray], change: Named) -> Looks:
        """What there is to see of every row."""
        inputs = {}
        for short, path in _INPUTS.items():
            from console.engine.changes import reached

            at = reached(self.boat, path)
            inputs[short] = draws.number(at)[1:, 0] if at else np.zeros(draws.draws)
        hoses = [p for p in self.boat.inputs if p.endswith(".open_width")]
        inputs["hose.open_width"] = np.min([draws.number(p)[1:, 0] for p in hoses], axis=0)
        weight = np.ones(draws.draws)
        if change[1].weighed_by in figures:
            weight = np.clip(figures[change[1].weighed_by], 1e-6, 1.0)
        return Looks(figures, inputs, weight)

    # --- a case -------------------------------------------------------------------------------

    def cases(self, cause: str, wanted: int) -> list[Case]:
        """Boats with this fault, and what their owners read and typed."""
        draws = self.faulted[cause]
        ran = run_day(self.boat, columns=draws)
        figures = {name: array[1:, HOUR] for name, array in ran.figures.items()}
        look = self.look(draws, figures, self.changes[cause])
        rng = _random("cases", self.kind, self.salt, cause)
        chosen = rng.choice(
            self.rows, wanted, p=look.weight / look.weight.sum(), replace=wanted > self.rows
        )
        tables = {name: see(look) for name, see in CHOICES.items()}
        return [self._case(cause, int(row), figures, tables, rng) for row in chosen]

    def _case(self, cause, row, figures, tables, rng) -> Case:
        names = [n for n in TAKEN if n in self.readings]
        weight = np.array([TAKEN[n] for n in names], dtype=float)
        dry = figures["raw_water.flow_share"][row] < 0.08 or figures["raw_water.fill_time"][row] > 400
        if dry:  # no bucket is filled, and a unit that trips has no steady numbers
            weight = np.where(np.isin(names, ["fill_time", "seawater_out", "supply_air", "unit_current",
                                              "condensate_rate"]), 0.0, weight)  # fmt: skip
        picked = list(rng.choice(names, READINGS_EACH, replace=False, p=weight / weight.sum()))
        beside = dict.fromkeys(c for n in picked for c in BESIDE.get(n, ()) if c in self.readings)
        biases: dict[str, float] = {}
        values: dict[str, float | str] = {}
        typed = []
        for name in [*beside, *picked]:
            reading = self.readings[name][1]
            wrong = rng.random() < WRONG
            if name in CHOICES:
                chances = tables[name][row]
                at = (
                    rng.integers(chances.size)
                    if wrong
                    else rng.choice(chances.size, p=chances / chances.sum())
                )
                values[name] = reading.choices[at]
                typed.append((name, reading.choices[at]))
                continue
            instrument, shared, own, coin = NUMBERS[name]
            bias = biases.setdefault(instrument, float(rng.uniform(-1.7, 1.7)))
            true = float(figures[reading.predicts][row])
            noise = shared * bias + own * float(_noise(rng, name))
            value = true * (1 + noise) if coin == "%" else true + noise
            if wrong:
                value = (
                    value * float(rng.choice([0.5, 0.65, 1.5, 1.9]))
                    if coin == "%"
                    else value + float(rng.choice([-1, 1]) * rng.uniform(3, 8))
                    * (1.0 if coin == "C" else 0.03)
                )  # fmt: skip
            if coin == "RH":
                value = min(max(value, 0.02), 0.98)
            values[name] = value
            typed.append((name, _typed(reading, value)))
        return Case(self.kind, cause, tuple(typed), values)

    # --- the best anyone could do -----------------------------------------------------------------

    def optimum(self, case: Case) -> dict[str, float]:
        """The posterior over causes by the simulator's own likelihood, over all its rows."""
        keys, stack = self._stacked()
        size = stack.draws
        rng = _random("optimum", case.typed)
        biases: dict[str, np.ndarray] = {}

        def bias(instrument: str) -> np.ndarray:
            if instrument not in biases:
                biases[instrument] = rng.uniform(-1.7, 1.7, size)
            return biases[instrument]

        pins, wanted = {}, set()
        for name in case.values:
            reading = self.readings[name][1]
            if name in CONDITIONS:
                instrument, shared, own, coin = NUMBERS[name]
                noise = shared * bias(instrument) + own * _noise(rng, name, size)
                value = float(case.values[name])
                true = value / (1 + noise) if coin == "%" else value - noise
                true = np.clip(true, 0.02, 0.99) if coin == "RH" else true
                pins[reading.predicts] = np.concatenate([[value], true])[:, None]
                if reading.expects and set(reading.beside) <= set(case.values):
                    wanted.add(reading.expects)
            elif reading.predicts:
                wanted.add(reading.predicts)
        wanted |= {f"climate.{name}" for name in SEEN} | {"raw_water.flow_share"}
        wanted |= {change.weighed_by for _, change in self.changes.values() if change.weighed_by}
        count = self.rows
        rows = np.concatenate([[0], np.tile(np.arange(1, count + 1), len(keys))])
        for node in self.day.plan.nodes:
            if node.estimate.stateful:
                for given in node.estimate.gives:
                    for name, array in self.day.figures.items():
                        if covers(given.name, name) and name not in pins:
                            pins[name] = array[rows, HOUR][:, None]
        hours = np.array([HOUR + 0.5])
        ran = run_steps(stack, hours, 3600.0, pins, held=True, wanted=tuple(wanted))
        scores = {}
        for k, key in enumerate(keys):
            part = slice(1 + k * count, 1 + (k + 1) * count)
            figures = {name: array[part, 0] for name, array in ran.figures.items()}
            look = self.look(self.faulted[key], figures, self.changes[key])
            like = look.weight.copy()
            for name, value in case.values.items():
                like = like * self._likely(name, value, case, look, biases, part.start - 1, count)
            scores[key] = FREQUENCY[key] * float(like.mean())
        total = sum(scores.values()) or 1.0
        return {key: score / total for key, score in scores.items()}

    def _likely(self, name, value, case, look, biases, start, count) -> np.ndarray:
        reading = self.readings[name][1]
        if name in CHOICES:
            table = CHOICES[name](look)
            at = reading.choices.index(value)
            return (1 - WRONG) * table[:, at] + WRONG / len(reading.choices)
        figure = reading.predicts
        if name in CONDITIONS:
            if not reading.expects or not set(reading.beside) <= set(case.values):
                return np.ones(count)
            figure = reading.expects
        instrument, shared, own, coin = NUMBERS[name]
        if instrument not in biases:
            biases[instrument] = _random("bias", case.typed, instrument).uniform(-1.7, 1.7, 10**6)
        shift = shared * biases[instrument][start : start + count]
        true = look.figures[figure]
        off = (value / np.maximum(true, 1e-12) - 1 if coin == "%" else value - true) - shift
        # Conditions that speak are compared with a model, which has its own error.
        width = own if name not in CONDITIONS else math.hypot(own, {"C": 0.5, "RH": 0.03, "%": 0.01}[coin])
        broad = {"%": 0.6, "C": 6.0, "RH": 0.2}[coin]
        gross = np.exp(-0.5 * (off / broad) ** 2) / (broad * 2.5)
        return (1 - WRONG) * _noise_density(off / width) / width + WRONG * gross

    def _stacked(self) -> tuple[list[str], StackedDraws]:
        if self._stack is None:
            keys = list(self.faulted)
            self._stack = keys, StackedDraws(self.boat, [self.faulted[key] for key in keys])
        return self._stack


def _typed(reading, value: float) -> str:
    match reading.unit:
        case "K":
            return f"{(value - 273.15) * 1.8 + 32:.1f} F"
        case "1":
            return f"{100 * value:.0f} %"
        case "s":
            return f"{value:.0f} s"
        case "kg/s":
            return f"{value * 3600:.2f} kg/h"
        case unit:
            return f"{value:.2f} {unit}"


__all__ = ["FREQUENCY", "SUBSYSTEM", "Case", "Fleet", "owners_boat"]
