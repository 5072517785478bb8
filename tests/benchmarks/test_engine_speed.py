"""How long the model takes, as ratios to baselines measured in the same run.

    pytest tests/benchmarks --benchmark-enable -s

Each test prints its ratio and stores it with the benchmark; the target stands beside it. A ratio
over twice its target fails, so that a slip is seen and a busy machine is not blamed.
"""

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from console.boatfile import load
from console.engine import estimate, run_day
from console.registry import discover

BOAT = Path(__file__).resolve().parents[2] / "scenarios" / "marram.toml"


@pytest.fixture(scope="module")
def boat():
    made = load(BOAT, discover({}))
    estimate(made, 8)
    return made


def seconds(function, rounds):
    times = []
    for _ in range(rounds):
        began = time.perf_counter()
        function()
        times.append(time.perf_counter() - began)
    return statistics.median(times)


def plain_pass(rows):
    """A plain NumPy pass over arrays of the run's shape: a hundred figures of (rows, 24)."""
    arrays = np.random.default_rng(1).random((100, rows, 24))
    return lambda: np.exp(arrays) * arrays + np.sqrt(arrays)


def say(benchmark, ratio, target, **more):
    benchmark.extra_info.update(ratio=round(ratio, 2), target=target, **more)
    print(f"\n  ratio {ratio:.2f} (target {target}) {more}")
    assert ratio < 2 * target


def process(*arguments):
    # As an installed program runs: with its byte code kept.
    environ = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True, env=environ)


def test_an_estimate_as_a_process_against_importing_numpy_pydantic_and_pint(benchmark):
    process("-m", "console.commands", "estimate", str(BOAT))
    base = seconds(lambda: process("-c", "import numpy, pydantic, pint"), 9)
    benchmark.pedantic(lambda: process("-m", "console.commands", "estimate", str(BOAT)), rounds=9)
    say(benchmark, benchmark.stats.stats.median / base, 3, base=round(base, 3))


def small_calls():
    """Ten thousand NumPy additions over one boat's day: what a run of many small steps pays."""
    day = np.ones((1, 24))
    for _ in range(10_000):
        day + day


def test_the_nominal_day_of_all_plugins_against_ten_thousand_small_calls(benchmark, boat):
    base = min(seconds(small_calls, 5) for _ in range(3))
    benchmark.pedantic(lambda: run_day(boat), rounds=60)
    milliseconds = 1000 * benchmark.stats.stats.min
    # 25 ms where the small calls take about 6 ms; the least disturbed round, on a shared machine.
    say(benchmark, benchmark.stats.stats.min / base, 4.2, milliseconds=round(milliseconds, 1))


def test_a_thousand_draws_against_a_plain_pass(benchmark, boat):
    base = seconds(plain_pass(1025), 7)
    benchmark.pedantic(lambda: run_day(boat, 1024), rounds=5)
    say(benchmark, benchmark.stats.stats.median / base, 30, seconds=round(benchmark.stats.stats.median, 2))


def test_four_thousand_draws_against_a_thousand(benchmark, boat):
    base = seconds(lambda: run_day(boat, 1024), 3)
    benchmark.pedantic(lambda: run_day(boat, 4096), rounds=2)
    say(benchmark, benchmark.stats.stats.median / base, 4.6)


def test_an_edit_to_new_nominal_answers_against_the_nominal_run(benchmark, boat):
    base = seconds(lambda: run_day(boat), 9)
    texts = iter([f"{70 + k / 10} F" for k in range(100)])
    times = []

    def edit():
        began = time.perf_counter()
        estimate(boat.with_edit("climate.set_point", next(texts)), 0, "us")
        times.append(time.perf_counter() - began)

    benchmark.pedantic(edit, rounds=40)
    worst = float(np.percentile(times, 95))
    say(benchmark, worst / base, 4, p95_milliseconds=round(1000 * worst, 1))
