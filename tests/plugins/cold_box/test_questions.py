"""What the two cards say, and how loudly."""

import numpy as np
import pytest

from console.contract import Bars, Curve, CutBox, Urgency
from plugins.cold_box import questions
from plugins.cold_box.words import share_in_words
from tests.plugins.cold_box.boats import PER_DAY, amp_hours, day, found

COOL = 'temperature = "78 F"\nhumidity = "60 %"'
HOT = 'temperature = "96 F"\nswing = "8 C"\nhumidity = "70 %"'
THIN = 'insulation = "0.8 in"'
BURNS = '[cold_box.compressor]\nrefrigerant = "R600a"'


def cost(text: str, cabin: str = COOL, draws: int = 64):
    ran = day(text, cabin, draws)
    return ran, questions.what_it_costs(found(ran))


def defrost(text: str, cabin: str = COOL, draws: int = 64):
    ran = day(text, cabin, draws)
    return ran, questions.when_to_defrost(found(ran))


def test_a_box_that_keeps_up_is_told_by_what_it_costs():
    ran, answer = cost("")
    assert answer.verdict.startswith(f"About {amp_hours(ran):.0f} Ah a day; ")
    assert answer.urgency is Urgency.FINE
    assert answer.figure == "cold_box.amp_hours_per_day"


def test_the_verdict_names_the_largest_thing_to_mend():
    _, answer = cost('drain = "open"\n[cold_box.seal]\nfailing_share = "80 %"\ngap = "2 mm"')
    assert "of it is the open drain" in answer.verdict
    assert answer.next.startswith("Plug the drain")
    assert "drain_to_bilge" in answer.hazards


def test_a_leaking_door_seal_is_named_with_the_paper_test():
    _, answer = cost('opening = "door"\n[cold_box.seal]\nfailing_share = "80 %"\ngap = "2 mm"')
    assert "the door seal" in answer.verdict
    assert "slip of paper" in answer.next


def test_a_box_over_40_f_is_said_first_with_food_safety():
    ran, answer = cost(THIN, HOT)
    assert ran.daily("cold_box.box_temperature")[0] > 277.6
    assert answer.urgency is Urgency.ACT
    assert "does not keep up" in answer.verdict
    assert "all day long" in answer.verdict
    assert "food_too_warm" in answer.hazards


def test_a_hair_over_the_line_does_not_read_as_on_it():
    """40.3 °F is said as 40 °F: then it is "just over", not 40 °F above 40 °F."""
    _, answer = cost('wet_share = "90 %"\ninsulation = "2 in"', 'temperature = "85.6 F"')
    assert "just over 40 °F inside" in answer.verdict


def test_nothing_in_hand_is_urgent_before_the_food_is_warm():
    ran, answer = cost('insulation = "1.6 in"\nset_point = "36 F"', HOT)
    assert ran.daily("cold_box.box_temperature")[0] < 277.0
    assert answer.urgency in (Urgency.WATCH, Urgency.ACT)
    assert "in hand" in answer.verdict


def test_a_set_point_warmer_than_food_keeps_is_watched():
    _, answer = cost('set_point = "44 F"')
    assert answer.urgency is Urgency.WATCH
    assert "warmer than food keeps" in answer.verdict
    assert "food_too_warm" in answer.hazards


def test_a_set_point_on_the_line_is_not_called_warm():
    assert cost('set_point = "40 F"')[1].urgency is Urgency.FINE


def test_a_freezer_is_not_judged_by_the_fridge_s_line():
    _, answer = cost('set_point = "10 F"\ninsulation = "5 in"', 'temperature = "72 F"')
    assert "warmer than food keeps" not in answer.verdict
    assert answer.urgency is not Urgency.ACT


def test_too_few_volts_are_told_as_such():
    _, answer = cost('[cold_box.compressor]\nfeed_voltage = "10 V ± 0.01 V"')
    assert answer.urgency is Urgency.ACT
    assert "below its cut-out" in answer.verdict
    assert "volts" in answer.next


