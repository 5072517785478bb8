"""Hazards of mains, batteries and wire, by key. Where a standard is named, check the current edition."""

from __future__ import annotations

from console.contract import Caution

CAUTIONS = (
    Caution(
        "shock_in_the_water",
        "Nobody swims, dives or clears a through-hull from the water in a marina with shore power: "
        "10 to 30 mA through the water paralyses, and fresh water is the worst. Get everyone out, then find the fault.",
        rank=0,
        defer_to="ABYC E-11, NFPA 303, NEC 555",
    ),
    Caution(
        "carbon_monoxide",
        "Never run a portable generator on or in the boat to feed this: its exhaust kills, outside on a calm "
        "day as well. Working carbon monoxide alarms in every space where people sleep, cook or steer.",
        rank=0,
        defer_to="ABYC A-24, UL 2034, ISO 12133",
    ),
    Caution(
        "mains_work",
        "Mains kill. Switch off at the post and unplug, dock end first, before touching cord, inlet or panel; "
        "behind the panel is work for a certified marine electrician. Never defeat a breaker or a ground-fault device: "
        "a trip is information.",
        rank=1,
        defer_to="ABYC E-11, ISO 13297, NFPA 70 article 555, local code",
    ),
    Caution(
        "ground_fault_trip",
        "A ground-fault trip is information: current is going where a person may be standing or swimming. Reset at most "
        "twice, never hold in, bypass or replace by a larger device; leave the branch that trips it off and have it found.",
        rank=1,
        defer_to="ABYC E-11, NEC 555, IEC 60364-7-709, local code",
    ),
    Caution(
        "reverse_polarity",
        "Look at the reverse-polarity lamp, or try a plug tester, before the main goes on: with hot and neutral crossed "
        "a switch that is off leaves its wire live. Crossed: main off, unplug, tell the dock.",
        rank=1,
        defer_to="ABYC E-11, ISO 13297",
    ),
    Caution(
        "left_alone",
        "A seacock left open for an air conditioner with nobody aboard is a sinking risk by hose failure. A shut cabin can "
        "pass 120 F (49 C) when the power goes: no animal or person may depend on it.",
        rank=1,
        defer_to="ABYC H-27, ISO 9093",
    ),
    Caution(
        "inlet_overheating",
        "A bad contact cooks without tripping a breaker, at half the rating too. After an hour under load feel the "
        "plug body with the back of a dry hand, off the dock edge. Hot, marked or smelling: breaker at the post off "
        "first, never pull it under load, and replace both halves; never tape over.",
        rank=2,
        defer_to="ABYC E-11, NFPA 303",
    ),
    Caution(
        "batteries",
        "A spanner across battery terminals burns like a fuse, and a ring with it: rings and watch off. Lead gives "
        "off hydrogen while charging: air, no flame. Lithium needs its management system, a fuse that can break its short-circuit current, and no charging below "
        "freezing. Two people lift.",
        rank=3,
        defer_to="ABYC E-10, E-13 and E-11, ISO 23625",
    ),
    Caution(
        "wire_heat",
        "A wire size must carry its current as it lies, bundled or in an engine space, and not only meet the drop. "
        "Every positive has a fuse near the battery that protects the wire; size it by the standard.",
        rank=4,
        defer_to="ABYC E-11, ISO 13297",
    ),
)
