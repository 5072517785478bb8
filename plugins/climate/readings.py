"""What an owner can read, see and remember of the air conditioner and the air it works in.

Instruments: a kitchen probe good to ±1.5 °F, which it is out alike wherever it is held, so that the
difference of two of its readings is good to ±0.5 °F; a hygrometer to ±5 %; a panel ammeter to ±3 %
(owners' instruments; page "infrared thermometers" at hvacrschool.com and common practice).
``model_error`` is what the model may be out: in the water's rise 4 %, in the split about 1.2 °F, in
amps 3 %, in condensate 20 % standard deviation, from a trial.
"""

from console.contract import Reading

_CHANCES = "plugins.climate.chances"
_CLIMATE = ("climate",)
_PROBE, _HYGROMETER, _METER = "thermometer", "hygrometer", "ammeter"
_SHARED = "± 0.8 C"

CONDITIONS = (
    Reading(
        "seawater_in", "Seawater going in",
        "The probe in a bucket of water just drawn from beside the intake, or taped to the hose at the strainer "
        "under a rag, ten minutes after the start.",
        3, "condition", unit="K", style="temperature", predicts="weather.seawater_temperature",
        instrument=_PROBE, shared_error=_SHARED, own_error="± 0.2 C", complaints=_CLIMATE,
    ),
    Reading(
        "return_air", "Air going into the unit",
        "The same probe in the air behind the return grille, at the coil; not touching metal; three minutes.",
        3, "condition", unit="K", style="temperature", predicts="climate.return_air_temperature",
        expects="climate.drawn_temperature", beside=("cabin_air",), instrument=_PROBE, shared_error=_SHARED,
        own_error="± 0.4 C", model_error="± 0.8 C", complaints=_CLIMATE,
    ),
    Reading(
        "return_humidity", "Humidity of the air going into the unit",
        "A hygrometer behind the return grille, five minutes, out of the cold stream.",
        5, "condition", unit="1", style="share", predicts="climate.return_humidity",
        expects="climate.drawn_humidity", beside=("cabin_air", "cabin_humidity"), instrument=_HYGROMETER,
        shared_error="± 5 %", own_error="± 2 %", model_error="± 4 %", complaints=_CLIMATE,
    ),
    Reading(
        "return_wet_bulb", "Wet bulb of the air going into the unit",
        "The probe's tip in wet cotton behind the return grille, with the fan running, until it stops falling.",
        5, "condition", unit="K", style="temperature", predicts="climate.return_wet_bulb",
        expects="climate.drawn_wet_bulb", beside=("cabin_air", "cabin_humidity"), instrument=_PROBE,
        shared_error=_SHARED, own_error="± 0.4 C", model_error="± 0.8 C", complaints=_CLIMATE,
    ),
    Reading(
        "cabin_air", "Air in the cabin",
        "The same probe where you sit, in the shade, away from grilles and panel; three minutes.",
        3, "condition", unit="K", style="temperature", predicts="climate.cabin_temperature",
        instrument=_PROBE, shared_error=_SHARED, own_error="± 0.4 C", complaints=_CLIMATE,
    ),
    Reading(
        "cabin_humidity", "Cabin humidity",
        "A hygrometer beside the thermometer, out of the air conditioner's stream.",
        2, "condition", unit="1", style="share", predicts="climate.cabin_humidity",
        instrument=_HYGROMETER, shared_error="± 5 %", own_error="± 2 %", complaints=_CLIMATE,
    ),
    Reading(
        "outside_air", "Air outside",
        "The probe outside, in the shade and the wind, off the deck; or the forecast for now.",
        3, "condition", unit="K", style="temperature", predicts="weather.outdoor_temperature",
        instrument=_PROBE, shared_error=_SHARED, own_error="± 0.8 C", complaints=_CLIMATE,
    ),
)  # fmt: skip

