"""Is the wire big enough? Drop, heat, and the volts at its end."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.contract import Answer, Bar, Bars, Findings, Listing, ListRow, Reason, Urgency
from plugins.power.bank import nominal_voltage
from plugins.power.circuits import CRITICAL_DROP, LARGEST, PRACTICE_DROP
from plugins.power.phrases import percentiles, share_true
from plugins.power.wire import smallest_gauge, smallest_metric

Array = NDArray[np.float64]

TIGHT, EDGE = 0.9, 1.03
"""Of the allowed drop: nearer than the first is said; up to the second it is at the edge, not over,
for no wire's length is known better than that."""


_FUSE = (
    "Fuses are not sized here: each positive has one near its source that protects the wire, by ABYC E-11 or ISO 13297 "
    "and local code."
)
_WORDS = ("can burn", "fails", "drops too much", "at the edge", "length unknown", "big enough")


@dataclass(frozen=True)
class Checked:
    """One run and what is wrong with it; ``rank`` 0 burns, 1 fails, 2 drops, 3 is near, 4 has no length
    of its own, 5 is fine. ``cells`` is its row of the table."""

    key: str
    name: str
    drop: Array
    allowed: float
    rank: int
    verdict: str
    next: str
    text: str
    heat_known: bool
    cells: tuple[str, ...]


def answer(found: Findings) -> Answer:
    """The card: the worst run first, each run with its drop against what is allowed."""
    runs = sorted(
        (_check(found, path) for path in found.items("power.circuit")),
        key=lambda run: (run.rank, -run.drop[0] / run.allowed),
    )
    if not runs:
        return Answer(
            "No wire runs are listed.",
            Urgency.NOT_ABOARD,
            next="To check one, add [[power.circuit]] with its current, length and gauge.",
        )
    worst = runs[0]
    bus = _bus_bar(found)
    reasons = [Reason(run.text, float(min(run.drop[0] / run.allowed, 1.0))) for run in runs]
    verdict, step, urgency = worst.verdict, worst.next, _urgency(worst)
    if worst.rank >= 5:
        count = {1: "The listed run is", 2: "Both listed runs are"}.get(
            len(runs), f"All {len(runs)} listed runs are"
        )
        tail = "" if all(run.heat_known for run in runs) else " (drop only, heat not checked)"
        verdict = f"{count} big enough for the drop that is practice{tail}."
    reasons.append(Reason(_FUSE))
    if bus is not None:
        reasons.append(bus[0])
        if bus[1] and worst.rank > 0:
            verdict, step, urgency = (
                bus[0].text,
                "Split the runs over two bus bars, or fit one of a larger rating.",
                Urgency.ACT,
            )
    return Answer(
        verdict,
        urgency,
        figure=f"power.circuit_drop.{worst.key}",
        reasons=tuple(reasons),
        next=step,
        sure=_sure(worst),
        hazards=("wire_heat", "batteries"),
        pictures=(
            _listing(runs),
            Bars(
                "Volts lost, as a share of what is allowed",
                "percent",
                tuple(_bar(run) for run in runs),
            ),
        ),
    )


def _urgency(run: Checked) -> Urgency:
    if run.rank <= 1 or (run.rank == 2 and run.allowed == CRITICAL_DROP):
        return Urgency.ACT
    if run.rank == 4:
        return Urgency.UNKNOWN
    return Urgency.WATCH if run.rank <= 3 else Urgency.FINE


def _listing(runs: list[Checked]) -> Listing:
    """The table of circuits with their verdicts."""
    rows = tuple(ListRow((*run.cells, _verdict_words(run)), _urgency(run)) for run in runs)
    return Listing(
        "Circuits", ("run", "size", "loses", "allowed", "carries", "least that does", "verdict"), rows,
        note="Bank at its lowest. Fuses by ABYC E-11, ISO 13297 and local code.",
    )  # fmt: skip


def _verdict_words(run: Checked) -> str:
    return _WORDS[run.rank] + ("" if run.heat_known or run.rank < 4 else ", heat not checked")


def _sure(run: Checked) -> float | None:
    if run.rank < 2 or run.rank in (3, 4):
        return None
    within = share_true(run.drop <= run.allowed)
    return 1.0 - within if run.rank == 2 else within


