"""The causes of a box that is warm, costly or quick to frost, told apart by the console's own weighing."""

import pytest

from console.inference import Consultation
from tests.plugins.cold_box.boats import boat

CABIN = 'temperature = "82 F"\nhumidity = "66 %"'
AIR = (("cabin_temperature", "82 F"), ("cabin_humidity", "66 %"))


def chances(*readings: tuple[str, str], text: str = "") -> dict[str, float]:
    result = Consultation(boat(text, CABIN), "cold_box", [*AIR, *readings]).result()
    return {key.removeprefix("cold_box."): chance for key, (chance, _) in result.presence.items()}


@pytest.mark.parametrize(
    ("cause", "readings"),
    [
        ("leaking_seal", [("paper_slip", "slips_many"), ("drain", "plugged"), ("box_openings", "9 per day")]),
        ("open_drain", [("drain", "open"), ("paper_slip", "slips_some")]),
        ("thick_frost", [("frost_thickness", "13 mm"), ("plate_frost", "all")]),
        ("hot_condenser_space", [("locker_air", "108 F"), ("condenser_fan", "still")]),
        ("low_refrigerant", [("plate_frost", "part"), ("compressor_runs", "continuous"), ("locker_air", "88 F")]),
        ("low_feed_voltage", [("terminal_voltage", "10.8 V"), ("compressor_runs", "tries_and_stops")]),
        ("many_openings", [("box_openings", "60 per day"), ("paper_slip", "holds"), ("drain", "plugged")]),
        ("wet_insulation", [("amp_hours_per_day", "85 A*h/day"), ("plate_frost", "all"), ("locker_air", "87 F"),
                            ("condenser_fan", "turns"), ("frost_thickness", "1 mm"), ("box_openings", "9 per day")]),
    ],
)  # fmt: skip
def test_each_trouble_is_named_from_what_an_owner_sees(cause, readings):
    made = chances(*readings)
    assert max(made, key=made.get) == cause, made
    assert made[cause] > 0.3


def test_a_box_that_reads_as_it_should_is_let_alone():
    made = chances(
        ("amp_hours_per_day", "44 A*h/day"), ("plate_frost", "all"), ("locker_air", "87 F"), ("drain", "plugged"),
        ("condenser_fan", "turns"), ("frost_thickness", "2 mm"), ("paper_slip", "holds"),
        ("box_openings", "9 per day"), ("terminal_voltage", "12.6 V"), ("compressor_runs", "cycling"),
        text='[cold_box.seal]\nfailing_share = "3 %"',
    )  # fmt: skip
    assert max(made, key=made.get) in ("nothing_wrong", "overloaded_box")
    assert made["nothing_wrong"] > 0.3


def test_a_warm_box_makes_a_machine_that_falls_short_likelier():
    warm, cold = (chances(("box_temperature", t)) for t in ("52 F", "39 F"))
    short = ("low_refrigerant", "low_feed_voltage", "wet_insulation")
    assert sum(warm[c] for c in short) > 1.5 * sum(cold[c] for c in short)


def test_melt_water_parts_a_leak_from_a_hot_locker():
    much, little = (
        chances(
            ("melt_water", f"{grams} g in 10 days"),
        )
        for grams in (900, 120)
    )
    leaks = ("leaking_seal", "open_drain")
    assert sum(much[c] for c in leaks) > 2.0 * sum(little[c] for c in leaks)
