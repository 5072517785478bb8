"""The toy's posterior by brute force: its own sampling, its own densities, nothing of the console."""

from __future__ import annotations

import math

import numpy as np

ROWS = 400_000
Z90 = 1.6448536269514722
PRIOR = {"blocked_pipe": 0.4, "weak_heater": 0.3, "coated": 0.1, "too_small": 0.1, "all_well": 0.1}


def _share(random, median, half):
    """Logit-normal with the given half-width of the central 90 %, found by bisection."""
    centre, low, high = math.log(median / (1 - median)), 0.0, 20.0
    for _ in range(80):
        s = 0.5 * (low + high)
        width = 1 / (1 + math.exp(-centre - s)) - 1 / (1 + math.exp(-centre + s))
        low, high = (s, high) if width < 2 * half else (low, s)
    return 1 / (1 + np.exp(-(centre + s / Z90 * random.standard_normal(ROWS))))


def _scale(random, median, relative):
    return median * np.exp(math.asinh(relative) / Z90 * random.standard_normal(ROWS))


def _t4(x):
    return 0.375 * (1 + x * x / 4) ** -2.5


def _number(residual):
    return 0.95 * _t4(residual / 0.85) / 0.85 + 0.05 * _t4(residual / 8) / 8


def chances(flow=None, water_in=None, water_out=None, look=None, pairs=True):
    """The chance that each cause is present. Flow in m³/s, water in K."""
    weights = {}
    names = [(c,) for c in PRIOR]
    if pairs:
        names += [("blocked_pipe", "weak_heater"), ("blocked_pipe", "coated"), ("weak_heater", "coated")]
    for k, causes in enumerate(names):
        random = np.random.default_rng(k)
        clean, heat = _scale(random, 10 / 60000, 0.2), _scale(random, 5000, 0.15)
        demand = _scale(random, 4000, 0.4)
        water = 293.15 + 3 / Z90 * random.standard_normal(ROWS)
        blocked = _share(random, 0.5, 0.25) if "blocked_pipe" in causes else np.zeros(ROWS)
        strength = _share(random, 0.5, 0.2) if "weak_heater" in causes else np.ones(ROWS)
        probe, meter = random.standard_normal(ROWS), random.standard_normal(ROWS)
        power = heat * strength * (0.66 if "coated" in causes else 1.0)
        passing = clean * (1 - blocked)
        like = np.ones(ROWS)
        if water_in is not None:
            water = water_in - 0.8 / Z90 * probe - 0.2 / Z90 * random.standard_normal(ROWS)
        if flow is not None:
            shown = passing + flow * 0.03 / Z90 * meter
            like *= _number((flow - shown) / (flow * 0.04 / Z90))
        if water_out is not None:
            shown = water + power / (passing * 4.18e6) + 0.8 / Z90 * probe
            like *= _number((water_out - shown) / (math.hypot(0.3, 0.4) / Z90))
        if look is not None:
            shut = np.clip(blocked, 0.02, 0.98)
            like *= 0.98 * (shut if look == "dirty" else 1 - shut) + 0.01
        short = np.clip((demand - power) / 1000, 0, 1)
        if causes == ("too_small",):
            like *= np.clip(short, 1e-6, 1)
        if causes == ("all_well",):
            like *= np.clip(1 - short, 1e-6, 1)
        prior = math.prod(PRIOR[c] for c in causes) * (0.2 if len(causes) == 2 else 1.0)
        weights[causes] = prior * like.mean()
    total = sum(weights.values())
    return {c: sum(w for names, w in weights.items() if c in names) / total for c in PRIOR}
