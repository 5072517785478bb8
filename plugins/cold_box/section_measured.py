"""What the owner measured of the real box, to which the model is fitted."""

from __future__ import annotations

from console.fields import Quantity, Table, quantity


class Week(Table):
    """Amp-hours of a few days with nothing unusual, and the temperatures meanwhile.

    What is left out is taken as it is on the day asked about.
    """

    amp_hours: Quantity = quantity(
        "amp_hours_per_day", None, given="± 6 %", hard=("0.5 A*h/day", "1000 A*h/day"),
        usual=("8 A*h/day", "200 A*h/day"), measured=True,
        help="Amp-hours a day it took over the days: the battery monitor, all else off or taken away, solar "
        "off or added back. A week is good, three days will do.",
    )  # fmt: skip
    cabin_temperature: Quantity = quantity(
        "temperature", None, given="± 1.5 F", hard=("20 F", "130 F"), usual=("50 F", "110 F"), measured=True,
        help="Mean cabin air over those days: half of the day's most and least will do.",
    )  # fmt: skip
    cabin_humidity: Quantity = quantity(
        "share", None, given="± 6 %", hard=("2 %", "100 %"), usual=("20 %", "98 %"), measured=True,
        help="Mean cabin humidity over those days.",
    )  # fmt: skip
    box_temperature: Quantity = quantity(
        "temperature", None, given="± 1.5 F", hard=("-30 F", "70 F"), usual=("-10 F", "50 F"), measured=True,
        help="Mean temperature in the box over those days; a divided one's freezer side.",
    )  # fmt: skip
    openings: Quantity = quantity(
        "per_day", None, given="± 20 %", hard=("0 per day", "500 per day"), measured=True,
        help="How often a day it was opened meanwhile.",
    )  # fmt: skip
    frost: Quantity = quantity(
        "short_length", None, given="± 1 mm", hard=("0 mm", "60 mm"), measured=True,
        help="Frost on the plate about the middle of those days.",
    )  # fmt: skip


class Melt(Table):
    """All the melt-water of one defrost, and the days it took to gather."""

    amount: Quantity = quantity(
        "mass", None, given="± 15 %", hard=("1 g", "50000 g"), usual=("20 g", "5000 g"), measured=True,
        help="Melt-water of the plate, weighed or measured; a millilitre is a gram. The drain plugged.",
    )  # fmt: skip
    days: Quantity = quantity(
        "days", None, given="± 4 %", hard=("0.5 days", "400 days"), usual=("2 days", "90 days"), measured=True,
        help="Days since the defrost before that.",
    )  # fmt: skip
    cabin_temperature: Quantity = quantity(
        "temperature", None, given="± 2 F", hard=("20 F", "130 F"), usual=("50 F", "110 F"), measured=True,
        help="Mean cabin air over those days.",
    )  # fmt: skip
    cabin_humidity: Quantity = quantity(
        "share", None, given="± 6 %", hard=("2 %", "100 %"), usual=("20 %", "98 %"), measured=True,
        help="Mean cabin humidity over those days.",
    )  # fmt: skip
    box_temperature: Quantity = quantity(
        "temperature", None, given="± 1.5 F", hard=("-30 F", "70 F"), usual=("-10 F", "50 F"), measured=True,
        help="Mean temperature in the box over those days.",
    )  # fmt: skip
    openings: Quantity = quantity(
        "per_day", None, given="± 20 %", hard=("0 per day", "500 per day"), measured=True,
        help="How often a day it was opened meanwhile.",
    )  # fmt: skip
    thickness: Quantity = quantity(
        "short_length", None, given="± 1 mm", hard=("0.2 mm", "60 mm"), measured=True,
        help="How thick the frost was before it was melted: it tells how dense the frost is.",
    )  # fmt: skip
