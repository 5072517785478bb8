"""The cards: plain records."""

from __future__ import annotations

from console.contract import Question

QUESTIONS = (
    Question(
        "power.inlet",
        "Will the shore inlet carry it?",
        "plugins.power.answer_inlet:answer",
        needs=("power.shore_continuous", "power.shore_limit"),
        about="power.shore",
        add_line="[power.shore]",
        number="in the worst three hours",
        what="What the boat draws from shore over a hot day, against what plug, cord and breakers carry.",
    ),
    Question(
        "power.anchor",
        "Can I run it at anchor?",
        "plugins.power.answer_anchor:answer",
        needs=("power.dawn_state_of_charge", "power.dc_amp_hours_per_day"),
        about="power.bank",
        add_line="[power.bank]",
        number="left in the bank at dawn",
        what="What the bank has left at dawn, whether it can give the amps, and what the sun puts back.",
    ),
    Question(
        "power.wire",
        "Is the wire big enough?",
        "plugins.power.answer_wire:answer",
        needs=(),
        add_line="[[power.circuit]]",
        number="lost in the worst run",
        what="Voltage lost in each listed run, out and back, and whether the size carries its current.",
    ),
    Question(
        "power.ask",
        "Can I run one thing more tonight?",
        "plugins.power.answer_ask:answer",
        needs=("power.ask_dawn", "power.ask_recovery"),
        about="power.bank",
        add_line="[power.bank]",
        number="left in the bank at dawn",
        what="One thing for some hours on the bank tonight: its energy, its amps at once, and the sun after it.",
    ),
    Question(
        "power.away",
        "What if I leave the boat?",
        "plugins.power.answer_away:answer",
        needs=("power.away_humidity",),
        about="power.shore",
        add_line="[power.shore]",
        number="from shore power stopping to the bank's limit",
        what="How long the bank and the food last once shore power stops, how damp the cabin gets, what to do first.",
    ),
    Question(
        "power.casting_off",
        "What is to be done before casting off?",
        "plugins.power.answer_casting_off:answer",
        needs=("power.fill_time",),
        about="power.bank",
        add_line="[power.bank]",
        number="for the charger to fill the bank",
        what="By the hour, from the evening before: bank full, ice box cold, water hot, cord off.",
    ),
)
