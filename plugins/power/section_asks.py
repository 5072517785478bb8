"""Tables inside [power] of what is asked: leaving, casting off, one thing more; and of what leaks.

Clock hours are numbers here ("18 h"), so that they can be varied.
"""

from __future__ import annotations

from typing import Literal

from console.fields import Quantity, Table, choice, quantity, text


class Ask(Table):
    """One thing more on the bank tonight: can it run so long?"""

    name: str = text("", help="What you call it.")
    power: Quantity = quantity(
        "power", "100 W", given="± 5 %", hard=("0 W", "20000 W"), usual=("1 W", "3500 W"),
        help="What it takes while it is on, from its label.",
    )  # fmt: skip
    hours: Quantity = quantity(
        "hours", "5 h", given="± 5 %", hard=("0 h", "24 h"), usual=("0.05 h", "14 h"),
        help="For how long it is to run tonight.",
    )  # fmt: skip
    start: Quantity = quantity(
        "power", None, hard=("0 W", "60000 W"), usual=("10 W", "20000 W"),
        help="What it takes for the moment it starts, if it has a motor: five times its watts is usual.",
    )  # fmt: skip
    path: Literal["direct", "regulated_12", "regulated_24", "inverter", "inverter_charger"] = choice(
        "direct", help="How it hangs on the bank; behind the inverter if it has a mains plug."
    )


class Away(Table):
    """Leaving the boat at the dock."""

    days: Quantity = quantity(
        "days", "7 days", hard=("0.1 days", "60 days"), usual=("0.5 days", "30 days"),
        help="For how many days you go.",
    )  # fmt: skip
    stops_at: Quantity = quantity(
        "hours", "18 h", hard=("0 h", "24 h"), help="The hour of the day at which shore power is asked to stop; "
        "18 h is the worst for panels.",
    )  # fmt: skip
    state: Quantity = quantity(
        "share", "97 % ± 4 %", given="± 3 %", hard=("0 %", "100 %"),
        help="How full the bank is when shore power stops; a charger left on keeps it nearly full.",
    )  # fmt: skip
    always_on: Quantity = quantity(
        "share", "100 %", hard=("0 %", "100 %"),
        help="How much of what is always on stays on; 0 % with the battery switch off behind the ice box.",
    )  # fmt: skip
    moisture: Quantity = quantity(
        "humidity_ratio", "1 g/kg ± 80 %", hard=("0 g/kg", "15 g/kg"), usual=("0 g/kg", "5 g/kg"),
        help="By how much the air of the shut cabin is wetter than outdoors: bilge water and wet gear.",
    )  # fmt: skip
    warmth: Quantity = quantity(
        "temperature_difference", "2 delta_degC ± 1.5 delta_degC",
        hard=("0 delta_degC", "30 delta_degC"), usual=("0 delta_degC", "20 delta_degC"),
        help="By how much the shut cabin is warmer than the day's mean outdoors, without the air conditioner.",
    )  # fmt: skip


class Anchor(Table):
    """Casting off for the anchorage."""

    leave_at: Quantity = quantity(
        "hours", "10 h", hard=("0 h", "24 h"), help="The hour of the day at which you cast off."
    )
    state_now: Quantity = quantity(
        "share", "70 % ± 25 %", given="± 4 %", hard=("0 %", "100 %"),
        help="How full the bank is the evening before, from the battery monitor.",
    )  # fmt: skip
    pull_down: Quantity = quantity(
        "hours", "12 h ± 50 %", hard=("0 h", "72 h"), usual=("1 h", "48 h"),
        help="How long the ice box and what is in it take to its coldest setting; overnight is usual.",
    )  # fmt: skip


class Leakage(Table):
    """What flows to ground, and the device on the dock that looks for it.

    A silent file has the small currents of sound appliances; each is what a fault would raise.
    """

    heater: Quantity = quantity(
        "leakage", "0.3 mA ± 80 %", given="± 10 %", hard=("0 mA", "20000 mA"), usual=("0 mA", "30 mA"),
        help="To ground through the water heater's element; measured by a qualified person.",
    )  # fmt: skip
    compressor: Quantity = quantity(
        "leakage", "0.7 mA ± 80 %", given="± 10 %", hard=("0 mA", "20000 mA"), usual=("0 mA", "30 mA"),
        help="To ground through the air conditioner's compressor while it runs.",
    )  # fmt: skip
    cord: Quantity = quantity(
        "leakage", "0.3 mA ± 80 %", given="± 10 %", hard=("0 mA", "20000 mA"), usual=("0 mA", "30 mA"),
        help="To ground in cord, plug and inlet when they are wet.",
    )  # fmt: skip
    appliances: Quantity = quantity(
        "leakage", "1.5 mA ± 70 %", given="± 10 %", hard=("0 mA", "20000 mA"), usual=("0 mA", "30 mA"),
        help="To ground through the filters of chargers and electronics, all together.",
    )  # fmt: skip
    neutral_joined: Quantity = quantity(
        "share", "0 %", given="± 10 %", hard=("0 %", "100 %"),
        help="How much of the returning current takes the ground instead of the neutral: none, unless the two are joined "
        "on board.",
    )  # fmt: skip
    device: Quantity = quantity(
        "leakage", "30 mA ± 150 %", given="± 5 %", hard=("1 mA", "1000 mA"), usual=("5 mA", "300 mA"),
        help="What the dock's ground-fault device is marked for: 30 mA is usual, 5 to 100 mA occur.",
    )  # fmt: skip
    protected: Quantity = quantity(
        "share", "75 % ± 20 %", given="± 1 %", hard=("0 %", "100 %"),
        help="How likely the post has a ground-fault device at all; 100 % when it has a test button.",
    )  # fmt: skip
    device_strength: Quantity = quantity(
        "share", "100 %", given="± 10 %", hard=("5 %", "100 %"),
        help="What wear and heat have left of the rating at which the dock's own breaker and device go.",
    )  # fmt: skip
