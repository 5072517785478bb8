"""What a change is said to do: its figures' names as an owner reads them."""

from plugins.power.changes import CHANGES
from plugins.power.records import ESTIMATES


def test_the_figures_of_effects_are_named_in_a_few_plain_words():
    names = {given.name: given.meaning for estimate in ESTIMATES for given in estimate.gives}
    told = {effect.figure for change in CHANGES for effect in change.effects}
    assert told <= set(names)
    assert {names[figure] for figure in told if len(names[figure]) > 40} == set()
