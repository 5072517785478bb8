"""Simulated boats with one known fault each; the full count is in tests/long."""

import numpy as np
import pytest

from tests.inference.fleet import FREQUENCY, SUBSYSTEM
from tests.inference.recovery import Score, recover, table


@pytest.fixture(scope="module")
def made():
    return recover(22, rows=160, draws=160, kinds=1)


def test_the_console_is_near_the_best_anyone_could_do_on_these_boats(made):
    assert sum(made.console.first) >= sum(made.optimum.first) - 4
    assert np.mean(made.console.brier) <= np.mean(made.optimum.brier) + 0.15


def test_a_right_subsystem_is_far_more_usual_than_by_chance(made):
    assert np.mean(made.console.subsystem) >= 0.55


def test_every_boat_has_five_pieces_of_evidence_and_what_they_are_read_against(made):
    for case in made.cases:
        assert len(case.typed) >= 5


def test_the_table_of_the_manual_has_both_judges_and_the_claims(made):
    text = table(made)
    assert "right cause named first" in text
    assert "| claimed | claims |" in text


def test_a_judge_who_always_knows_scores_nothing_wrong():
    score = Score("oracle")
    for cause in FREQUENCY:
        score.judge(cause, {key: float(key == cause) for key in SUBSYSTEM})
    assert all(score.first)
    assert sum(score.brier) == 0
