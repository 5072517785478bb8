"""One picture of each kind, of an invented boat: for tests and for looking at."""

from __future__ import annotations

import math

import numpy as np

from console.contract import (
    AirChart,
    AirState,
    Arrow,
    Bar,
    Bars,
    Curve,
    CutBox,
    Distribution,
    LinePart,
    Listing,
    ListRow,
    Picture,
    Series,
    Stack,
    Timeline,
    Urgency,
    WaterLine,
)

HOURS = tuple(h + 0.5 for h in range(24))
_GAP = math.nan


def bump(at: float, width: float, top: float, foot: float = 0.0) -> tuple[float, ...]:
    return tuple(foot + top * math.exp(-(((h - at) / width) ** 2)) for h in HOURS)


CABIN_HEAT = Stack(
    "Heat coming into the cabin", "heat", HOURS,
    (
        Series("roof and deck", bump(14, 4, 1600)),
        Series("coach-roof sides", bump(16, 3, 500)),
        Series("hull below the water", (-60.0,) * 24),
        Series("sun through glass", bump(15.5, 3, 900)),
        Series("glass, air", bump(15, 5, 250)),
        Series("people", (250.0,) * 24),
        Series("equipment", tuple(280.0 if 18 < h < 21 else 180.0 for h in HOURS)),
        Series("fresh air", bump(15, 6, 700, 100)),
        Series("bilge air in the return", (220.0,) * 24),
    ),
    (Series("unit's capacity", bump(16, 6, -300, 3700)),),
    (13.5, 14.5, 15.5, 16.5), "short of capacity",
)  # fmt: skip

SHORE_CURRENT = Stack(
    "Shore current", "current", HOURS,
    (
        Series("air conditioner", bump(15, 5, 5, 6)),
        Series("water heater", tuple(12.5 if 6 < h < 7 or 18 < h < 20 else 0.0 for h in HOURS)),
        Series("battery charger", (3.0,) * 24),
        Series("galley", tuple(9.0 if 17 < h < 18 else 0.0 for h in HOURS)),
    ),
    (Series("inlet 30 A", (30.0,) * 24), Series("80 %, 24 A", (24.0,) * 24)),
    (18.5, 19.5), "over the 80 % line",
)  # fmt: skip

LOSSES = Bars(
    "What holds the water back", "head",
    (
        Bar("kinked hose", 1.25, 0.8, 1.9, "35 % open"),
        Bar("strainer", 0.6, 0.4, 0.9, "a third shut"),
        Bar("condenser", 0.45, 0.4, 0.5),
        Bar("lift to the outlet", 0.2),
        Bar("intake", 0.08),
        Bar("siphon gained back", -0.2, -0.3, -0.1),
    ),
)  # fmt: skip

CAUSES = Bars(
    "Most likely causes", "share",
    (Bar("strainer clogged", 0.62), Bar("hose kinked", 0.21), Bar("pump worn", 0.08), Bar("too small", 0.03)),
)  # fmt: skip

WATER = WaterLine(
    "The raw-water line",
    (
        LinePart("intake", "intake", 0.05, -0.5),
        LinePart("seacock", "seacock", 0.1, -0.45),
        LinePart("seacock to strainer", "kink", 1.25, -0.3, "35 % open"),
        LinePart("strainer", "strainer", 0.6, -0.2, "30 % shut"),
        LinePart("hose to pump", "hose", 0.05, -0.3),
        LinePart("pump", "pump", 0.0, -0.3),
        LinePart("hose to condenser", "hose", 0.3, 0.1),
        LinePart("condenser", "condenser", 0.45, 0.3),
        LinePart("hose overboard", "hose", 0.2, 0.4),
        LinePart("overboard", "overboard", 0.2, 0.2),
    ),
    0.000135, 3.2,
)  # fmt: skip

ICE_BOX = CutBox(
    "The ice box in section", "heat", "lid",
    (
        Arrow("lid", "lid", 4.0),
        Arrow("lid", "seal", 11.0),
        Arrow("lid", "damp air at the seal", 0.6e-6, "vapour"),
        Arrow("hull", "hull side", 9.0),
        Arrow("front", "front", 7.0),
        Arrow("sides", "sides", 12.0),
        Arrow("bottom", "bottom", 5.0),
        Arrow("drain", "drain", 3.0),
        Arrow("drain", "damp air", 0.2e-6, "vapour"),
        Arrow("inside", "food and drink", 6.0),
    ),
    277.0, 303.0, 263.0, 0.003, 0.006,
)  # fmt: skip

_SECONDS = tuple(900.0 * i for i in range(97))
_CHARGE = tuple(0.9 - 0.45 * s / 86400 for s in _SECONDS)

