"""The [raw_water] table: the line in the order the water goes, the bucket, what drifts past."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Annotated, Any, Literal

from pydantic import Discriminator, Tag, model_validator

from console.fields import Quantity, Table, choice, quantity, tables, text
from plugins.raw_water.whole_line import completed_line, part_of

_DEFAULTS = "plugins.raw_water.defaults"


def _bore(what: str) -> Any:
    return quantity(
        "short_length", "± 10 %", compute=f"{_DEFAULTS}:bore", given="± 3 %",
        hard=("4 mm", "100 mm"), usual=("1/2 in", "2 in"),
        help=f"Inside diameter of {what}; printed on the hose, or measure a cut end.",
    )  # fmt: skip


class LineItem(Table):
    """A part of the line. ``part`` says which; each has its own fields."""

    @model_validator(mode="before")
    @classmethod
    def _own_fields_only(cls, data: Any) -> Any:
        if isinstance(data, Mapping):
            for key in data:
                if key not in cls.model_fields:
                    raise ValueError(_no_such_field(cls, str(key)))
        return data


class Intake(LineItem):
    """Where the water comes in, through the hull."""

    part: Literal["intake"] = choice("intake", help="The hole in the hull the water comes in by.")
    name: str = text("", help="Your own name for it.")
    kind: Literal["plain", "scoop"] = choice(
        "plain",
        help="A plain hole flush with the hull, or a scoop with bars over it; look when hauled out.",
    )
    bore: Quantity = _bore("the hull fitting")
    blocked: Quantity = quantity(
        "share", "0 % ± 15 %", given="± 15 %", hard=("0 %", "100 %"), usual=("0 %", "90 %"),
        help="Share of the opening shut by barnacles, grass or a bag; a diver or the next haul-out tells.",
    )  # fmt: skip


class Seacock(LineItem):
    """The valve on the hull fitting."""

    part: Literal["seacock"] = choice("seacock", help="The valve at the hull.")
    name: str = text("", help="Your own name for it.")
    bore: Quantity = _bore("the seacock")
    open_share: Quantity = quantity(
        "share", "100 %", given="± 5 %", hard=("0 %", "100 %"), usual=("20 %", "100 %"),
        help="How far its handle stands open: 100 % in line with the hose, 0 % square across it.",
    )  # fmt: skip


class Hose(LineItem):
    """A run of hose or pipe between two parts."""

    part: Literal["hose"] = choice("hose", help="A run of hose or pipe.")
    name: str = text("", help='Where it runs, such as "seacock to strainer".')
    bore: Quantity = _bore("the hose")
    length: Quantity = quantity(
        "length", "6 ft ± 60 %", given="± 10 %", hard=("1 cm", "60 m"), usual=("6 in", "25 ft"),
        help="Length of the run; follow it with a tape.",
    )  # fmt: skip
    bends: Quantity = quantity(
        "number", "2 ± 60 %", given="± 30 %", hard=("0", "40"), usual=("0", "10"),
        help="Tight right-angle bends and elbows in the run; count them.",
    )  # fmt: skip
    roughness: Quantity = quantity(
        "short_length", "0.03 mm ± 100 %", given="± 50 %", hard=("0.0005 mm", "2 mm"),
        usual=("0.001 mm", "0.5 mm"),
        help="Roughness of the inside wall: new plastic 0.002 mm, slimed hose about 0.05 mm.",
    )  # fmt: skip
    open_width: Quantity = quantity(
        "share", "100 %", given="± 10 %", hard=("0 %", "100 %"), usual=("5 %", "100 %"),
        help="At a kink, what is left of the bore across the flat; 100 % is round. Look, or feel along it.",
    )  # fmt: skip


class Strainer(LineItem):
    """The basket that catches what the intake lets in."""

    part: Literal["strainer"] = choice("strainer", help="The basket before the pump.")
    name: str = text("", help="Your own name for it.")
    bore: Quantity = _bore("its hose barbs")
    basket_area: Quantity = quantity(
        "small_area", "± 60 %", compute=f"{_DEFAULTS}:basket_area", given="± 20 %",
        hard=("1 cm**2", "5000 cm**2"), usual=("10 cm**2", "600 cm**2"),
        help="Area of the basket's wall that water can reach, holes and metal together; round × height.",
    )  # fmt: skip
    hole_share: Quantity = quantity(
        "share", "40 % ± 12 %", given="± 8 %", hard=("2 %", "95 %"), usual=("20 %", "65 %"),
        help="Share of the clean basket's wall that is hole; 40 % is usual for a drilled one.",
    )  # fmt: skip
    blocked: Quantity = quantity(
        "share", "0 % ± 30 %", given="± 15 %", hard=("0 %", "100 %"), usual=("0 %", "98 %"),
        help="Share of the basket shut by weed and shell; lift it out and judge.",
    )  # fmt: skip


class PumpItem(LineItem):
    """The pump. Two numbers off its label make its curve; a third point is welcome."""

    part: Literal["pump"] = choice("pump", help="The circulating pump.")
    name: str = text("", help="Your own name for it.")
    max_head: Quantity = quantity(
        "head", "14 ft ± 35 %", given="± 8 %", hard=("0.2 m", "100 m"), usual=("6 ft", "40 ft"),
        help="The head at which it pumps nothing; the label's or the maker's curve's largest.",
    )  # fmt: skip
    max_flow: Quantity = quantity(
        "flow", "± 55 %", compute=f"{_DEFAULTS}:clean_pump_flow", given="± 8 %",
        hard=("0.5 L/min", "1000 L/min"), usual=("3 gpm", "60 gpm"),
        help="The flow with nothing in its way; the label's largest.",
    )  # fmt: skip
    duty_head: Quantity = quantity(
        "head", None, given="± 5 %", hard=("0.05 m", "100 m"),
        help="One more point off the maker's curve, with duty_flow: the head at that flow.",
    )  # fmt: skip
    duty_flow: Quantity = quantity(
        "flow", None, given="± 5 %", hard=("0.5 L/min", "1000 L/min"),
        help="One more point off the maker's curve, with duty_head: the flow at that head.",
    )  # fmt: skip
    rated_frequency: Quantity = quantity(
        "frequency", "± 0 %", compute=f"{_DEFAULTS}:rated_frequency",
        hard=("40 Hz", "70 Hz"), usual=("50 Hz", "60 Hz"),
        help="The frequency its label's figures are for.",
    )  # fmt: skip
    supply_frequency: Quantity = quantity(
        "frequency", "± 0 %", compute=f"{_DEFAULTS}:supply_frequency",
        hard=("40 Hz", "70 Hz"), usual=("50 Hz", "60 Hz"),
        help="The frequency it is run on; the dock's, 50 or 60 Hz. Its speed follows it.",
    )  # fmt: skip
    depth: Quantity = quantity(
        "short_height", "12 in ± 6 in", given="± 2 in", hard=("-3 m", "3 m"), usual=("0 in", "4 ft"),
        help="How far it sits below the waterline; usual advice is at least 1 ft on every tack.",
    )  # fmt: skip
    needed_suction: Quantity = quantity(
        "head", "1 m ± 50 %", given="± 20 %", hard=("0.1 m", "9 m"), usual=("0.3 m", "4 m"),
        help="The net positive suction head its maker asks for (NPSH).",
    )  # fmt: skip
    wear: Quantity = quantity(
        "share", "0 % ± 15 %", given="± 10 %", hard=("0 %", "100 %"), usual=("0 %", "60 %"),
        help="Share of its head and flow lost to an eaten wheel; compare a bucket at its outlet with the label.",
    )  # fmt: skip
    suction_air: Quantity = quantity(
        "share", "0 %", given="± 2 %", hard=("0 %", "100 %"), usual=("0 %", "12 %"),
        help="Air drawn in on the suction side, as a share of the volume; bubbles in the strainer bowl tell.",
    )  # fmt: skip
    air: Quantity = quantity(
        "share", "0 %", given="± 15 %", hard=("0 %", "100 %"),
        help="Share of its casing filled with air; 100 % is an air lock, it spins and pumps nothing.",
    )  # fmt: skip
    stopped: Quantity = quantity(
        "share", "0 %", given="± 15 %", hard=("0 %", "100 %"),
        help="Share of the time it stands still though water is called for: a bad relay, a dead pump 100 %.",
    )  # fmt: skip

    @model_validator(mode="after")
    def _whole_point(self) -> PumpItem:
        if (self.duty_head is None) != (self.duty_flow is None):
            raise ValueError("duty_head and duty_flow are one point of the curve; give both or neither")
        return self


class Condenser(LineItem):
    """The unit's seawater coil."""

    part: Literal["condenser"] = choice("condenser", help="The seawater coil of the unit.")
    name: str = text("", help="Your own name for it.")
    loss: Quantity = quantity(
        "pressure", "2.2 psi ± 60 %", given="± 15 %", hard=("0.05 psi", "60 psi"), usual=("0.5 psi", "10 psi"),
        help="Pressure lost in the clean coil at the flow at_flow; from the unit's papers.",
    )  # fmt: skip
    at_flow: Quantity = quantity(
        "flow", "± 15 %", compute=f"{_DEFAULTS}:coil_rated_flow", given="± 2 %",
        hard=("0.2 L/min", "1000 L/min"), usual=("1 gpm", "30 gpm"),
        help="The flow the coil's loss is stated for.",
    )  # fmt: skip
    exponent: Quantity = quantity(
        "ratio", "1.85 ± 6 %", given="± 3 %", hard=("1", "2.2"), usual=("1.7", "2"),
        help="How its loss grows with flow: 1.75 a smooth tube, 2 fittings and sharp turns.",
    )  # fmt: skip
    bore: Quantity = _bore("its seawater tube")
    scale: Quantity = quantity(
        "short_length", "0.1 mm ± 100 %", given="± 50 %", hard=("0 mm", "5 mm"), usual=("0 mm", "2 mm"),
        help="Thickness of scale and slime on the tube's inside; 0 just after a descale.",
    )  # fmt: skip
    height: Quantity = quantity(
        "short_height", "18 in ± 12 in", given="± 3 in", hard=("-2 m", "10 m"), usual=("-2 ft", "6 ft"),
        help="Its height above the waterline, the high spot the pump must start the water over.",
    )  # fmt: skip


