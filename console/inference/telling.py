"""A diagnosis as JSON and as text: the verdict first, then what to look at, then why."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from console.contract import Caution
from console.engine.estimate import cautions_for
from console.inference.aftermath import Repair, Told, said_range, shown_value, tell
from console.inference.consultation import Consultation, Diagnosis
from console.inference.next_step import NextReading
from console.inference.verdict import CANNOT_TELL, Challenge
from console.quantities import System, shown, style_of
from console.results import sure_words, unwell_json, unwell_lines

LEAST_SHOWN = 0.01
MOST_SHOWN = 6
"""Causes of the text form; the JSON has all."""
RULED_OUT = 0.02


def told_of(consultation: Consultation, found: Diagnosis, system: System) -> dict[str, Told]:
    """What is told of the causes worth naming."""
    keys = [key for key, (chance, _) in found.presence.items() if chance >= LEAST_SHOWN]
    return tell(consultation, keys[: 2 * MOST_SHOWN], system)


def diagnosis_json(consultation: Consultation, found: Diagnosis, system: System) -> dict[str, Any]:
    """The diagnosis for scripts."""
    told = told_of(consultation, found, system)
    causes = []
    for key, (chance, error) in found.presence.items():
        change, each = consultation.causes[key].change, told.get(key)
        causes.append({
            "cause": key, "probability": chance, "severity": each.severity if each else None,
            "why": each.why if each else change.why, "remedy": change.remedy, "who": change.who,
            "title": change.title, "error": error,
        })  # fmt: skip
    made: dict[str, Any] = {
        "scenario": consultation.boat.name,
        "complaint": found.complaint,
        "verdict": found.verdict,
        "causes": causes,
        "inseparable": [list(group.keys) for group in found.inseparable],
        "next_reading": _next_json(found.next_reading),
        "challenged": [_challenge_json(consultation, each) for each in _challenges(found)],
        "cautions": [
            {"key": c.key, "text": c.text, "defer_to": c.defer_to}
            for c in cautions(consultation, found.hazards)
        ],
        "readings": {each.name: shown_value(each, system) for each in found.taken},
        "unwell": unwell_json(found.unwell),
    }
    if found.next_action is not None:
        cause = found.next_action.cause
        made["next_action"] = {"change": cause.key, "why": _action_words(found)}
    return made


def _next_json(following: NextReading | None) -> dict[str, Any] | None:
    if following is None:
        return None
    return {
        "reading": following.reading.name,
        "how": _how(following),
        "gain_bits": round(following.bits, 4),
        "minutes": following.minutes,
    }


def _how(following: NextReading) -> str:
    how = following.reading.how
    return (
        f"Take it again, with care, and with another instrument if there is one. {how}"
        if following.again
        else how
    )


def _challenges(found: Diagnosis) -> list[Challenge]:
    return [found.challenged] if found.challenged is not None else []


def _challenge_json(c: Consultation, doubt: Challenge) -> dict[str, Any]:
    return {"readings": list(doubt.readings), "why": challenge_words(c, doubt)}


def challenge_words(c: Consultation, doubt: Challenge) -> str:
    """Why a set of readings is challenged, in a sentence."""
    titles = [c.forward.readings[n][1].title.lower() for n in doubt.readings if n in c.forward.readings]
    if not titles:
        return "No cause explains these readings together: take them again."
    if len(titles) == 1:
        return f"No cause explains {titles[0]} beside the other readings: check it."
    return (
        f"These do not add up, whatever the cause: {', '.join(titles[:-1])} and {titles[-1]}. At least one is "
        "wrong: check the instrument (thermometer, container, meter) and take it again."
    )


def _action_words(found: Diagnosis) -> str:
    acting = found.next_action
    assert acting is not None
    odds = f"{round(100 * acting.chance)} %"
    return (
        f"It is test and cure in one: {odds} likely to be the cause, about "
        f"{acting.cause.change.minutes:.0f} minutes. Take the readings again afterwards."
    )


def cautions(c: Consultation, hazards: tuple[str, ...]) -> tuple[Caution, ...]:
    """The cautions of some hazards, worst first."""
    return cautions_for(c.boat.registry.cautions, hazards)


def verdict_words(c: Consultation, found: Diagnosis) -> str:
    """The verdict in a sentence."""
    if found.verdict == CANNOT_TELL:
        return "Cannot tell yet."
    keys = sorted(found.verdict.split(" or "), key=lambda key: -found.presence[key][0])
    titles = [c.causes[key].change.title for key in keys]
    text = titles[0] + "".join(f", or {title[:1].lower()}{title[1:]}" for title in titles[1:])
    return f"{text}. {_sure(found.chance)}."


def _sure(chance: float) -> str:
    words = sure_words(chance)
    return f"{words[:1].upper()}{words[1:]} ({round(100 * chance)} %)"


def diagnosis_text(c: Consultation, found: Diagnosis, system: System) -> str:
    """The diagnosis for reading."""
    told = told_of(c, found, system)
    lines = []
    for doubt in _challenges(found):
        lines.append(f"Does not add up: {challenge_words(c, doubt)}")
    lines.append(verdict_words(c, found))
    if found.challenged is not None and found.verdict == CANNOT_TELL:
        lines.append("No cause is named before that is cleared up.")
    for group in found.inseparable:
        names = " and ".join(c.causes[key].change.title.lower() for key in group.keys)
        test = (
            f'what would part them is "{group.test.title.lower()}", which you said you cannot take or should not now'
            if group.test is not None
            else "none of the readings an owner can take parts them; a technician's gauges or a repair would"
        )
        lines.append(f"Looks the same from here: {names}; {test}.")
    lines.append("")
    known: set[str] = set()
    lines += _next_lines(c, found, known)
    lines.append("What it may be")
    for key, (chance, _) in list(found.presence.items())[:MOST_SHOWN]:
        if chance < LEAST_SHOWN:
            break
        change, each = c.causes[key].change, told.get(key)
        bar = "█" * max(1, round(20 * chance))
        lines.append(f"  {round(100 * chance):>3} %  {bar:<20}  {change.title} ({key})")
        if each is None:
            continue
        if each.severity:
            lines.append(f"         How bad: {each.severity}")
        lines.append(f"         {each.why}")
    lines.append("")
    lines += remedy_lines(c, found, told, system, known)
    if found.effective < 40 and found.taken:
        lines.append("These readings are so sharp together that the shares above are rough.")
    lines.extend(unwell_lines(found.unwell))
    lines.append(
        "Guidance, not a survey: probabilities from your readings and what is assumed of your boat."
    )
    return "\n".join(lines)


def _next_lines(c: Consultation, found: Diagnosis, known: set[str]) -> list[str]:
    lines: list[str] = []
    following = found.next_reading
    if following is not None:
        reading = following.reading
        again = "take again: " if following.again else ""
        lines.append(
            f"Look at next: {again}{reading.title.lower()} ({reading.name}; about {reading.minutes:.0f} min)"
        )
        lines += [f"  {each}" for each in caution_lines(c, reading.hazards, known)]
        lines.append(f"  {_how(following)}")
    if found.next_action is not None:
        change = found.next_action.cause.change
        lines.append(f"Or put it right and see: {change.title.lower()}. {_action_words(found)}")
        lines += [f"  {each}" for each in caution_lines(c, change.hazards, known)]
        lines.append(f"  {change.remedy}")
    if lines:
        lines.append("")
    return lines


def caution_lines(c: Consultation, hazards: tuple[str, ...], known: set[str]) -> list[str]:
    """The cautions of a step: in full where they come first, by their first words after that."""
    made = []
    for caution in cautions(c, hazards):
        if caution.key in known:
            made.append(f"CAUTION, as above: {caution.text.split('. ')[0].rstrip('.')}.")
        else:
            known.add(caution.key)
            defer = f" ({caution.defer_to})" if caution.defer_to else ""
            made.append(f"CAUTION: {caution.text}{defer}")
    return made


def remedy_order(c: Consultation, found: Diagnosis) -> list[str]:
    """The causes worth acting on in the order of the trade: the owner's own work first, the cheapest
    for its chance before the dear, licensed hands last."""
    keys = [key for key, (chance, _) in found.presence.items() if chance >= 0.1][:4]

    def order(key: str) -> tuple[bool, float]:
        change = c.causes[key].change
        return change.who == "licensed", max(change.minutes, 5.0) / found.presence[key][0]

    return sorted(keys, key=order)


def remedy_lines(
    c: Consultation, found: Diagnosis, told: Mapping[str, Told], system: System,
    known: set[str] | None = None,
) -> list[str]:  # fmt: skip
    """What to do about it, cautions before each step, and what it should read and give afterwards.

    ``known`` are the cautions said in full before.
    """
    known = set() if known is None else known
    lines = ["What to do about it"]
    for number, key in enumerate(remedy_order(c, found), 1):
        change = c.causes[key].change
        who = " (a licensed technician)" if change.who == "licensed" else ""
        where = ", at a haul-out" if change.where == "hauled_out" else ""
        time = f", about {change.minutes:.0f} min" if change.minutes else ""
        lines.append(f"  {number}. If it is this: {change.title.lower()}{who}{where}{time}")
        lines += [f"     {each}" for each in caution_lines(c, change.hazards, known)]
        lines.append(f"     {change.remedy}")
        each = told.get(key)
        lines += [f"     {text}" for text in repair_words(c, key, each.repair if each else None, system)]
    lines.append("")
    return lines


def repair_words(c: Consultation, key: str, repair: Repair | None, system: System) -> list[str]:
    """What mending a cause gives, and the reading that proves it."""
    change = c.causes[key].change
    made: list[str] = []
    for meaning, style, before, after in repair.effects if repair else ():
        made.append(
            f"Gives: {meaning[:1].lower()}{meaning[1:]} from {said_range(before, style, system)} to "
            f"{said_range(after, style, system)}."
        )
    name, words = change.proof
    known = c.forward.readings.get(name)
    if name:
        title = known[1].title if known else name.replace("_", " ")
        text = f"Proof: {title.lower()}, {words}"
        if repair is not None and repair.proof is not None and known is not None:
            style = style_of(known[1].unit, known[1].style)
            text += f"; it should then read {said_range(repair.proof[1], style, system)}"
        made.append(f"{text}. Write it down: it is your figure for when it is well.")
    return made


def note_text(c: Consultation, found: Diagnosis, system: System) -> str:
    """A note to hand to a technician: what was read, what was ruled out, what is asked."""
    lines = [f"Note for the technician: {shown(c.boat.name, 60)}", ""]
    facts = [
        f"{entry.label}: {shown(entry.text or entry.value, 60)}"
        for path, entry in sorted(c.boat.inputs.items())
        if entry.origin != "assumed" and path.split(".", 1)[0] in _sections(c) and entry.text
    ]
    if facts:
        lines += ["What is aboard", *(f"  {fact}" for fact in facts[:24]), ""]
    lines.append("What was read")
    for each in found.taken:
        lines.append(f"  {each.reading.title}: {shown_value(each, system)}")
    if not found.taken:
        lines.append("  nothing yet")
    for doubt in _challenges(found):
        lines.append(f"  Does not add up: {challenge_words(c, doubt)}")
    lines += ["", "What it may be"]
    for key, (chance, _) in found.presence.items():
        if chance >= 0.05:
            lines.append(f"  {round(100 * chance)} %  {c.causes[key].change.title}")
    ruled_out = [
        c.causes[k].change.title for k, (chance, _) in found.presence.items() if chance < RULED_OUT
    ]
    if found.taken and ruled_out:
        lines += ["", "Unlikely by these readings (under 2 %)", *(f"  {title}" for title in ruled_out)]
    lines += ["", "What is asked"]
    licensed = [
        c.causes[k].change
        for k, (chance, _) in found.presence.items()
        if chance >= 0.1 and c.causes[k].change.who == "licensed"
    ]
    for change in licensed:
        lines.append(f"  {change.title}: {change.remedy}")
    for group in found.inseparable:
        lines.append(
            "  Please part by test: " + " / ".join(c.causes[key].change.title.lower() for key in group.keys)
        )
    if not licensed and not found.inseparable:
        lines.append("  Confirm or correct the above, and say what was measured.")
    lines.append("  Write down what was found and what was measured afterwards, with the conditions.")
    return "\n".join(lines)


def _sections(c: Consultation) -> set[str]:
    """The tables the complaint's causes act on."""
    made = {path.split(".", 1)[0] for cause in c.causes.values() for path in cause.paths if path}
    return made | {cause.change.about.split(".", 1)[0] for cause in c.causes.values() if cause.change.about}