CHARGE = Curve(
    "State of charge through the night", "hours", "share", _SECONDS,
    (
        Series(
            "usual night", _CHARGE,
            tuple(c - 0.12 * s / 86400 for c, s in zip(_CHARGE, _SECONDS, strict=True)),
            tuple(c + 0.1 * s / 86400 for c, s in zip(_CHARGE, _SECONDS, strict=True)),
        ),
        Series("after the repair", tuple(c + 0.15 * s / 86400 for c, s in zip(_CHARGE, _SECONDS, strict=True))),
    ),
    "hours from noon", "charge", (("keep above", 0.5),),
)  # fmt: skip

_AIR = tuple(280.0 + k for k in range(31))
AIR_STATES = Curve(
    "The air on its way through the unit", "temperature", "humidity_ratio", (*_AIR, 305.0, 299.0, 297.0, 287.0),
    (
        Series("saturated", (*(0.0065 * math.exp(0.062 * (t - 280)) for t in _AIR), *(_GAP,) * 4)),
        Series("outdoor", (*(_GAP,) * 31, 0.021, _GAP, _GAP, _GAP)),
        Series("cabin", (*(_GAP,) * 32, 0.012, _GAP, _GAP)),
        Series("return", (*(_GAP,) * 33, 0.0115, _GAP)),
        Series("supply", (*(_GAP,) * 34, 0.0088)),
    ),
    "air temperature", "water in the air",
)  # fmt: skip

_DRAWS = np.random.default_rng(3)
FLOWS = Distribution(
    "Raw water flow", "flow",
    (
        Series("before", tuple(np.exp(_DRAWS.normal(math.log(1.3e-4), 0.2, 2048)).tolist())),
        Series("after the hose is mended", tuple(np.exp(_DRAWS.normal(math.log(2.4e-4), 0.15, 2048)).tolist())),
    ),
    ("enough for the unit", 1.9e-4),
)  # fmt: skip

AIR = AirChart(
    "The air on its way through the unit",
    (
        AirState("outdoor", 306.15, 0.0205),
        AirState("cabin", 299.15, 0.0118),
        AirState("return, with bilge air", 300.15, 0.0131),
        AirState("supply", 287.15, 0.0096),
    ),
    ((1, 2), (2, 3)),
)  # fmt: skip

JOBS = Listing(
    "What to do next",
    ("job", "gives back", "time", "who"),
    (
        ListRow(("Clean the sea strainer and its basket", "0.9 gal/min (0.5 to 1.4)", "20 min", "you"), Urgency.ACT),
        ListRow(("Take the kink out of the hose between seacock and strainer", "0.6 gal/min", "40 min", "you"),
                Urgency.WATCH),
        ListRow(("Descale the condenser", "not yet known: log a bucket first", "2 h", "you, gloves on"),
                Urgency.UNKNOWN),
        ListRow(("Lid seal", "nothing to gain", "", ""), Urgency.FINE),
        ListRow(("Washdown pump", "", "", ""), Urgency.NOT_ABOARD),
    ),
    "Gain is with everything else as it is today.",
)  # fmt: skip

_NOVEMBER = 1_793_491_200.0  # 1 November 2026, 00:00 UTC
_BUCKET = (
    (0.3, 34.0),
    (2.4, 36.0),
    (5.3, 38.0),
    (8.5, 42.0),
    (11.3, 47.0),
    (14.6, 33.0),
    (18.3, 35.0),
    (22.4, 29.0),
)
BUCKETS = Timeline(
    "Seconds to fill the bucket", "seconds", tuple(_NOVEMBER + 86400 * day for day, _ in _BUCKET),
    (
        Series("measured", tuple(s for _, s in _BUCKET), tuple(s - 1.5 for _, s in _BUCKET),
               tuple(s + 1.5 for _, s in _BUCKET)),
        Series("expected when clean", (30.0,) * 8),
    ),
    ((_NOVEMBER + 86400 * 13, "strainer cleaned"), (_NOVEMBER + 86400 * 20.5, "hose between seacock and strainer replaced")),
    "America/New_York",
)  # fmt: skip

SAMPLES: dict[str, Picture] = {
    "cabin heat": CABIN_HEAT,
    "shore current": SHORE_CURRENT,
    "losses": LOSSES,
    "causes": CAUSES,
    "water line": WATER,
    "ice box": ICE_BOX,
    "charge": CHARGE,
    "air states": AIR_STATES,
    "flows": FLOWS,
    "air": AIR,
    "jobs": JOBS,
    "buckets": BUCKETS,
}
