"""The [raw_water] table: the line in the order the water goes, the bucket, what drifts past."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import Discriminator, Tag, model_validator

from console.fields import Quantity, Table, choice, quantity, table, tables, text
from plugins.raw_water import sentences
from plugins.raw_water.whole_line import completed_line, part_of

_DEFAULTS = "plugins.raw_water.defaults"


def _bore(what: str, spread: str = "± 3 %") -> Any:
    return quantity(
        "short_length", spread, compute=f"{_DEFAULTS}:lines_bore", given="± 3 %",
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
                    known = {name: list(kind.model_fields) for name, kind in _PARTS.items()}
                    part = next(name for name, kind in _PARTS.items() if kind is cls)
                    raise ValueError(sentences.no_such_field(part, str(key), known))
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
    depth: Quantity = quantity(
        "short_height", "± 6 in", compute=f"{_DEFAULTS}:intake_depth", given="± 2 in",
        hard=("-3 m", "6 m"), usual=("0 in", "8 ft"),
        help="How far the hole is below the waterline.",
    )  # fmt: skip
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
    dip: Quantity = quantity(
        "short_length", "0 in", given="± 1 in", hard=("0 m", "3 m"), usual=("0 in", "2 ft"),
        help="How far the run sags below the lower of its two ends before it climbs again; 0 when it never does.",
    )  # fmt: skip
    hump: Quantity = quantity(
        "short_length", "0 in", given="± 1 in", hard=("0 m", "5 m"), usual=("0 in", "3 ft"),
        help="How far the run climbs over the higher of its two ends before it falls again; after its dip, if both.",
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
    lid: Literal["clear", "closed"] = choice(
        "clear", help="A clear lid or bowl shows the basket without opening it; a closed one does not."
    )
    depth: Quantity = quantity(
        "short_height", "± 3 in", compute=f"{_DEFAULTS}:strainer_depth", given="± 1 in",
        hard=("-3 m", "3 m"), usual=("0 in", "4 ft"),
        help="How far its lid is below the waterline; it belongs below the pump, so that air goes on.",
    )  # fmt: skip


class CurvePoint(Table):
    """A point off the maker's curve of a pump: how much head it gives at a flow."""

    flow: Quantity = quantity(
        "flow",
        None,
        given="± 2 %",
        hard=("0 L/min", "1000 L/min"),
        help="The flow at this point of the curve.",
    )
    head: Quantity = quantity(
        "head", None, given="± 3 %", hard=("0 m", "100 m"), help="The head it gives at that flow."
    )

    @model_validator(mode="after")
    def _both(self) -> CurvePoint:
        if self.flow is None or self.head is None:
            raise ValueError("a point of the curve needs both its flow and its head")
        return self


class PumpItem(LineItem):
    """The pump. Two numbers off its label make its curve, or as many points as the maker prints."""

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
    curve: list[CurvePoint] = tables(
        help="Points off the maker's curve, any number of them, instead of or besides the label's two numbers."
    )
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
    def _falling_curve(self) -> PumpItem:
        points = [(p.flow.value, p.head.value) for p in self.curve if p.flow and p.head]
        label = (one.value if one else None for one in (self.max_head, self.max_flow))
        wrong = sentences.bad_curve(points, *label)
        if wrong:
            raise ValueError(f"the pump: {wrong}")
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
    bore: Quantity = _bore("its seawater tube", "± 10 %")
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


class Trial(Table):
    """What is tried on paper before it is done: as the line lies, all of these change nothing."""

    hose_size: Quantity = quantity(
        "ratio", "1", hard=("0.5", "3"), usual=("0.8", "1.7"),
        help="Bore of every hose against what it is now; from 5/8 to 3/4 in is 1.2.",
    )  # fmt: skip
    kinks_left: Quantity = quantity(
        "share",
        "100 %",
        hard=("0 %", "100 %"),
        help="How much of every kink is left; 0 % straightens them all.",
    )
    kink_place: Quantity = quantity(
        "share",
        "0 %",
        hard=("0 %", "100 %"),
        help="Where along all the hoses the first one's kink is tried; 0 % leaves it where it is.",
    )
    dips_left: Quantity = quantity(
        "share", "100 %", hard=("0 %", "100 %"),
        help="How much of every dip and hump is left; 0 % lays every hose rising all the way.",
    )  # fmt: skip


class RawWater(Table):
    """The raw-water line of the air conditioner."""

    bore: Quantity = quantity(
        "short_length", "± 10 %", compute=f"{_DEFAULTS}:bore", given="± 3 %",
        hard=("4 mm", "100 mm"), usual=("1/2 in", "2 in"),
        help="Bore of the line where a part does not state its own: one hose is seldom alone of its size.",
    )  # fmt: skip
    container: Quantity = quantity(
        "volume", "10 L", given="± 4 %", hard=("0.2 L", "200 L"), usual=("2 L", "40 L"),
        help="The bucket you hold under the overboard; fill it from marked bottles once to know it.",
    )  # fmt: skip
    fill_time: Quantity = quantity(
        "seconds", None, given="± 5 %", hard=("1 s", "3600 s"), usual=("10 s", "300 s"),
        reading="fill_time", measured=True,
        help="Seconds to fill it at the overboard when everything is clean; the model is fitted to it.",
    )  # fmt: skip
    fill_time_now: Quantity = quantity(
        "seconds", None, given="± 5 %", hard=("1 s", "3600 s"), usual=("10 s", "600 s"),
        reading="fill_time", measured=True,
        help="Seconds it takes now, with the line as it is; what your parts do not explain is shown as such.",
    )  # fmt: skip
    line_loss: Quantity = quantity(
        "ratio", "1", given="± 20 %", hard=("0.02", "10000"), usual=("0.3", "30"),
        help="Loss of the whole line against what its parts add up to; 2 is twice that. A repair moves it.",
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
    debris_every: Quantity = quantity(
        "days", None, given="± 60 %", hard=("0.2 days", "3650 days"), usual=("2 days", "365 days"),
        help="How often, in your log, weed, jellyfish or a bag shut it at a stroke: once in so many days.",
    )  # fmt: skip
    line: list[AnyItem] = tables(help="The parts, in the order the water goes.")
    trial: Trial = table(Trial, help="What is tried on paper before it is done.")

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
                    f"item {number} of the line is {sentences.quoted(item)}; accepted is a table of fields"
                )
            if item.get("part") not in _PARTS:
                raise ValueError(sentences.no_such_part(number, item.get("part"), tuple(_PARTS)))
        wrong = sentences.too_many([part_of(item) for item in given])
        if wrong:
            raise ValueError(wrong)
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
        names = sentences.listed([f"an {part}" if part[0] in "io" else f"a {part}" for part in added])
        what = "an average one is" if len(added) == 1 else "average ones are"
        return [f"[[raw_water.line]] does not list {names}; {what} assumed"]
