"""What the power plugin needs, gives and asks: plain records, no arithmetic."""

from __future__ import annotations

from console.contract import Estimate, Given, Need

_E = "plugins.power.estimates:"

_RUN_SHARE = Need("climate.run_share", "1", "0")
_UNIT_CURRENT = Need("climate.unit_current", "A", "0 A")
_UNIT_POWER = Need("climate.unit_power", "W", "0 W")
_START_CURRENT = Need("climate.start_current", "A", "0 A")
_BOX_CURRENT = Need("cold_box.compressor_current", "A", "0 A")
_SUN = Need("power.solar_amp_hours_per_day", "A", "0 A")
_BOX_AMP_HOURS = Need("cold_box.amp_hours_per_day", "A", "0 A")

ESTIMATES = (
    Estimate(
        "power.before",
        _E + "before",
        needs=(),
        gives=(
            Given(
                "power.equipment_heat", "W", "Heat that appliances, cooking and what is always warm give the cabin",
                style="heat",
            ),
            Given(
                "power.supply_voltage", "V",
                "Volts at the air conditioner at its label amps, behind dock, contacts and cord",
                daily="least", source="Ohm's law; NEC chapter 9 table 8",
            ),
            Given(
                "power.expected_supply_voltage", "V",
                "What the boat's own numbers make of those volts, whatever a meter says", daily="least",
                source="Ohm's law; NEC chapter 9 table 8",
            ),
        ),
    ),
    Estimate(
        "power.shore",
        "plugins.power.at_dock:at_shore",
        about="power.shore",
        stateful=True,
        needs=(
            _RUN_SHARE, _UNIT_CURRENT, _UNIT_POWER, _START_CURRENT, _BOX_CURRENT, _BOX_AMP_HOURS,
            Need("power.supply_voltage", "V"),
            _SUN,
        ),
        gives=(
            Given("power.shore_current", "A", "Shore current, mean of each hour, of the leg that carries more"),
            Given("power.shore_peak", "A", "Shore amps of the largest hour", daily="largest"),
            Given(
                "power.shore_continuous", "A", "Shore amps over the worst three hours",
                daily="largest", source="NEC 210.19 and 210.20: three hours or more is continuous",
            ),
            Given(
                "power.shore_together", "A", "Shore amps with all on at once", daily="largest"
            ),
            Given(
                "power.shore_limit", "A",
                "What holds: the least rating of post breaker, adapter, cord, inlet and main breaker",
                daily="least",
            ),
            Given(
                "power.inlet_share", "1",
                "The largest three-hour current as a share of the least rating; 80 % is the continuous line",
                style="percent", daily="largest",
            ),
            Given("power.inlet_voltage", "V", "Volts on board", daily="least"),
            Given(
                "power.start_peak", "A", "Shore amps as the air conditioner starts",
                daily="largest",
            ),
            Given("power.start_voltage", "V", "Volts on board as it starts", daily="least"),
            Given(
                "power.contact_heat", "W",
                "Heat in plug and inlet",
                daily="largest", source="I²R, the mean of the square",
            ),
            Given(
                "power.energy_per_day", "W", "Energy a day from shore",
                style="energy_per_day",
            ),
            Given(
                "power.pair_current.*", "A", "What two things take when both are on, where their hours touch",
                daily="largest",
            ),
            Given(
                "power.cost_per_day.*", "1/s", "What the post's meter counts, at the stated price",
                style="cost_per_day",
            ),
            Given(
                "power.nameplate_current", "A",
                "Common practice, no source: the largest thing's amps and half of all the others'", daily="largest",
            ),
            Given("power.load_current.*", "A", "Its part of the shore current, mean of each hour"),
            Given("power.load_hours.*", "s", "How long a day it is on", style="hours"),
            Given("power.running_current.*", "A", "What it takes from shore while it is on", daily="largest"),
        ),
    ),
    Estimate(
        "power.dc",
        _E + "direct_current",
        needs=(_RUN_SHARE, _UNIT_POWER, _BOX_CURRENT, _BOX_AMP_HOURS),
        gives=(
            Given(
                "power.dc_amp_hours_per_day", "A",
                "Taken from the bank at anchor",
                style="amp_hours_per_day",
            ),
            Given("power.dc_load.*", "A", "Its part of the amp-hours a day", style="amp_hours_per_day"),
            Given("power.bank_peak", "A", "The most the bank must give at once, starts apart", daily="largest"),
            Given(
                "power.bank_current_low", "A", "The same with the bank well used (11.8 V of a 12 V bank)",
                daily="largest",
            ),
            Given(
                "power.bank_current_high", "A", "The same with the bank absorbing (14.4 V of a 12 V bank)",
                daily="largest",
            ),
            Given("power.inverter_power", "W", "The most the inverter must give at once", daily="largest"),
            Given(
                "power.rated_share.*", "1",
                "The most asked of it at once as a share of what it may give (bank, inverter, bus bar)",
                style="percent", daily="largest",
            ),
        ),
    ),
    Estimate(
        "power.sun",
        _E + "sun",
        about="power.solar",
        needs=(
            Need("weather.sun_zenith", "rad"), Need("weather.sun_azimuth", "rad"),
            Need("weather.direct_normal", "W/m**2"), Need("weather.diffuse_horizontal", "W/m**2"),
            Need("weather.outdoor_temperature", "K"),
        ),
        gives=(
            Given(
                "power.solar_amp_hours_per_day", "A",
                "From the panels at anchor",
                style="amp_hours_per_day",
                source="Dobos, PVWatts Version 5 (2014); cells by Ross (1980)",
            ),
        ),
    ),
    Estimate(
        "power.anchor",
        _E + "at_anchor",
        about="power.bank",
        stateful=True,
        needs=(
            Need("weather.sun_zenith", "rad"),
            Need("power.dc_amp_hours_per_day", "A"),
            Need("power.bank_peak", "A"),
            _SUN,
        ),
        gives=(
            Given(
                "power.state_of_charge", "1",
                "State of charge at anchor from sunset on, starting at the stated state at sunset",
                style="percent", daily="least", source="Peukert's law",
            ),
            Given(
                "power.dawn_state_of_charge", "1",
                "Left in the bank at dawn",
                style="percent", daily="least", source="Peukert's law",
            ),
            Given(
                "power.dawn_amp_hours", "C",
                "Amp-hours left at that moment above what you are willing to use; below zero it is short",
                style="charge", daily="least",
            ),
            Given(
                "power.bank_hours", "s",
                "Hours of the largest load from full",
                style="hours", source="Peukert's law",
            ),
            Given(
                "power.recovery", "1", "What the sun puts back of a day",
                style="percent",
            ),
        ),
    ),
    Estimate(
        "power.circuits",
        "plugins.power.circuits:drops",
        needs=(),
        gives=(
            Given(
                "power.circuit_drop.*", "1",
                "Volts lost out and back as a share of the nominal volts, the bank at its lowest",
                style="percent", source="Ohm's law; NEC chapter 9 table 8",
            ),
            Given("power.circuit_voltage.*", "V", "Volts left at its end, the bank at its lowest", daily="least"),
            Given("power.circuit_limit.*", "A", "What its wire carries as it lies", daily="least",
                  source="33 CFR 183.425 table 5, from memory, or as stated"),
            Given(
                "power.circuit_relay.*", "V",
                "With a relay beside the battery: volts above what it must have, at it and at the relay's coil",
                daily="least",
            ),
            Given(
                "power.circuit_load.*", "1",
                "Its amps as a share of what its wire carries as it lies; over 100 % it can burn", style="percent",
            ),
            Given(
                "power.circuit_spare.*", "V",
                "Volts at its end above what it must have, the bank at its lowest; below zero it fails",
                daily="least",
            ),
            Given(
                "power.circuit_area.*", "m**2", "Wire size its drop asks for, and its heat where the insulation is known",
                style="wire", source="ABYC E-11: CM = K I L / E; 33 CFR 183.425 table 5, from memory",
            ),
        ),
    ),
)  # fmt: skip
