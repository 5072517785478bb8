"""Two hundred random lines against a network written on the fluids library and solved by SciPy.

Every coefficient is the library's own: Colebrook's friction (solved exactly, Clamond), Rennels'
entrances and contractions, Borda-Carnot expansions, Crane's bends and valves, Blevins' screens. The
boat's line uses Churchill's friction and Weisbach's contraction, so that the two share no formula
but the screen's table. The deviation is told in the tests' own output.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import fluids
import fluids.fittings as ff
import numpy as np
import pytest
from fluids.filters import square_edge_screen
from scipy.optimize import brentq

from console.boatfile import Boat
from console.engine.run import run_day
from console.properties import seawater
from tests.published import note

COUNT = 200
G = 9.80665

Part = dict[str, float | str]


def random_line(rng: np.random.Generator) -> list[Part]:
    """A line as an owner might have it, all of it stated without spread."""
    bore = rng.choice([0.0127, 0.015875, 0.01905, 0.0254])

    def hose(name: str) -> Part:
        return {
            "part": "hose", "name": name, "bore": bore * rng.uniform(0.95, 1.1), "length": rng.uniform(0.3, 6.0),
            "bends": float(rng.integers(0, 5)), "roughness": 10 ** rng.uniform(-5.7, -4.0),
            "open_width": rng.choice([1.0, 1.0, rng.uniform(0.3, 0.9)]),
        }  # fmt: skip

    strainer: Part = {
        "part": "strainer", "bore": bore, "basket_area": math.pi / 4 * bore**2 * rng.uniform(8, 30),
        "hole_share": rng.uniform(0.3, 0.6), "blocked": rng.choice([0.0, rng.uniform(0.0, 0.85)]), "depth": 0.5,
    }  # fmt: skip
    pump: Part = {
        "part": "pump",
        "max_head": rng.uniform(2.5, 9.0),
        "max_flow": 10 ** rng.uniform(-3.5, -2.7),
        "depth": 0.4,
    }
    head = [{"part": "intake", "bore": bore, "depth": 0.8}, {"part": "seacock", "bore": bore}, hose("a")]
    middle = [strainer, hose("b"), pump]
    if rng.random() < 0.2:  # the strainer behind the pump, and higher, for the line rises all the way
        middle = [pump, hose("b"), {**strainer, "depth": 0.3}]
    tail: list[Part] = [
        hose("c"),
        {"part": "condenser", "bore": bore, "loss": rng.uniform(3e3, 3e4), "at_flow": 10 ** rng.uniform(-4.2, -3.3),
         "exponent": rng.uniform(1.75, 2.0), "scale": 0.0, "height": rng.uniform(0.0, 0.3)},
        hose("d"),
        {"part": "overboard", "bore": bore, "height": rng.uniform(0.3, 2.0)},
    ]  # fmt: skip
    return [*head, *middle, *tail]  # type: ignore[list-item]


UNITS = {
    "bore": "m", "length": "m", "roughness": "m", "basket_area": "m**2", "loss": "Pa", "at_flow": "m**3/s",
    "max_flow": "m**3/s", "max_head": "m", "depth": "m", "height": "m", "scale": "m",
}  # fmt: skip


def written(parts: list[Part]) -> str:
    lines = ['[site]\nseawater_temperature = "84 F ± 0 F"\nsalinity = "30 g/kg ± 0 g/kg"\n']
    for part in parts:
        lines.append("[[raw_water.line]]")
        for field, value in part.items():
            unit = UNITS.get(field, "")
            share = isinstance(value, float) and field in ("hole_share", "blocked", "open_width")
            text = (
                value
                if isinstance(value, str)
                else f"{100 * value!r} %"
                if share
                else f"{value!r} {unit}".strip()
            )
            lines.append(f'{field} = "{text}"')
    lines += ["[raw_water.trial]", 'hose_size = "1"']
    return "\n".join(str(line) for line in lines).replace("np.float64(", "").replace(")", "")


def hose_loss(part: Part, flow: float, viscosity: float) -> float:
    """Loss (m) of a hose with its bends and its kink, all by the library."""
    bore, width = float(part["bore"]), float(part["open_width"])
    area = math.pi / 4 * bore**2
    speed = flow / area
    re = fluids.Reynolds(V=speed, D=bore, nu=viscosity)
    f = fluids.friction_factor(Re=re, eD=float(part["roughness"]) / bore, Method="Clamond")
    bend = ff.bend_rounded(
        Di=bore, angle=90, fd=ff.ft_Crane(bore), bend_diameters=1.0, method="Crane standard"
    )
    k = f * float(part["length"]) / bore + float(part["bends"]) * bend
    if width < 1:
        # A stadium of the hose's own circumference; round bores of the same areas for the library.
        share = width * (2 - width)
        narrow = bore * math.sqrt(share)
        flat = bore * share
        in_kink = speed / share
        f_flat = fluids.friction_factor(
            Re=fluids.Reynolds(V=in_kink, D=flat, nu=viscosity),
            eD=float(part["roughness"]) / flat,
            Method="Clamond",
        )
        fold = ff.bend_miter(angle=90 * (1 - width), Di=narrow, Re=re, method="Rennels")
        k_kink = (
            ff.contraction_sharp(Di1=bore, Di2=narrow, method="Rennels")
            + fluids.fittings.diffuser_sharp(Di1=narrow, Di2=bore)
            + fold
            + f_flat * 2 * bore * (1 - width) / flat
        )
        k += k_kink / share**2
    return k * speed**2 / (2 * G)


def flow_of_network(parts: list[Part], density: float, viscosity: float) -> float:
    pump = next(part for part in parts if part["part"] == "pump")
    lift = float(parts[-1]["height"])

    def taken(flow: float) -> float:
        total = lift
        for part in parts:
            bore = float(part.get("bore", 0.0) or 0.0)
            head = (flow / (math.pi / 4 * bore**2)) ** 2 / (2 * G) if bore else 0.0
            match part["part"]:
                case "intake":
                    total += ff.entrance_sharp() * head
                case "seacock":
                    total += ff.K_ball_valve_Crane(D1=bore, D2=bore, angle=0) * head
                case "hose":
                    total += hose_loss(part, flow, viscosity)
                case "strainer":
                    wide = math.sqrt(4 / math.pi * float(part["basket_area"]))
                    ports = ff.diffuser_sharp(Di1=bore, Di2=wide) + ff.contraction_sharp(Di1=wide, Di2=bore)
                    open_share = float(part["hole_share"]) * (1 - float(part["blocked"]))
                    through = (flow / float(part["basket_area"])) ** 2 / (2 * G)
                    total += ports * head + square_edge_screen(open_share) * through
                case "condenser":
                    loss = float(part["loss"]) / (998.0 * G)
                    total += loss * (flow / float(part["at_flow"])) ** float(part["exponent"])
                case "overboard":
                    total += ff.exit_normal() * head
        return total

    shut, free = float(pump["max_head"]), float(pump["max_flow"])

    def spare(flow: float) -> float:
        return shut * (1 - (flow / free) ** 2) - taken(flow)

    return float(brentq(spare, 1e-9, free, xtol=1e-15)) if spare(1e-9) > 0 else 0.0


@pytest.fixture(scope="module")
def deviations(read: Callable[[str], Boat]) -> np.ndarray:
    rng = np.random.default_rng(20260726)
    temperature, salinity = (84 - 32) / 1.8 + 273.15, 0.030
    density = float(seawater.density(temperature, salinity))
    viscosity = float(seawater.viscosity(temperature, salinity)) / density
    found = []
    for _ in range(COUNT):
        parts = random_line(rng)
        ran = run_day(read(written(parts)))
        assert not ran.unwell
        network = flow_of_network(parts, density, viscosity)
        found.append(float(ran.daily("raw_water.flow")[0]) / network - 1)
    return np.array(found)


def test_two_hundred_random_lines_agree_with_a_network_of_the_fluids_library(
    deviations: np.ndarray,
) -> None:
    note(
        f"raw water, worst of {COUNT} random lines against a network of fluids",
        1 + deviations[np.abs(deviations).argmax()],
        1.0,
    )
    note(f"raw water, mean of {COUNT} random lines against a network of fluids", 1 + deviations.mean(), 1.0)
    assert np.abs(deviations).max() < 0.03


def test_the_random_lines_are_not_all_alike(deviations: np.ndarray) -> None:
    assert np.unique(np.round(deviations, 6)).size > COUNT * 0.9
