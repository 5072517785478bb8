"""Bad input is one sentence that says where and what is accepted."""

import pytest

from console.boatfile.errors import BoatFileError

from .conftest import boat_of

CIRCUIT = '[[power.circuit]]\nname = "feed"\nlength = "{}"\n'

BAD = {
    "a circuit with no length": (CIRCUIT.format("0 ft"), "length"),
    "a bank at 0 V": ('[power.bank]\nvoltage = "0 V"\n', "voltage"),
    "a converter above 100 % efficient": ('[power.inverter]\nefficiency = "105 %"\n', "efficiency"),
    "a charger above 100 % efficient": ('[power.charger]\nefficiency = "120 %"\n', "efficiency"),
    "a load with negative hours": ('[[power.load]]\nname = "x"\nhours = ["-1:00-05:00"]\n', "hours"),
    "asked for negative hours": ('[power.bank]\n[power.ask]\nhours = "-2 h"\n', "hours"),
    "an unknown insulation": ('[[power.circuit]]\nname = "feed"\ninsulation = "999C"\n', "insulation"),
    "a price in no unit": ('[power.shore]\ntariff = "0.3 per bucket"\n', "tariff"),
}


@pytest.mark.parametrize("what", BAD)
def test_bad_input_is_one_sentence(what):
    text, field = BAD[what]
    with pytest.raises(BoatFileError) as caught:
        boat_of(text)
    said = str(caught.value)
    print(f"{what}: {said}")
    assert "\n" not in said.strip()
    assert field in said
    assert "Traceback" not in said
