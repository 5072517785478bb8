"""What the same thing costs by other paths, and what hangs on a bank that swings."""

from __future__ import annotations

import numpy as np

from console.contract import Findings, Listing, ListRow, Picture, Reason, Urgency
from plugins.power.bank import nominal_voltage
from plugins.power.phrases import load_names
from plugins.power.tables import EFFICACY, SWING

WAY_NAMES = {
    "direct": "straight on the bank",
    "regulated_12": "charger or stage, 12 V",
    "regulated_24": "charger or stage, 24 V",
    "inverter": "inverter",
    "inverter_charger": "inverter and its own charger",
}


def unsteady(found: Findings) -> list[Reason]:
    """What wants a steady supply and hangs straight on the bank."""
    said = []
    volts = float(nominal_voltage(found.number("power.bank.voltage", 12.0)[0])) / 12.0
    for path in found.items("power.load"):
        direct = (
            found.text(f"{path}.where", "shore") == "bank"
            and found.text(f"{path}.path", "direct") == "direct"
        )
        if direct and found.text(f"{path}.supply", "any") == "steady":
            swing = " to ".join(found.say(end * volts, "voltage") for end in SWING)
            said.append(
                Reason(
                    f"{found.text(f'{path}.name', 'load')} wants a steady supply and hangs straight on the bank, which "
                    f"swings from {swing}: give it a regulated stage."
                )
            )
    return said


def path_lists(found: Findings) -> tuple[Picture, ...]:
    """Tables of charging at 12 and 24 V, of a thing by every path, and of lamps against LED."""
    return (*_charging(found), *_paths(found), *_lamps(found))


def _charging(found: Findings) -> list[Picture]:
    names, rows = load_names(found), []
    for figure in found.family("power.charge_time"):
        key, volts = figure.rsplit(".", 1)[-1].rsplit("_", 1)
        taken = float(found.daily(f"power.charge_amp_hours.{key}_{volts}")[0])
        post = f"power.charge_from_shore.{key}_{volts}"
        sun = "power.solar_amp_hours_per_day"
        a_day = float(found.daily(sun)[0]) * 86_400 if found.has(sun) else 0.0
        rows.append(
            ListRow(
                (
                    names.get(key, key),
                    f"{volts} V",
                    found.say(float(found.daily(figure)[0]), "hours"),
                    found.say(taken, "charge"),
                    found.say(float(found.daily(post)[0]), "energy") if found.has(post) else "–",
                    found.say(taken / a_day, "percent") + " of a day" if a_day > 0 else "–",
                )
            )
        )
    if not rows:
        return []
    return [
        Listing(
            "Charging at a constant current",
            ("thing", "at", "takes", "from the bank", "from the post", "of the sun"),
            tuple(rows),
            note="At 24 V the same amps are twice the power: half the time for the same charge.",
        )
    ]


def _paths(found: Findings) -> list[Picture]:
    names, rows = load_names(found), []
    for path in found.items("power.load"):
        key = path.rsplit(".", 1)[-1]
        costs = {
            way: found.daily(f"power.by_path.{key}_{way}")
            for way in WAY_NAMES
            if found.has(f"power.by_path.{key}_{way}")
        }
        if not costs or found.text(f"{path}.lamp", "no") != "no":
            continue
        listed = found.text(f"{path}.path", "direct")
        least = min(float(values[0]) for values in costs.values())
        rows += [
            ListRow(
                (
                    names.get(key, key),
                    words + (", as it is" if way == listed else ""),
                    found.say_range(costs[way], "amp_hours_per_day"),
                ),
                Urgency.WATCH if way == listed and costs[way][0] > 1.2 * least else None,
            )
            for way, words in WAY_NAMES.items()
            if way in costs
        ]
    if not rows:
        return []
    note = "The inverter's idle draw counted while the thing is on."
    return [
        Listing("The same thing by every path", ("thing", "path", "takes of the bank"), tuple(rows), note)
    ]


def _lamps(found: Findings) -> list[Picture]:
    names, rows = load_names(found), []
    for path in found.items("power.load"):
        kind = found.text(f"{path}.lamp", "no")
        key = path.rsplit(".", 1)[-1]
        figure = f"power.dc_load.{key}"
        if kind in ("no", "led") or not found.has(figure):
            continue
        now = float(np.mean(found.hourly(figure)[0]))
        then = now * EFFICACY[kind] / EFFICACY["led"]
        rows.append(
            ListRow(
                (
                    names.get(key, key),
                    found.say(now, "amp_hours_per_day"),
                    found.say(then, "amp_hours_per_day"),
                )
            )
        )
    if not rows:
        return []
    note = "At equal light, by lumens per watt from memory: LED vary by a third either way."
    return [Listing("Lamps", ("lamps", "now", "as LED"), tuple(rows), note)]
