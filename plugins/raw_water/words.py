"""Plain words for faults, parts and shares, and what to do about each."""

from __future__ import annotations

from typing import NamedTuple


class Fault(NamedTuple):
    """How a fault is spoken of: where the flow is lost, what to do, and the hazards of doing it."""

    where: str
    job: str
    next: str
    hazards: tuple[str, ...]


WET = ("below_waterline", "wet_mains_pump", "locker_work")

FAULTS: dict[str, Fault] = {
    "intake": Fault(
        "at the intake", "clearing the intake",
        "Clear the intake from inside with a rod or a back-flush, or have it done from outside by those "
        "who may dive there.",
        ("marina_diving", *WET, "dock_hose"),
    ),
    "seacock": Fault(
        "at the seacock", "opening the seacock fully",
        "Open the seacock fully. If it is stiff, leave it and have it serviced at the next haul-out.",
        ("below_waterline",),
    ),
    "strainer": Fault(
        "in the strainer", "cleaning the strainer",
        "Clean the strainer's basket: pump breaker off, seacock shut, then the lid.",
        WET,
    ),
    "kink": Fault(
        "at the kinked hose", "straightening the hose",
        "Move what pinches the hose, or lay it in a wider bend; a hose that has folded folds again, so renew it.",
        WET,
    ),
    "air": Fault(
        "to air in the pump", "letting the air out",
        "Let the air out at the pump's discharge hose, breaker off first; then look for a leaky joint before "
        "the pump.",
        ("dry_pump", *WET),
    ),
    "pump": Fault(
        "at the pump", "renewing the pump's wheel",
        "Time a bucket at the pump's own outlet against its label. Short of it, the wheel is worn or it does not "
        "run all the time.",
        WET,
    ),
    "condenser": Fault(
        "to scale in the coil", "descaling the coil",
        "Descale the coil: circulate the descaler through the unit for half an hour or more.",
        ("descaling_acid", *WET),
    ),
    "dips": Fault(
        "to air in the high spots of the hose", "laying the hose so that it rises all the way",
        "Lay the hose so that it rises all the way from the seacock to the unit, and falls from there to the "
        "overboard; shorten what is too long.",
        WET,
    ),
    "rest": Fault(
        "where nothing you describe explains it", "finding what else is in the way",
        "Part the line in two with the gush look: pump breaker off, seacock shut, lid off, a hand on the seacock, "
        "crack it open. A strong gush says the boat side: hose, pump, coil. A weak one says the hull side.",
        WET,
    ),
}  # fmt: skip

LOOK_FIRST = Fault(
    "in a strainer nobody has looked at", "looking at the strainer",
    "Look at the strainer first, it is the commonest by far: pump breaker off, seacock shut, then the lid. Clean the "
    "basket and time the bucket again. No quicker, and the gush look parts the line in two: breaker off, lid off, the "
    "seacock cracked open; a strong gush says the boat side, a weak one the hull side.",
    WET,
)  # fmt: skip
"""What comes before any search for the unexplained, when the file does not say how the basket is."""

PART_WORDS = {
    "intake": "intake", "seacock": "seacock", "strainer": "strainer", "kink": "kink in the hose",
    "condenser": "coil", "overboard": "overboard fitting", "lift": "lift to the overboard",
    "unexplained": "not explained, by your bucket", "high_spots": "falls that do not run full",
}  # fmt: skip

_SHARES = (
    (0.10, "a trickle"), (0.22, "a sixth"), (0.29, "a quarter"), (0.42, "a third"), (0.58, "half"),
    (0.71, "two thirds"), (0.78, "three quarters"), (0.87, "four fifths"), (0.95, "nine tenths"),
)  # fmt: skip


def share_in_words(share: float) -> str:
    """A share of a whole as it is said: ``"about half"``."""
    if share < 0.10:
        return "a trickle"
    return next((f"about {word}" for top, word in _SHARES if share < top), "nearly all")