EVIDENCE = (
    Reading(
        "seawater_out", "Seawater coming out",
        "The same probe as for the water going in, held in the stream at the overboard, ten minutes after the start.",
        3, "evidence", unit="K", style="temperature", predicts="climate.seawater_out",
        instrument=_PROBE, shared_error=_SHARED, own_error="± 0.3 C", model_error="± 0.4 C", complaints=_CLIMATE,
    ),
    Reading(
        "supply_air", "Air coming out of the unit",
        "The same probe as for the air going in, in the middle of the stream at the unit's own outlet or the nearest "
        "grille; not touching the duct; three minutes, ten minutes after the start.",
        3, "evidence", unit="K", style="temperature", predicts="climate.supply_temperature",
        instrument=_PROBE, shared_error=_SHARED, own_error="± 0.5 C", model_error="± 1.2 C", complaints=_CLIMATE,
    ),
    Reading(
        "panel_air", "What the thermostat shows",
        "Read the air temperature off its display, not the set-point, beside that of the cabin.",
        1, "evidence", unit="K", style="temperature", predicts="climate.panel_temperature",
        instrument="thermostat", shared_error="± 0.8 C", own_error="± 0.5 C", complaints=_CLIMATE,
    ),
    Reading(
        "unit_current", "Amps of the air conditioner",
        "Panel or post ammeter, unit running less unit off, nothing else switching meanwhile. Never by opening a "
        "live panel.",
        3, "evidence", unit="A", style="current", predicts="climate.unit_current",
        instrument=_METER, shared_error="± 3 %", own_error="± 3 %", model_error="± 5 %", hazards=("mains",),
        complaints=_CLIMATE,
    ),
    Reading(
        "condensate_rate", "Water dripping from the drain",
        "A cup under the drain's end for fifteen minutes while it runs, half an hour after the start; times four.",
        15, "evidence", unit="kg/s", style="mass_per_hour", predicts="climate.condensate_rate",
        instrument="cup", own_error="± 8 %", model_error="± 33 %", complaints=_CLIMATE,
    ),
    Reading(
        "airflow", "Air at the grilles",
        "A tissue or a hand at every grille, fan on high: strong, weak, none, or strong at some and weak at others.",
        2, "evidence", choices=("strong", "weak", "none", "uneven"), chances=f"{_CHANCES}:airflow",
        complaints=_CLIMATE,
    ),
    Reading(
        "evaporator_frost", "Frost on the cold coil",
        "Run it half an hour, breaker off, filter out, torch: no frost, frost on a part, or all white.",
        5, "evidence", choices=("none", "part", "all"), chances=f"{_CHANCES}:evaporator_frost",
        hazards=("hot_and_sharp", "mains"), complaints=_CLIMATE,
    ),
    Reading(
        "trip", "What the display says when it stops",
        "Read the code and look it up in the unit's manual. \"unknown\" if it stops and you cannot tell why.",
        1, "evidence", choices=("none", "high_pressure", "low_pressure", "voltage", "freeze", "unknown"),
        chances=f"{_CHANCES}:trip", hazards=("trip_resets",), complaints=_CLIMATE,
    ),
    Reading(
        "runs", "How it runs",
        "Listen for half an hour: without a stop, on and off, or on and off within minutes.",
        5, "evidence", choices=("continuous", "cycling", "short_cycling"), chances=f"{_CHANCES}:runs",
        complaints=_CLIMATE,
    ),
    Reading(
        "worst_time", "When it is worst",
        "From memory of the last days.",
        1, "evidence", choices=("always", "afternoon", "night", "evening"), chances=f"{_CHANCES}:worst_time",
        complaints=_CLIMATE,
    ),
)  # fmt: skip

EVENT = Reading(
    "recent_event", "What happened just before",
    "Anything since it last cooled well: several may be true.",
    1, "event",
    choices=(
        "none", "launched", "sailed", "stowed", "serviced", "cleaned_strainer", "idle_weeks", "moved_berth",
        "storm", "grounded",
    ),
    complaints=_CLIMATE,
)  # fmt: skip

READINGS = (*CONDITIONS, *EVIDENCE, EVENT)
