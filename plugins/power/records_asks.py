"""What leaving, casting off, one thing more, the paths and the dock's device need and give."""

from __future__ import annotations

from console.contract import Estimate, Given, Need

_L = "plugins.power.leaving:"
_BOX_CURRENT = Need("cold_box.compressor_current", "A", "0 A")
_BOX_AMP_HOURS = Need("cold_box.amp_hours_per_day", "A", "0 A")
_SUN = Need("power.solar_amp_hours_per_day", "A", "0 A")

ASKS = (
    Estimate(
        "power.trips",
        "plugins.power.trips:trips",
        needs=(Need("climate.unit_current", "A", "0 A"), Need("climate.start_current", "A", "0 A")),
        gives=(
            Given("power.leakage_current", "A", "Current to ground with everything on, the cord dry", style="leakage",
                  daily="largest"),
            Given("power.ground_trip", "1", "Chance that on the way from all off to all on the ground-fault device is the first to go",
                  style="percent", daily="largest", source="IEC 61008-1: half its rating to its rating"),
            Given("power.overcurrent_trip", "1", "Chance that on that way the breaker is the first to go, by load or by a start",
                  style="percent", daily="largest", source="IEC 60898 and UL 489, from memory"),
            Given("power.plug_heat", "W", "Heat in plug and inlet at a light load", daily="largest", source="I²R"),
            Given("power.trip_chance.*", "1",
                  "Chance that the dock's device goes in that state of the switches", style="percent",
                  daily="largest"),
        ),
    ),
    Estimate(
        "power.on_the_bank",
        _L + "on_the_bank",
        about="power.bank",
        stateful=True,
        needs=(
            _BOX_CURRENT, _BOX_AMP_HOURS, _SUN, Need("power.dc_amp_hours_per_day", "A"), Need("power.bank_peak", "A"),
            Need("power.inverter_power", "W"), Need("power.dawn_state_of_charge", "1"),
        ),
        gives=(
            Given("power.away_bank_time", "s",
                  "From shore power stopping to the bank's limit, the ice box running; a fortnight at most",
                  style="hours", source="Peukert's law"),
            Given("power.away_covered", "1", "How much of the days you are gone the bank carries the ice box",
                  style="percent"),
            Given("power.fill_spare", "s",
                  "Time left when the bank is full, from 18:00 the evening before to casting off; below zero it is not full",
                  style="hours"),
            Given("power.anchor_lead", "s", "How long before casting off the first of bank and ice box must be begun",
                  style="hours"),
            Given("power.fill_time", "s",
                  "For the charger to fill the bank from its state the evening before, a fortnight at most",
                  style="hours"),
            Given("power.ask_charge", "C", "What it takes of the bank tonight", style="charge", source="Peukert's law"),
            Given("power.ask_dawn", "1", "State of charge at dawn with it", style="percent", daily="least"),
            Given("power.ask_hours", "s", "How long it could run tonight before the bank's limit, a day at most",
                  style="hours"),
            Given("power.ask_peak", "A", "The most at once from the bank with it, its start counted where stated",
                  daily="largest"),
            Given("power.ask_inverter", "W", "The most at once from the inverter with it", daily="largest"),
            Given("power.ask_recovery", "1", "What the day's sun puts back of a day with it", style="percent"),
        ),
    ),
    Estimate(
        "power.away_food",
        _L + "away_food",
        about="cold_box",
        stateful=True,
        needs=(
            Need("cold_box.hours_to_food_line", "s", "5 h ± 60 %"),
            Need("power.away_bank_time", "s", "0 h"),
        ),
        gives=(
            Given("power.away_food_time", "s", "From shore power stopping to the ice box passing the food line",
                  style="hours", daily="least"),
        ),
    ),
    Estimate(
        "power.away_air",
        _L + "away_air",
        stateful=True,
        needs=(Need("weather.outdoor_temperature", "K"), Need("weather.outdoor_humidity_ratio", "1")),
        gives=(
            Given("power.away_humidity", "1",
                  "Humidity of the shut cabin without the air conditioner, a plain estimate", style="share"),
        ),
    ),
    Estimate(
        "power.by_path",
        _L + "by_path",
        needs=(),
        gives=(
            Given("power.by_path.*", "A", "What the same thing takes of the bank by that path",
                  style="amp_hours_per_day"),
            Given("power.charge_time.*", "s", "To fill it at its constant current and that voltage", style="hours"),
            Given("power.charge_amp_hours.*", "C", "What one filling takes of the bank at that voltage",
                  style="charge"),
            Given("power.charge_from_shore.*", "J", "The same from the post, through the boat's charger",
                  style="energy"),
        ),
    ),
)  # fmt: skip