def test_how_sure_is_the_share_of_draws_that_agree():
    ran, answer = cost(THIN, 'temperature = "86 F"', 128)
    warm = (ran.figures["cold_box.box_temperature"] > 277.594).sum(axis=1) > 2
    warm &= ran.daily("cold_box.box_temperature") > ran.draws.number("cold_box.set_point")[:, 0] + 0.5
    assert answer.sure == pytest.approx(np.mean(warm[1:] == warm[0]))
    assert 0.3 < answer.sure < 1.0


def test_without_draws_nobody_claims_to_be_sure():
    assert cost("", draws=0)[1].sure is None


def test_shares_of_the_reasons_add_up_to_the_whole():
    _, answer = cost('opening = "door"\ndrain = "open"')
    shares = [reason.share for reason in answer.reasons if reason.share is not None]
    assert sum(shares) == pytest.approx(1.0, abs=0.04)
    assert shares == sorted(shares, reverse=True)


def test_the_pictures_hold_the_figures():
    ran, answer = cost('drain = "open"\n[cold_box.seal]\nfailing_share = "60 %"')
    cut, bars = answer.pictures
    assert isinstance(cut, CutBox)
    assert isinstance(bars, Bars)
    total = ran.daily("cold_box.heat_total")[0]
    assert sum(a.value for a in cut.arrows if a.what == "heat") == pytest.approx(total, rel=1e-9)
    assert sum(bar.value for bar in bars.bars) == pytest.approx(total, rel=1e-9)
    assert cut.inside < 280.0 < cut.outside
    assert all(bar.low <= bar.value <= bar.high for bar in bars.bars)


def test_the_defrost_card_says_the_days():
    ran, answer = defrost("")
    days = ran.daily("cold_box.days_to_defrost")[0] / PER_DAY
    assert f"in about {days:.0f} days" in answer.verdict
    assert answer.figure == "cold_box.days_to_defrost"


def test_the_frost_curve_meets_the_limit_on_the_day_it_is_due():
    ran, answer = defrost("")
    curve, _ = answer.pictures
    assert isinstance(curve, Curve)
    line, (_, limit) = curve.series[0], curve.limits[0]
    crossing = np.interp(limit, line.values, curve.x)
    assert crossing == pytest.approx(ran.daily("cold_box.days_to_defrost")[0], rel=1e-6)
    assert all(a <= b <= c for a, b, c in zip(line.low, line.values, line.high, strict=True))


def test_frost_at_the_limit_says_defrost():
    _, answer = defrost('[cold_box.plate]\nfrost = "7 mm"')
    assert answer.verdict.startswith("Defrost it")
    assert answer.urgency is Urgency.WATCH


def test_a_dry_winter_says_no_defrost_is_due():
    _, answer = defrost('food_water = "0 g/day"', 'humidity = "0 %"')
    assert "no defrost is due" in answer.verdict
    assert any("shown as a year" in reason.text for reason in answer.reasons)


def test_the_defrost_card_names_the_drain_when_water_comes_by_it():
    _, answer = defrost('drain = "open"\n[cold_box.seal]\nfailing_share = "60 %"')
    assert "drain" in answer.next


def test_defrosting_always_comes_with_its_cautions():
    _, answer = defrost("")
    assert {"never_chip_ice", "mains_near_melt_water", "food_too_warm"} <= set(answer.hazards)
    assert "flammable_refrigerant" not in answer.hazards


def test_a_burning_refrigerant_is_told_before_defrosting():
    assert "flammable_refrigerant" in defrost(BURNS)[1].hazards


def test_no_answer_speaks_in_keys():
    for text in ("", 'opening = "door"', 'drain = "open"', THIN):
        for _, answer in (cost(text, HOT), defrost(text, HOT)):
            said = [answer.verdict, answer.next, *(reason.text for reason in answer.reasons)]
            assert not any("_" in words or "cold_box" in words or "draws" in words for words in said)
            assert all(words and words == words.strip() for words in said)


WINTER = 'temperature = "33 F"\nhumidity = "60 %"'