class Overboard(LineItem):
    """Where the water leaves the boat."""

    part: Literal["overboard"] = choice("overboard", help="The fitting the water leaves by.")
    name: str = text("", help="Your own name for it.")
    bore: Quantity = _bore("the overboard fitting")
    height: Quantity = quantity(
        "short_height", "7 in ± 3 in", given="± 1 in", hard=("-2 m", "10 m"), usual=("0 in", "4 ft"),
        help="Its height above the waterline; usual is 6 to 8 in, where it can be seen.",
    )  # fmt: skip


_PARTS: dict[str, type[LineItem]] = {
    "intake": Intake, "seacock": Seacock, "hose": Hose, "strainer": Strainer, "pump": PumpItem,
    "condenser": Condenser, "overboard": Overboard,
}  # fmt: skip


AnyItem = Annotated[
    Annotated[Intake, Tag("intake")]
    | Annotated[Seacock, Tag("seacock")]
    | Annotated[Hose, Tag("hose")]
    | Annotated[Strainer, Tag("strainer")]
    | Annotated[PumpItem, Tag("pump")]
    | Annotated[Condenser, Tag("condenser")]
    | Annotated[Overboard, Tag("overboard")],
    Discriminator(part_of),
]


def _no_such_field(model: type[LineItem], key: str) -> str:
    part = next(name for name, kind in _PARTS.items() if kind is model)
    owners = [name for name, kind in _PARTS.items() if key in kind.model_fields]
    near = get_close_matches(key, model.model_fields, 1)
    article = "an" if part[0] in "aio" else "a"
    sentence = f"{article} {part} has no field {_quoted(key)}"
    if near:
        return f"{sentence}; did you mean {near[0]}?"
    if owners:
        return f"{sentence}; it belongs to {_listed(owners)}"
    return f"{sentence}; accepted are {', '.join(model.model_fields)}"


