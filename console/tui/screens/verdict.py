"""Did the repair help: the verdict on the last one written down, or what to log before one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import Resize
from textual.widgets import Static

from console.contract import Picture
from console.tui.screens.base import WIDE, DeskScreen
from console.tui.verdict_task import WEIGHING, Weighed, weigh_repair
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.picture import PictureView
from console.tui.widgets.title import Heading, TitleBar
from console.tui.words import line, lines_of, sentence

if TYPE_CHECKING:
    from console.inference.prescription import Plan
    from console.inference.repairs import Verdict

TITLE = "Did the repair help?"
MARKS = {
    "helped": ("● HELPED", "bold $fine"),
    "got worse": ("▲ GOT WORSE", "bold $act"),
    "no detectable change": ("○ NO CHANGE SEEN", "bold $watch"),
    "cannot tell yet": ("? CANNOT TELL YET", "bold $unknown"),
}
"""The badge is a mark and words; its colour only repeats them."""


class VerdictScreen(DeskScreen):
    """The verdict's card. It is weighed anew when the boat, its log or the units have changed."""

    CSS_PATH = "../verdict.tcss"
    BINDINGS = [  # noqa: RUF012
        Binding("escape", "back", "Back"),
        Binding("l", "app.log", "The log"),
        Binding("s", "stop", "Stop"),
        Binding("r", "again", "Weigh again"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._made: Weighed | None = None
        self._made_for: object = None
        self._stopped = False
        self._drawn: object = None
        self._wide = False

    def compose(self) -> ComposeResult:
        yield TitleBar()
        with VerticalScroll(id="verdict-scroll"), Horizontal(id="verdict-columns"):
            with Vertical(id="verdict-text"):
                yield Static("", markup=False, id="verdict-head")
                yield Static("", markup=False, id="verdict-next")
                yield Heading("Mind this", id="verdict-mind")
                yield Static("", markup=False, id="verdict-flags")
                yield Heading("Why", id="verdict-why-title")
                yield Static("", markup=False, id="verdict-why")
                yield Vertical(id="verdict-below", classes="pictures")
            yield Vertical(id="verdict-beside", classes="pictures")
        yield KeyLine()

    def on_mount(self) -> None:
        self._wide = self.size.width >= WIDE
        self.query_one("#verdict-scroll").focus()

    async def on_resize(self, event: Resize) -> None:
        wide = event.size.width >= WIDE
        if wide != self._wide:
            self._wide, self._drawn = wide, None
            await self._paint()

    # --- keys -------------------------------------------------------------------------------

    def action_back(self) -> None:
        self.host.give_up(WEIGHING)
        self.app.pop_screen()

    def action_stop(self) -> None:
        if self.host.give_up(WEIGHING):
            self._stopped = True
            self.show()

    def action_again(self) -> None:
        self._made_for, self._stopped = None, False
        self.show()

    # --- what is shown ----------------------------------------------------------------------

    def show(self) -> None:
        super().show()
        self._ask()
        self.call_later(self._paint)

    def _ask(self) -> None:
        """Have the log weighed, unless that was done for this very boat, log and unit system."""
        app = self.host
        desk = app.desk
        if desk is None or self._stopped:
            return
        from console.logbook import beside

        path = beside(desk.home) if desk.home is not None else None
        wanted = (id(desk.boat), app.system, _signature(path))
        if wanted == self._made_for or app.doing:
            return

        def keep(made: Weighed) -> None:
            self._made, self._made_for = made, wanted

        app.ask_beside(weigh_repair(desk.boat, path, app.system, keep), WEIGHING)

    async def _paint(self) -> None:
        made = self._made
        key = (id(made), self.host.doing, self._wide, self._stopped)
        if key == self._drawn:
            return
        self._drawn = key
        pictures: tuple[Picture, ...] = ()
        if made is None:
            waiting = (
                "Stopped. Press r to weigh the log." if self._stopped
                else sentence(self.host.doing or "working out the numbers")
            )  # fmt: skip
            self._fill([line((TITLE, "bold")), line((waiting, "$quiet"))])
        elif made.verdict is not None:
            from console.inference.repair_told import pictures_of

            self._fill_verdict(made.verdict)
            desk = self.host.desk
            pictures = pictures_of(desk.boat, made.verdict) if desk is not None else ()
        elif made.plans:
            self._fill_plans(made.plans)
        else:
            self._fill([line((TITLE, "bold")), line((sentence(made.why_not), ""))])
        beside, below = self.query_one("#verdict-beside"), self.query_one("#verdict-below")
        beside.display = self._wide and bool(pictures)
        await beside.remove_children()
        await below.remove_children()
        await (beside if self._wide else below).mount(*(PictureView(each) for each in pictures))

    def _fill(
        self,
        head: list[Content],
        after: str = "",
        mind: tuple[str, ...] = (),
        why: list[Content] | None = None,
    ) -> None:
        self.query_one("#verdict-head", Static).update(lines_of(head))
        step = self.query_one("#verdict-next", Static)
        step.display = bool(after)
        step.update(line(("Next: ", "bold $key"), after))
        for name in ("#verdict-mind", "#verdict-flags"):
            self.query_one(name).display = bool(mind)
        self.query_one("#verdict-flags", Static).update(
            lines_of([line(f"• {sentence(row)}") for row in mind])
        )
        for name in ("#verdict-why-title", "#verdict-why"):
            self.query_one(name).display = bool(why)
        self.query_one("#verdict-why", Static).update(lines_of(why or []))

    def _fill_verdict(self, made: Verdict) -> None:
        from console.inference.repair_told import next_of, parts_text, percent_change, sentence_of, why_of

        badge, style = MARKS[made.verdict]
        value, low, high = made.change
        day = f", {made.repaired:%d %b %Y}" if made.repaired else ""
        head = [
            line((badge, style), "  ", (f"{made.title}{day}", "bold")),
            line((sentence_of(made), "bold")),
            line(
                (f"{percent_change(value)}", "bold"),
                (f" (nine times in ten {percent_change(low)} to {percent_change(high)})", "$quiet"),
            ),
        ]
        why = [line(row) for row in why_of(made)[1:]]
        for title, rows in parts_text(made, self.host.system):
            why += [line(""), line((title, "bold")), *(line(row) for row in rows)]
        mind = (*made.flags, *(f"not weighed: {row}" for row in made.left_out))
        self._fill(head, next_of(made), mind, why)

    def _fill_plans(self, plans: tuple[Plan, ...]) -> None:
        from console.inference.plan_told import cautions_of, head_of, steps_of

        desk = self.host.desk
        assert desk is not None
        head = [
            line((TITLE, "bold")),
            line(
                'No repair is written down yet. Before one, log this; on its day write the event "repair".'
            ),
        ]
        mind = tuple(dict.fromkeys(c.text for each in plans for c in cautions_of(desk.boat, each)))
        why: list[Content] = []
        for each in plans:
            why += [line((each.title, "bold")), line(head_of(each))]
            why += [line((f"• {row}", "")) for row in steps_of(each)] + [line("")]
        self._fill(head, "", mind, why)


def _signature(path: object) -> tuple[object, ...]:
    """Another one whenever the logbook may hold something else."""
    from pathlib import Path

    made: list[object] = []
    for each in (path, f"{path}-wal") if path is not None else ():
        try:
            stat = Path(str(each)).stat()
            made.append((stat.st_mtime_ns, stat.st_size))
        except OSError:
            made.append(None)
    return tuple(made)
