"""The estimates: what each needs, what it gives, in which unit, and by whose equations."""

from console.contract import Estimate, Given, Need

_HERE = "plugins.raw_water.estimates"
_DARCY = "Darcy-Weisbach with Churchill 1977; Crane TP-410, Blevins 1984, Borda-Carnot, Weisbach"
_PRACTICE = "common practice, no source; growth only, debris is not predictable"
_SEAWATER = Need("weather.seawater_temperature", "K")

_LINE = Estimate(
    "raw_water.line", f"{_HERE}:line", (_SEAWATER,),
    (
        Given("raw_water.flow", "m**3/s", "Seawater flow", "flow", "least", source=_DARCY),
        Given("raw_water.clean_flow", "m**3/s", "Seawater flow of the same line, all of it clean and whole",
              "flow", "least", source=_DARCY),
        Given("raw_water.flow_share", "1", "Seawater flow as a share of the clean flow", "share", "least",
              source=_DARCY),
        Given("raw_water.fill_time", "s", "Seconds to fill the bucket at the overboard, an hour at most",
              "seconds", "largest", source="bucket over flow"),
        Given("raw_water.pump_head", "m", "Head the pump gives at that flow", "head", "mean",
              source="label or maker's curve, affinity laws"),
        Given("raw_water.loss.*", "m", "Head this part of the line takes", "head", "mean", source=_DARCY),
        Given("raw_water.restriction", "m", "Head the line as it is would take at the clean flow, without its lift",
              "head", "mean", source=_DARCY),
        Given("raw_water.velocity.*", "m/s", "Speed of the water in this hose", "speed", "least",
              source="flow over area"),
        Given("raw_water.suction_margin", "m", "Suction head to spare over what the pump needs (NPSH)", "head",
              "least", source="NPSH: (p - pv)/ρg + depth - losses - needed"),
        Given("raw_water.inlet_head", "m", "Head of water over the air's at the pump's inlet; below none, "
              "a leaky joint there draws air", "height", "least", source="depth - losses"),
        Given("raw_water.start_margin", "m", "Head the pump has to spare to start the water over the high spots, "
              "air standing in every falling leg", "height", "least", source="shut-off head - all the rises"),
        Given("raw_water.lock_fall", "m", "How far the line goes down again before its highest spot: air stays there",
              "height", "mean", source="heights of the parts, less a bore each"),
        Given("raw_water.lock.*", "m", "How far this hose goes down again before it climbs: air stays there",
              "height", "mean", source="heights of the parts, less a bore each"),
        Given("raw_water.gush_share", "1", "What comes in by itself with the strainer's lid off, against the "
              "clean line's", "share", source=_DARCY),
        Given("raw_water.free_flow", "m**3/s", "Flow of the pump with nothing in its way", "flow", "mean",
              source="label or maker's curve, affinity laws"),
        Given("raw_water.scale_resistance", "m**2*K/W", "Resistance of scale and slime in the coil to heat",
              "fouling", "mean", source="thickness over 1 W/m·K, own estimate"),
    ),
    about="raw_water",
)  # fmt: skip

_FIXES = Estimate(
    "raw_water.fixes", "plugins.raw_water.fixes:fixes",
    (_SEAWATER, Need("raw_water.clean_flow", "m**3/s")),
    (
        Given("raw_water.regain.*", "m**3/s", "Flow that putting this right, alone, would give back", "flow",
              "mean", source=_DARCY),
        Given("raw_water.regain_both.*", "m**3/s", "Flow that the best two jobs together would give back", "flow",
              "mean", source=_DARCY),
    ),
    about="raw_water",
)  # fmt: skip

_CLEANED = Estimate(
    "raw_water.after_cleaning", "plugins.raw_water.fixes:after_cleaning",
    (_SEAWATER, Need("raw_water.flow", "m**3/s"), Need("raw_water.clean_flow", "m**3/s")),
    (
        Given("raw_water.share_after_cleaning", "1", "Share of the clean flow once the basket is clean", "share",
              "least", source=_DARCY),
    ),
    about="raw_water",
)  # fmt: skip

_SEEN = "what the owner sees of the line as it is"
_LOOKS = Estimate(
    "raw_water.looks", f"{_HERE}:looks", (),
    (
        Given("raw_water.basket_shut", "1", "Share of the strainer's basket that is shut", "share", source=_SEEN),
        Given("raw_water.seacock_opening", "1", "How far the seacock stands open", "share", source=_SEEN),
        Given("raw_water.narrowest_hose", "1", "Open width of the most pinched hose", "share", source=_SEEN),
        Given("raw_water.drawn_air", "1", "Air in the drawn water, share of its volume", "share", source=_SEEN),
        Given("raw_water.pump_air", "1", "Share of the pump's casing filled with air", "share", source=_SEEN),
        Given("raw_water.pump_wear", "1", "Share of the pump's head and flow lost to wear", "share", source=_SEEN),
        Given("raw_water.pump_still", "1", "Share of the time the pump stands still though it should run", "share",
              source=_SEEN),
    ),
    about="raw_water",
)  # fmt: skip

_STRAINER = Estimate(
    "raw_water.fouling", f"{_HERE}:strainer",
    (_SEAWATER, Need("raw_water.clean_flow", "m**3/s"), Need("climate.run_share", "1", "50 % ± 25 %")),
    (
        Given("raw_water.blocking_rate", "1/s", "Share of the strainer's basket that grows shut", "share_per_day",
              "mean", source=_PRACTICE),
        Given("raw_water.idle_blocking_rate", "1/s", "Share of the basket that grows shut on a day without running",
              "share_per_day", "mean", source=_PRACTICE),
        Given("raw_water.blocked_at_limit", "1", "Share of the basket shut when the flow is down to the limit",
              "share", "mean", source="Blevins 1984 on the flow curve"),
        Given("raw_water.days_to_clean", "s", "Time until the strainer brings the flow to the limit, a year at most",
              "days", "least", source=_PRACTICE),
    ),
    about="raw_water",
)  # fmt: skip

ESTIMATES = (_LINE, _FIXES, _CLEANED, _LOOKS, _STRAINER)
