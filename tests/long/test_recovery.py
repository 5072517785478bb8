"""Five hundred simulated boats: how often the right cause is named, and how often claims hold.

    pytest tests/long/test_recovery.py

About twenty minutes on a quiet machine; `python -m tests.inference.recovery` prints the table.
"""

import numpy as np
import pytest

from tests.inference.recovery import recover, table


@pytest.fixture(scope="module")
def made():
    found = recover()
    print(table(found))
    return found


def test_the_first_cause_is_within_three_points_of_the_best_anyone_could_do(made):
    assert np.mean(made.console.first) >= np.mean(made.optimum.first) - 0.03


def test_the_subsystem_is_right_four_times_in_five_or_as_often_as_can_be(made):
    assert np.mean(made.console.subsystem) >= min(0.8, np.mean(made.optimum.subsystem) - 0.02)


def test_claims_of_nine_in_ten_hold_at_least_eighty_five_times_in_a_hundred(made):
    count, said, right = made.console.band(0.85, 1.01)
    assert count >= 30
    assert right >= 0.85, (count, said, right)
