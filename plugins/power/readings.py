"""What an owner can read of the supply, and what the dock's device says when branches are switched.

Every test of a trip is made with the boat's own branch breakers and its main, never behind a panel,
and at most twice: a device that goes is telling something.
"""

from console.contract import Reading

_CHANCES = "plugins.power.chances"
_SHORE = ("shore",)
_HAZARDS = ("shock_in_the_water", "ground_fault_trip", "mains_work")
_TEST = ("trips", "holds")

READINGS = (
    Reading(
        "supply_voltage", "Volts at the air conditioner",
        "The panel's own meter while the air conditioner runs, and the largest other thing that usually runs with it. "
        "Never by opening a live panel.",
        1, "condition", unit="V", style="voltage", predicts="power.supply_voltage",
        expects="power.expected_supply_voltage", instrument="panel_meter", shared_error="± 2 %", own_error="± 1 %",
        hazards=("mains_work",), complaints=("climate",),
    ),
    Reading(
        "trip_when", "When it goes",
        "What happened last before it went? Do not provoke it: remember. Plugged in with all off; the main was "
        "switched on; the water heater came on; the air conditioner started; some minutes under load; no pattern.",
        1, "evidence", choices=("plugging_in", "main_on", "heater_starts", "unit_starts", "minutes_loaded", "no_pattern"),
        chances=f"{_CHANCES}:trip_when", hazards=_HAZARDS, complaints=_SHORE,
    ),
    Reading(
        "trip_device", "Which device went",
        "Look at the post and at the boat's own panel: one with a test button looks for current to ground; a plain "
        "handle looks for too much current. Many posts have both in one.",
        2, "evidence", choices=("breaker", "ground_fault", "cannot_tell"), chances=f"{_CHANCES}:trip_device",
        hazards=_HAZARDS, complaints=_SHORE,
    ),
    Reading(
        "trip_weather", "Rain and spray", "Does it go only when it rains or spray flies, or in dry weather too?",
        1, "evidence", choices=("wet_only", "dry_too", "cannot_tell"), chances=f"{_CHANCES}:trip_weather",
        hazards=_HAZARDS, complaints=_SHORE,
    ),
    Reading(
        "plug_feel", "The plug under load",
        "After an hour under a light load, back of a dry hand on plug and inlet, off the dock edge. Hot, marked or "
        "smelling: breaker at the post off first, never pull it under load.",
        60, "evidence", choices=("cool", "warm", "hot"), chances=f"{_CHANCES}:plug_feel",
        hazards=("inlet_overheating", *_HAZARDS), complaints=_SHORE,
    ),
    Reading(
        "main_off", "Plugged in with the boat's main off",
        "All branch breakers off, main off, then the post on, once, for ten minutes.",
        12, "evidence", choices=_TEST, chances=f"{_CHANCES}:main_off", hazards=_HAZARDS, complaints=_SHORE,
    ),
    Reading(
        "branches_off", "Main on, every branch off",
        "All branch breakers off, post on, then the main on, for ten minutes.",
        12, "evidence", choices=_TEST, chances=f"{_CHANCES}:branches_off", hazards=_HAZARDS, complaints=_SHORE,
    ),
    Reading(
        "heater_alone", "Only the water heater on", "Every other branch off, then the water heater's on, ten minutes.",
        12, "evidence", choices=_TEST, chances=f"{_CHANCES}:heater_alone", hazards=_HAZARDS, complaints=_SHORE,
    ),
    Reading(
        "unit_alone", "Only the air conditioner on",
        "Every other branch off, then the air conditioner's on, set to its coldest, until it has run ten minutes.",
        15, "evidence", choices=("trips_at_start", "trips_running", "holds"), chances=f"{_CHANCES}:unit_alone",
        hazards=_HAZARDS, complaints=_SHORE,
    ),
    Reading(
        "light_load", "A light load for an hour",
        "Water heater, air conditioner and galley off; charger, lights and small things on, for an hour.",
        60, "evidence", choices=_TEST, chances=f"{_CHANCES}:light_load", hazards=_HAZARDS, complaints=_SHORE,
    ),
    Reading(
        "other_post", "On another post",
        "With the dock's leave, the same boat with the same things on at another post of the same size that has a test "
        "button too: one without would hold and let a leak run into the water. Everything off before you unplug, dock "
        "end first.",
        20, "evidence", choices=_TEST, chances=f"{_CHANCES}:other_post", hazards=("inlet_overheating", *_HAZARDS),
        complaints=_SHORE,
    ),
)  # fmt: skip