def _check(found: Findings, path: str) -> Checked:
    key, name = path.rsplit(".", 1)[-1], found.text(f"{path}.name", "circuit")
    name = name[:1].upper() + name[1:]
    critical = found.text(f"{path}.critical", "False") == "True"
    allowed = CRITICAL_DROP if critical else PRACTICE_DROP
    drop = found.daily(f"power.circuit_drop.{key}")
    volts = found.daily(f"power.circuit_voltage.{key}")
    amps, gauge = found.number(f"{path}.current")[0], found.say(found.number(f"{path}.gauge")[0], "wire")
    said = found.say(allowed, "percent")
    lost = found.say_range(drop, "percent")
    measured = found.given(f"{path}.length")
    taken = f"{found.say(found.number(f'{path}.length')[0], 'length')} taken for its length"
    text = f"{name}, {gauge}{'' if measured else f', {taken}'}: loses {lost} with the bank low, {said} allowed; {found.say(volts[0], 'voltage')} at its end"
    limited = found.has(f"power.circuit_limit.{key}")
    limit = float(found.daily(f"power.circuit_limit.{key}")[0]) if limited else np.inf
    by_table = found.text(f"{path}.insulation", "unknown") != "unknown"
    carries = f"{found.say(amps, 'current')} of {found.say(limit, 'current')}" if limited else "not checked"
    cells = (name, gauge, found.say(drop[0], "percent"), said, carries, _least(found, key, by_table))
    text += (
        f"; {carries} that it carries as it lies{', by table' if by_table else ''}."
        if limited
        else "; drop only, heat not checked."
    )

    def made(rank: int, verdict: str = "", step: str = "") -> Checked:
        if not measured and rank in (1, 2, 3):
            # What fails by a length that is only taken is to be measured before it is bought for.
            verdict, step = (
                f"{verdict[:-1]} ({taken}).",
                f"Measure its run one way, as the wire lies, and state it. {step}",
            )
        return Checked(key, name, drop, allowed, rank, verdict, step, text, limited, cells)

    if amps > limit:
        return made(
            0,
            f"{name}: {found.say(amps, 'current')} is over the {found.say(limit, 'current')} that its wire carries as it "
            "lies; it can burn, whatever its drop.",
            "Stop using it until the fuse protects the wire, and fit "
            + (
                _size(found, key, by_table)
                if by_table
                else "a size whose table gives that current in that place"
            )
            + ".",
        )
    needed = found.number(f"{path}.least_voltage", 0.0)[0]
    if needed > 0 and volts[0] < needed:
        bank_low = volts[0] + drop[0] * nominal_voltage(found.number("power.bank.voltage", 12.0)[0])
        size = (
            "; no wire cures it, for the bank itself falls below that."
            if bank_low <= needed
            else f"; else fit {_size(found, key, by_table)}."
        )
        spare = float(found.daily(f"power.circuit_relay.{key}")[0])
        relay = (
            f"For a solenoid on a long control wire a relay near the battery cures it (both get {found.say(needed + spare, 'voltage')} "
            "or more, by the same wire)"
            if spare > 0
            else "A relay near the battery does not cure it"
        )
        return made(
            1,
            f"{name} gets {found.say(volts[0], 'voltage')} with the bank low, and needs {found.say(needed, 'voltage')}.",
            f"{relay}{size}",
        )
    if drop[0] > EDGE * allowed:
        why = "for what must not fail" if critical else "for the rest"
        return made(
            2,
            f"{name} loses {found.say(drop[0], 'percent')} on {gauge}; {said} is the practice {why}.",
            f"Fit {_size(found, key, by_table)}{_CARRY if not by_table else ''}.",
        )
    if drop[0] > TIGHT * allowed:
        return made(
            3,
            f"{name} is at the edge: it loses {lost} on {gauge}, where {said} is the practice.",
            f"When it is next replaced, {_size(found, key, by_table)} has room for warm wire and a tired end"
            f"{'' if by_table else _CARRY}.",
        )
    if not measured:
        return made(
            4,
            f"{name} has no length: with {taken} the drop would pass.",
            "Measure its run one way, as the wire lies, and state it.",
        )
    return made(5, "", "Check every positive has a fuse near the battery that protects its wire.")


def _least(found: Findings, key: str, by_table: bool) -> str:
    """The smallest sizes, by gauge and metric, that pass the drop and, by table, carry the current."""
    area = float(found.daily(f"power.circuit_area.{key}")[0])
    gauge, metric = smallest_gauge(area), smallest_metric(area)
    if gauge is None or metric is None:
        return "more than one cable"
    return f"{gauge} AWG, {metric * 1e6:g} mm²" + ("" if by_table else " by drop")


_CARRY = ", and check that it carries its current as it lies"


def _size(found: Findings, key: str, by_table: bool) -> str:
    area = float(found.daily(f"power.circuit_area.{key}")[0])
    now = float(found.number(f"power.circuit.{key}.gauge")[0])
    gauge, metric = smallest_gauge(area), smallest_metric(area, above=now)
    if area >= LARGEST:
        return "several conductors, as a qualified person lays them out"
    if gauge is None:
        return f"several wires side by side ({area * 1e6:.0f} mm² of copper in all)"
    both = f"{gauge} AWG ({metric * 1e6:g} mm² metric)" if metric else f"{gauge} AWG"
    return f"{both}, which passes the drop and carries the current" if by_table else both


def _bus_bar(found: Findings) -> tuple[Reason, bool] | None:
    """The bus bar's sum against its rating, and whether it is over."""
    if not found.has("power.bus_bar_rating"):
        return None
    rating = float(found.number("power.bus_bar_rating")[0])
    total = sum(float(found.number(f"{path}.current")[0]) for path in found.items("power.circuit"))
    over = total > rating
    tail = "over" if over else "within"
    text = f"All listed runs at once put {found.say(total, 'current')} on the bus bar, {tail} its {found.say(rating, 'current')}."
    return Reason(text, min(total / rating, 1.0)), over


def _bar(run: Checked) -> Bar:
    share = run.drop / run.allowed
    note = f"{run.allowed:.0%} allowed"
    if share.size == 1:
        return Bar(run.name, float(share[0]), note=note)
    low, high = percentiles(share, 5, 95)
    return Bar(run.name, float(share[0]), float(min(low, share[0])), float(max(high, share[0])), note)