@pytest.mark.parametrize(
    ("text", "cabin"), [("", WINTER), ('ice = "6 kg/day"', COOL), ('ice = "1 kg/day"', WINTER)]
)
def test_shares_are_shares_when_ice_or_winter_takes_the_heat_out(text, cabin):
    _, answer = cost(text, cabin)
    shares = [reason.share for reason in answer.reasons if reason.share is not None]
    assert all(0.0 < share <= 1.0 for share in shares)
    assert sum(shares) < 1.0 + 1e-9
    bars = answer.pictures[1]
    assert isinstance(bars, Bars)
    assert all(0.0 <= float(bar.note.rstrip("%")) <= 100.0 for bar in bars.bars)


def test_ice_put_in_is_told_as_what_takes_heat_out():
    _, answer = cost('ice = "6 kg/day"')
    assert any(reason.text.startswith("the ice put in takes") for reason in answer.reasons)
    assert "of the heat is" in answer.verdict


def test_a_box_in_a_winter_cabin_hardly_runs_and_needs_no_step():
    _, answer = cost("", WINTER)
    assert answer.verdict.startswith("It hardly needs to run")
    assert answer.next == "Nothing now."
    assert answer.urgency is Urgency.FINE


def test_a_box_set_warmer_than_its_cabin_is_not_said_to_lack_volts():
    """45 °F in the box, no amps taken, and 12.6 V on its terminals: nothing is broken."""
    _, answer = cost('set_point = "46 F"', 'temperature = "44 F"')
    assert "cut-out" not in answer.verdict
    assert answer.urgency is not Urgency.ACT


def test_a_warm_set_point_is_to_be_turned_colder():
    assert cost('set_point = "46 F"')[1].next.startswith("Turn it colder, to 37 °F")


def test_nobody_is_told_to_raise_the_set_point_of_a_box_too_warm_for_food():
    _, answer = cost('wet_share = "90 %"\ninsulation = "2 in"\nlid_insulation = "2 in"', HOT)
    assert "does not keep up" in answer.verdict
    assert "set-point" not in answer.next
    assert answer.next.startswith("Load ice")


def test_a_box_that_warms_but_not_past_the_line_is_told_how_far():
    ran, answer = cost('set_point = "5 F"\ninsulation = "3 in"', 'temperature = "84 F"')
    warmest = ran.daily("cold_box.box_temperature")[0]
    assert 258.7 < warmest < 267.15
    assert answer.verdict.startswith("It cannot hold 5")
    assert f"{(warmest - 273.15) * 1.8 + 32.0:.0f} °F" in answer.verdict


def test_volts_near_the_cut_out_are_watched_and_measured_with_the_locker_s_cautions():
    _, answer = cost('[cold_box.compressor]\nfeed_voltage = "10.9 V"')
    assert answer.urgency is Urgency.WATCH
    assert {"locker_work", "hot_machine"} <= set(answer.hazards)


def test_a_charge_told_to_be_low_is_the_technician_s():
    _, answer = cost('[cold_box.compressor]\ncharge = "50 %"\nrefrigerant = "R600a"')
    assert "certified technician" in answer.next
    assert {"refrigerant", "flammable_refrigerant"} <= set(answer.hazards)


def test_frost_does_not_grow_on_a_machine_that_stands():
    _, answer = defrost('[cold_box.compressor]\nfeed_voltage = "10 V ± 0.01 V"')
    assert answer.verdict == "No frost grows, for it does not run."


def test_the_density_of_frost_is_the_least_known_until_it_is_told():
    said, told = defrost(""), defrost('[cold_box.plate]\nfrost_density = "200 kg/m3"')
    assert any("least known" in reason.text for reason in said[1].reasons)
    assert not any("least known" in reason.text for reason in told[1].reasons)


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.1, "a tenth"), (0.33, "a third"), (0.5, "half"), (0.66, "two thirds"), (1.0, "nearly all")],
)
def test_shares_are_said_in_words(share, words):
    assert share_in_words(share) == words


# --- what sharpens, what is known, how long it keeps -------------------------------------------


def sharpening(answer) -> str:
    said = next((r.text for r in answer.reasons if r.text.startswith("what would sharpen")), "")
    return said or (answer.next if "Take " in answer.next else "")


