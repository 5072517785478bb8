"""How long a diagnosis takes: the whole process, a new piece of evidence, a new condition.

pytest tests/benchmarks/test_diagnosis.py --benchmark-enable -s
"""

import time

import pytest

from console.boatfile import load
from console.inference import Consultation
from console.registry import discover
from tests.benchmarks.test_engine_speed import BOAT, plain_pass, process, say, seconds

READ = (
    ("fill_time", "47 s"), ("seawater_in", "84 F"), ("seawater_out", "99 F"), ("return_air", "78 F"),
    ("return_humidity", "60 %"), ("supply_air", "60 F"), ("strainer", "clean"),
)  # fmt: skip
PROCESS_SECONDS = 3.0
EVIDENCE_SECONDS = 0.3


@pytest.fixture(scope="module")
def settled():
    consultation = Consultation(load(BOAT, discover({})), "climate", READ)
    consultation.settle()
    return consultation


def test_diagnose_as_a_process_against_importing_numpy_pydantic_and_pint(benchmark):
    arguments = ["-m", "console.commands", "diagnose", str(BOAT), "--json"]
    for name, text in READ:
        arguments += ["--reading", f"{name}={text}"]
    process(*arguments)
    base = seconds(lambda: process("-c", "import numpy, pydantic, pint"), 5)
    took = min(_timed(lambda: process(*arguments)) for _ in range(5))
    benchmark.pedantic(lambda: None, rounds=1)
    say(benchmark, took / base, 7, seconds=round(took, 2))
    assert took < 2 * PROCESS_SECONDS


def test_a_new_piece_of_evidence_against_a_plain_pass_over_arrays(settled, benchmark):
    base = seconds(plain_pass(1024), 5)
    looks = ("weak", "full")

    def once(turn):
        settled.add("overboard_stream", looks[turn % 2])
        settled.result()

    took = min(_timed(lambda turn=turn: once(turn)) for turn in range(6))
    benchmark.pedantic(lambda: None, rounds=1)
    say(benchmark, took / base, 4, seconds=round(took, 3))
    assert took < 2 * EVIDENCE_SECONDS


def test_a_new_condition_is_answered_by_single_causes_at_once(settled, benchmark):
    base = seconds(plain_pass(1024), 5)

    def once(turn):
        settled.add("return_air", ("78 F", "79 F")[turn % 2])
        settled.result()

    took = min(_timed(lambda turn=turn: once(turn)) for turn in range(1, 7))
    benchmark.pedantic(lambda: None, rounds=1)
    say(benchmark, took / base, 8, seconds=round(took, 3))
    assert took < 4 * EVIDENCE_SECONDS


def _timed(function):
    began = time.perf_counter()
    function()
    return time.perf_counter() - began
