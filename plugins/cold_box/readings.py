"""What an owner can see, weigh and measure of the ice box."""

from console.contract import Reading

_CHANCES = "plugins.cold_box.chances"
_BOX = ("cold_box",)

READINGS = (
    Reading(
        "melt_water", "Melt-water of a defrost",
        "Defrost into a jug with the drain plugged and weigh or measure all of it; a millilitre is a gram.",
        20, "evidence", unit="kg", style="mass", predicts="cold_box.frost_rate", instrument="jug",
        shared_error="± 3 %", own_error="± 12 %", model_error="± 15 %", over="since:defrosted",
        period_error="± 25 %", surer_after=("drain_plugged", "food_covered"), surer_error="± 13 %",
        hazards=("mains_near_melt_water", "never_chip_ice", "food_too_warm"), complaints=_BOX,
    ),
    Reading(
        "frost_thickness", "Frost on the plate",
        "Stand a ruler on the plate in three places, never a knife, and take the mean.",
        2, "evidence", unit="m", style="short_length", predicts="cold_box.frost_thickness",
        instrument="ruler", own_error="± 1 mm", model_error="± 1 mm", hazards=("never_chip_ice",), complaints=_BOX,
    ),
    Reading(
        "cabin_temperature", "Cabin air by the box",
        "A thermometer in the shade near the box, not on it, after ten minutes; for a log, the day's mean.",
        2, "condition", unit="K", style="temperature", predicts="climate.cabin_temperature",
        instrument="thermometer", shared_error="± 0.8 C", own_error="± 0.5 C", complaints=_BOX,
    ),
    Reading(
        "cabin_humidity", "Cabin humidity",
        "A hygrometer beside the thermometer, out of the air conditioner's stream.",
        2, "condition", unit="1", style="share", predicts="climate.cabin_humidity",
        instrument="hygrometer", shared_error="± 5 %", own_error="± 2 %", complaints=_BOX,
    ),
    Reading(
        "box_temperature", "Inside the box",
        "A thermometer in a glass of water in the middle of the box, left overnight.",
        2, "condition", unit="K", style="temperature", predicts="cold_box.box_temperature",
        expects="cold_box.settled_temperature", beside=("cabin_temperature",),
        instrument="thermometer", shared_error="± 0.8 C", own_error="± 0.5 C", model_error="± 1.5 C", complaints=_BOX,
    ),
    Reading(
        "box_openings", "Times it was opened",
        "A pencil mark on the lid each time; the day's count.",
        1, "evidence", unit="1/s", style="per_day", predicts="cold_box.openings_per_day",
        own_error="± 15 %", model_error="± 5 %", over="day", complaints=_BOX, sets="cold_box.openings",
    ),
    Reading(
        "amp_hours_per_day", "Amp-hours it took in a day",
        "From the battery monitor: the box's own, or all with everything else off; solar off or added back.",
        3, "evidence", unit="A", style="amp_hours_per_day", predicts="cold_box.amp_hours_per_day",
        instrument="battery_monitor", shared_error="± 4 %", own_error="± 4 %", model_error="± 6 %",
        over="day", period_error="± 5 %", complaints=_BOX,
    ),
    Reading(
        "battery_voltage", "Volts at the battery",
        "A multimeter on the battery's own posts while the compressor runs; or the battery monitor.",
        3, "evidence", unit="V", style="voltage", predicts="cold_box.battery_voltage",
        instrument="voltmeter", shared_error="± 1 %", own_error="± 0.5 %", model_error="± 1 %",
        hazards=("battery",), complaints=_BOX,
    ),
    Reading(
        "terminal_voltage", "Volts at the compressor",
        "A multimeter on the compressor's own two supply terminals while it runs; mind the other one's sleeve.",
        5, "evidence", unit="V", style="voltage", predicts="cold_box.terminal_voltage",
        instrument="voltmeter", shared_error="± 1 %", own_error="± 1 %", model_error="± 1 %",
        hazards=("locker_work", "hot_machine"), complaints=_BOX,
    ),
    Reading(
        "locker_air", "Air at the condenser",
        "A thermometer in the air going into the condenser, after it has run ten minutes.",
        4, "evidence", unit="K", style="temperature", predicts="cold_box.locker_air",
        instrument="thermometer", shared_error="± 0.8 C", own_error="± 1 C", model_error="± 1 C",
        hazards=("locker_work",), complaints=_BOX,
    ),
    Reading(
        "plate_frost", "The look of the plate",
        "Look before you defrost: is all of the plate white, a part of it, or none?",
        1, "evidence", choices=("none", "part", "all"), chances=f"{_CHANCES}:plate_frost", complaints=_BOX,
    ),
    Reading(
        "compressor_runs", "How the compressor runs",
        "Listen for half an hour on a usual day, the box shut.",
        30, "evidence", choices=("continuous", "cycling", "tries_and_stops", "off"),
        chances=f"{_CHANCES}:compressor_runs", complaints=_BOX,
    ),
    Reading(
        "condenser_fan", "The condenser's fan",
        "Look, do not touch, while the compressor runs.",
        2, "evidence", choices=("turns", "still"), chances=f"{_CHANCES}:condenser_fan",
        hazards=("hot_machine", "locker_work"), complaints=_BOX,
    ),
    Reading(
        "drain", "The drain of the box",
        "Follow it from the floor of the box: into the bilge, through a loop full of water, or plugged.",
        3, "evidence", choices=("open", "trapped", "plugged"), chances=f"{_CHANCES}:drain",
        hazards=("drain_to_bilge",), complaints=_BOX,
    ),
    Reading(
        "paper_slip", "The paper test",
        "Shut the lid on a slip of paper and tug, all the way round, latched and cold; clean the gasket first.",
        5, "evidence", choices=("holds", "slips_some", "slips_many"), chances=f"{_CHANCES}:paper_slip",
        complaints=_BOX,
    ),
    Reading("set_point", "Set-point changed", "Write what it is set to now.", 1, "event",
            unit="K", style="temperature", predicts="cold_box.box_temperature", sets="cold_box.set_point"),
    Reading("defrosted", "Defrosted", "Write it on the day the plate was bare.", 1, "event"),
    Reading("repair", "Repaired", 'What was repaired: "seal".', 1, "event", choices=("seal",)),
    Reading("drain_plugged", "Drain plugged", "Write it when the drain was plugged, or its trap filled.", 1,
            "event"),
    Reading("food_covered", "Food covered", "Write it when wet food is kept covered.", 1, "event"),
    Reading("contents", "Loaded or emptied", "Write what went in or out, when it was much.", 1, "event"),
)  # fmt: skip