def test_the_reading_that_would_sharpen_most_is_in_the_answer():
    _, answer = cost("", draws=256)
    assert "week of amp-hours" in sharpening(answer)
    _, frost = defrost("", draws=256)
    assert sharpening(frost)


def test_a_reading_that_was_taken_is_not_asked_for_again():
    week = '[cold_box.week]\namp_hours = "38 A*h/day"\ncabin_temperature = "78 F"\nbox_temperature = "39 F"'
    _, answer = cost(week, draws=256)
    assert "week of amp-hours" not in sharpening(answer)
    assert any(r.text.startswith("fitted to your amp-hours") for r in answer.reasons)


def test_what_would_sharpen_frost_is_its_density_until_the_jug_tells():
    _, before = defrost('[cold_box.plate]\nfrost_density = "220 kg/m3 ± 70 %"', draws=256)
    assert "how dense" not in sharpening(before)  # stated
    _, unknown = defrost('[cold_box.seal]\nfailing_share = "10 %"\ngap = "0.5 mm"', draws=256)
    assert "how dense" in sharpening(unknown)


def test_foam_on_the_lid_is_not_told_where_nobody_measured_the_lid():
    bare = 'lid_insulation = "0.3 in"'
    _, measured = cost(bare)
    assert "foam board" in measured.next
    _, assumed = cost('insulation = "6 in"\nopening_width = "22 in"\nopening_height = "18 in"')
    assert "foam board" not in assumed.next


def test_without_a_job_the_next_step_is_the_sharpest_reading():
    _, answer = cost("", draws=256)
    assert answer.next.startswith("Nothing to mend now. Take ")


def test_the_answer_says_how_long_food_keeps_without_power():
    ran, answer = cost('set_point = "36 F"', draws=64)
    said = next(r.text for r in answer.reasons if r.text.startswith("without power"))
    assert "40 °F" in said
    assert "thrown away" in said
    hours = ran.daily("cold_box.hours_to_food_line")[0] / 3600.0
    assert f"{hours:.1f}"[:3] in said


def test_a_box_that_falls_short_says_how_much_it_would_have_to_run():
    _, answer = cost(THIN, HOT)
    assert any("would have to run" in r.text and "%" in r.text for r in answer.reasons)


def test_a_box_over_the_line_only_in_the_afternoon_says_from_when_to_when():
    warm = np.zeros(24, dtype=bool)
    warm[13:21] = True
    assert questions._when(warm) == "from 13:00 to 21:00, for 8 hours of the day"
    warm = np.roll(warm, 8)
    assert questions._when(warm) == "from 21:00 to 5:00, for 8 hours of the day"
    assert questions._when(np.ones(24, dtype=bool)) == "all day long"


def test_a_warm_fridge_beside_a_cold_freezer_is_said_first():
    text = (
        'insulation = "4 in"\nset_point = "5 F"\n[cold_box.compressor]\ncurrent = "7 A"\n'
        '[cold_box.divider]\nholes = "0.2 in**2"\nfan_flow = "0 cfm"\ninsulation = "4 in"'
    )
    _, answer = cost(text, 'temperature = "84 F"')
    assert answer.urgency is Urgency.ACT
    assert "The fridge's side is" in answer.verdict
    assert "holes" in answer.next
    assert "food_too_warm" in answer.hazards


def test_amp_hours_by_way_are_the_whole():
    ran, _ = cost('drain = "open"\n[cold_box.seal]\nfailing_share = "50 %"', draws=32)
    ways = sum(
        ran.daily(f"cold_box.amp_hours.{w}") for w in ("walls", "seal", "drain", "openings", "contents")
    )
    assert ways == pytest.approx(ran.daily("cold_box.amp_hours_per_day"), rel=1e-9)


def test_the_frost_card_says_water_by_way_and_the_formulas_density():
    _, answer = defrost('opening = "door"\n[cold_box.seal]\nfailing_share = "60 %"', draws=32)
    assert any("water through the door seal" in r.text and "g/day" in r.text for r in answer.reasons)
    assert any("published formulas" in r.text for r in answer.reasons)
    curve = answer.pictures[0]
    assert len(curve.series[0].low) == len(curve.series[0].high) == len(curve.x)