class RawWater(Table):
    """The raw-water line of the air conditioner."""

    container: Quantity = quantity(
        "volume", "10 L", given="± 4 %", hard=("0.2 L", "200 L"), usual=("2 L", "40 L"),
        help="The bucket you hold under the overboard; fill it from marked bottles once to know it.",
    )  # fmt: skip
    fill_time: Quantity = quantity(
        "seconds", None, given="± 5 %", hard=("1 s", "3600 s"), usual=("10 s", "300 s"),
        reading="fill_time", measured=True,
        help="Seconds to fill it at the overboard when everything is clean; the model is fitted to it.",
    )  # fmt: skip
    water: Literal["clean", "average", "weedy", "jellyfish"] = choice(
        "average", help="What drifts past the slip: clean, average, weedy, or a jellyfish season."
    )
    flow_limit: Quantity = quantity(
        "share", "75 %", hard=("10 %", "99 %"), usual=("50 %", "90 %"),
        help="Share of the clean flow at which you want the strainer cleaned.",
    )  # fmt: skip
    fouling_pace: Quantity = quantity(
        "ratio", "1 ± 75 %", given="± 30 %", hard=("0.02", "50"), usual=("0.2", "8"),
        help="How fast your strainer fouls against the usual: 2 is twice as fast. Your log tells.",
    )  # fmt: skip
    line: list[AnyItem] = tables(help="The parts, in the order the water goes.")

    @model_validator(mode="before")
    @classmethod
    def _complete(cls, data: Any) -> Any:
        if not isinstance(data, Mapping):
            return data
        given = data.get("line", [])
        if not isinstance(given, list):
            return data  # pydantic says what is wrong
        for number, item in enumerate(given, 1):
            if not isinstance(item, Mapping):
                raise ValueError(
                    f"item {number} of the line is {_quoted(item)}; accepted is a table of fields"
                )
            if item.get("part") not in _PARTS:
                raise ValueError(_no_such_part(number, item.get("part")))
        whole: Any = copy.copy(data)  # keeps what the reader of the file knows of its lines
        whole["line"] = completed_line(given)
        return whole

    def assumed_parts(self, raw: Mapping[str, Any]) -> list[str]:
        """One sentence naming the parts the file's line lacks; none when it has no line at all."""
        given = raw.get("line", [])
        if not given:
            return []
        added = [part_of(item) for item in completed_line(given) if not any(item is one for one in given)]
        if not added:
            return []
        names = _listed([f"an {part}" if part[0] in "io" else f"a {part}" for part in added])
        what = "an average one is" if len(added) == 1 else "average ones are"
        return [f"[[raw_water.line]] does not list {names}; {what} assumed"]


def _quoted(given: Any) -> str:
    """What was given, safe to print: escaped, one line, not too long."""
    word = str(given)
    return word if word.isidentifier() and len(word) <= 40 else repr(given)[:40]


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _no_such_part(number: int, part: Any) -> str:
    accepted = ", ".join(_PARTS)
    if part is None:
        return f"item {number} of the line does not say its part; accepted is part = one of {accepted}"
    near = get_close_matches(str(part), _PARTS, 1)
    hint = f"did you mean {near[0]}?" if near else f"accepted are {accepted}"
    return f"item {number} of the line: there is no part {_quoted(part)}; {hint}"
