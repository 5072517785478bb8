"""What an owner can see, hear and time on the raw-water line."""

from console.contract import Reading

_CHANCES = "plugins.raw_water.chances"
_CLIMATE = ("climate",)

READINGS = (
    Reading(
        "fill_time", "Seconds to fill the bucket",
        "Hold the bucket under the overboard, ten minutes after the start, and time it to the brim; "
        "twice, and again if the two differ by more than two seconds. Under 15 seconds take a larger bucket.",
        4, "evidence", unit="s", style="seconds", predicts="raw_water.fill_time", instrument="bucket",
        shared_error="± 5 %", own_error="± 5 %", model_error="± 4 %", complaints=_CLIMATE,
    ),
    Reading(
        "raw_water_flow", "Seawater flow",
        "From a flow meter, or a bucket's volume over its seconds, ten minutes after the start.",
        4, "evidence", unit="m**3/s", style="flow", predicts="raw_water.flow", instrument="bucket",
        shared_error="± 5 %", own_error="± 5 %", model_error="± 4 %", complaints=_CLIMATE,
    ),
    Reading(
        "strainer", "The strainer's basket",
        "Look through the clear bowl with a torch. Only lift the basket with the pump's breaker off and the "
        "seacock shut. \"dirty\" if you can say no more.",
        2, "evidence", choices=("clean", "third", "half", "packed", "dirty"), chances=f"{_CHANCES}:strainer",
        hazards=("below_waterline",), complaints=_CLIMATE,
    ),
    Reading(
        "seacock", "The seacock's handle",
        "Look how it stands: in line with the hose is open, square across it is shut. Do not force it.",
        1, "evidence", choices=("open", "partly", "stiff"), chances=f"{_CHANCES}:seacock", complaints=_CLIMATE,
        forbids=(("stiff", "below_waterline"),),
    ),
    Reading(
        "hose_look", "The hoses",
        "Follow each hose with a torch and a hand; look behind what was stowed last.",
        5, "evidence", choices=("clear", "pinched", "cannot_see"), chances=f"{_CHANCES}:hose_look",
        complaints=_CLIMATE,
    ),
    Reading(
        "bubbles", "Bubbles in the strainer bowl",
        "Watch the clear bowl while the pump runs.",
        1, "evidence", choices=("none", "some", "many"), chances=f"{_CHANCES}:bubbles", complaints=_CLIMATE,
    ),
    Reading(
        "intake_gush", "The gush with the lid off",
        "Pump's breaker off, seacock shut. Lid off, hand on the seacock, crack it open: a good one fills the "
        "bowl in one to three seconds. Shut it again at once.",
        8, "evidence", choices=("strong", "weak", "none"), chances=f"{_CHANCES}:intake_gush",
        hazards=("below_waterline", "wet_mains_pump"), complaints=_CLIMATE,
    ),
    Reading(
        "overboard_stream", "The stream at the overboard",
        "Look over the side while the unit runs.",
        1, "evidence", choices=("full", "weak", "pulsing", "none"), chances=f"{_CHANCES}:overboard_stream",
        complaints=_CLIMATE,
    ),
    Reading(
        "pump_sound", "The sound of the pump",
        "Listen at the pump's locker with the unit running; do not touch.",
        2, "evidence", choices=("normal", "racing", "humming", "grinding", "silent"),
        chances=f"{_CHANCES}:pump_sound", hazards=("locker_work",), complaints=_CLIMATE,
    ),
    Reading(
        "after_cleaning", "The flow after cleaning the strainer",
        "Once the basket is clean: did the stream come back, or is it as before?",
        15, "evidence", choices=("restored", "unchanged"), chances=f"{_CHANCES}:after_cleaning",
        hazards=("below_waterline", "wet_mains_pump", "locker_work"), complaints=_CLIMATE,
    ),
    Reading("cleaned_strainer", "Cleaned the strainer", "Write it on the day the basket was clean.", 1, "event"),
    Reading("repair", "Repaired", 'What was repaired: "line", any work on the raw-water line.', 1, "event",
            choices=("line",)),
)  # fmt: skip
