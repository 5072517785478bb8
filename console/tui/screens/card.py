"""One question, opened: what, how sure, what to mind, what to do, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import Resize
from textual.widgets import Static

from console.checking import complaint_on, complaints
from console.contract import Caution, Picture, Urgency
from console.tui.screens.base import WIDE, DeskScreen
from console.tui.widgets.card import badge, number_line
from console.tui.widgets.check_link import CheckLink
from console.tui.widgets.helps import HelpRow, Helps
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.picture import PictureView
from console.tui.widgets.rows import DriverRow, ShareRows
from console.tui.widgets.title import Heading, TitleBar
from console.tui.words import (
    ORIGIN_MARKS,
    first_sentence,
    input_name,
    input_text,
    line,
    lines_of,
    sentence,
)

if TYPE_CHECKING:
    from console.engine.outcome import Card, Driver

SHARPEN = "The bar is the share of the range that comes from it; Enter on one goes to it."
HELPS = "The bar is by how much the first figure gets better; Enter on one tries it on the boat."
NO_HELP = "Nothing that can be worked out here would make it better."
IN_FULL = 2
"""Of more cautions than this only the worst is said in full at once: a wall of them is not read."""
OWN_VALUES = 12
"""So many of the owner's own values are listed on a card; the boat screen has them all."""


class CardScreen(DeskScreen):
    """Everything there is to say about one question."""

    CSS_PATH = "../card.tcss"
    BINDINGS = [  # noqa: RUF012
        Binding("escape", "app.pop_screen", "Back"),
        Binding("b", "app.boat", "The boat"),
        Binding("l", "app.log", "The log", show=False),
        Binding("y", "why", "Why?"),
        Binding("n", "other(1)", "Next card"),
        Binding("p", "other(-1)", "Card before", show=False),
        Binding("c", "cautions", "Cautions in full"),
        Binding("ctrl+z", "undo", "Undo", show=False),
        Binding("ctrl+y", "redo", "Redo", show=False),
    ]

    def __init__(self, key: str) -> None:
        super().__init__()
        self.key = key
        self._drivers: object = None
        self._helps: object = None
        self._cautions_in_full = False
        self._wide = False

    def compose(self) -> ComposeResult:
        yield TitleBar()
        with VerticalScroll(id="card-scroll"), Horizontal(id="card-columns"):
            with Vertical(id="card-text"):
                yield Static("", markup=False, id="card-verdict")
                yield Static("", markup=False, id="card-cautions")
                yield Static("", markup=False, id="card-next")
                yield CheckLink(id="card-check")
                yield Heading("Why", id="card-why")
                yield ShareRows(ascii_only=self.host.ascii_only, id="card-reasons")
                yield Vertical(id="pictures-below", classes="pictures")
                yield Heading("What would help", id="card-helps-title")
                yield Static("", markup=False, id="card-helps-how")
                yield Helps(id="card-helps")
                yield Heading("What would sharpen this", id="card-sharpen")
                yield Static(line((SHARPEN, "$quiet")), markup=False, id="card-sharpen-how")
                yield Vertical(id="card-drivers")
                yield Heading("What it rests on", id="card-rests-title")
                yield Static("", markup=False, id="card-rests")
            yield Vertical(id="pictures-beside", classes="pictures")
        yield KeyLine()

    def on_mount(self) -> None:
        self._wide = self.size.width >= WIDE
        self.query_one("#card-scroll").focus()

    async def on_resize(self, event: Resize) -> None:
        wide = event.size.width >= WIDE
        if wide != self._wide:
            self._wide = wide
            await self._show_pictures()

    # --- what is shown ----------------------------------------------------------------------

    def show(self) -> None:
        super().show()
        self.call_later(self._show_card)

    async def _show_card(self) -> None:
        card = self.host.card(self.key)
        verdict = self.query_one("#card-verdict", Static)
        if card is None:
            title = next((q.title for _, q in self.host.registry.questions if q.key == self.key), "")
            verdict.update(lines_of([line((title, "bold")), line(("working out the numbers", "$quiet"))]))
            for name in (
                "#card-cautions",
                "#card-next",
                "#card-why",
                "#card-helps-title",
                "#card-helps-how",
                "#card-sharpen",
                "#card-sharpen-how",
                "#card-rests-title",
            ):
                self.query_one(name).display = False
            return
        verdict.update(self._verdict(card))
        self._show_cautions(card.cautions)
        self._show_next(card)
        self._show_reasons(card)
        await self._show_pictures()
        await self._show_helps()
        await self._show_drivers(card)
        self._show_rests(card)

    def _verdict(self, card: Card) -> Content:
        app = self.host
        broken = bool(card.missing) and bool(app.why_unwell(card.plugin))
        rows = [
            line(badge(Urgency(card.answer.urgency), broken), "  ", (card.question.title, "bold")),
            line((sentence(card.answer.verdict), "bold")),
        ]
        number = number_line(card, app.system)
        if number is not None:
            rows.append(number)
        if card.figure is not None and card.figure.meaning:
            meaning = card.figure.meaning
            tail = "; the range holds it nine times in ten" if card.figure.low is not None else ""
            rows.append(line((sentence(f"{meaning.rstrip('.')}{tail}"), "$quiet")))
        if card.question.what:
            rows.append(line((sentence(card.question.what), "$quiet")))
        return lines_of(rows)

    def _show_cautions(self, cautions: tuple[Caution, ...]) -> None:
        box = self.query_one("#card-cautions", Static)
        box.display = bool(cautions)
        rows = [line(("⚠ Mind this first", "bold $watch"))]
        for place, caution in enumerate(cautions):
            if place and len(cautions) > IN_FULL and not self._cautions_in_full:
                rows.append(line(("• ", "bold $watch"), sentence(first_sentence(caution.text))))
                continue
            defer = f"  ({caution.defer_to})" if caution.defer_to else ""
            rows.append(line(("• ", "bold $watch"), sentence(caution.text), (defer, "$quiet")))
        if len(cautions) > IN_FULL and not self._cautions_in_full:
            rows.append(line(("c", "bold $key"), (" says each in full, with what to do.", "$quiet")))
        if cautions:
            rows.append(
                line(("Local codes and licensed practice come before anything said here.", "$quiet"))
            )
        box.update(lines_of(rows))

    def _show_next(self, card: Card) -> None:
        box = self.query_one("#card-next", Static)
        box.display = bool(card.answer.next)
        box.update(line(("Next: ", "bold $key"), sentence(card.answer.next or "")))
        self.query_one(CheckLink).show(self._complaint_title())

    def _complaint_title(self) -> str:
        """What can be complained of on this card; ``""`` when there is nothing, or it is not aboard."""
        desk = self.host.desk
        complaint = complaint_on(self.host.registry, self.key)
        return complaints(desk.boat).get(complaint, "") if desk and complaint else ""

    def action_why(self) -> None:
        """The guided check of what this card is about; asked which when it is about none."""
        if self._complaint_title():
            self.host.show_check(complaint_on(self.host.registry, self.key))
        else:
            self.host.show_why()

    def on_check_link_go(self) -> None:
        self.action_why()

    def _show_reasons(self, card: Card) -> None:
        rows = self.query_one("#card-reasons", ShareRows)
        self.query_one("#card-why").display = rows.display = bool(card.answer.reasons)
        rows.show([(each.share, line(sentence(each.text))) for each in card.answer.reasons])

    async def _show_pictures(self) -> None:
        card = self.host.card(self.key)
        pictures: tuple[Picture, ...] = card.answer.pictures if card else ()
        home = self.query_one("#pictures-beside" if self._wide else "#pictures-below", Vertical)
        other = self.query_one("#pictures-below" if self._wide else "#pictures-beside", Vertical)
        await other.remove_children()
        home.display = bool(pictures)
        other.display = False
        views = list(home.query(PictureView))
        for view, picture in zip(views, pictures, strict=False):
            view.show(picture)
        for view in views[len(pictures) :]:
            await view.remove()
        for picture in pictures[len(views) :]:
            await home.mount(PictureView(picture))

    async def _show_helps(self) -> None:
        app = self.host
        asked = any(self.key in change.questions for _, change in app.registry.changes)
        for name in ("#card-helps-title", "#card-helps-how", "#card-helps"):
            self.query_one(name).display = asked
        if not asked or app.desk is None:
            return
        weighed = app.desk.now.helps.get(self.key)
        if weighed is None:
            app.ask_helps(self.key)
        how = HELPS if weighed and weighed.gains else (NO_HELP if weighed else "Working it out.")
        self.query_one("#card-helps-how", Static).update(line((how, "$quiet")))
        if (weighed, app.system) != self._helps:
            self._helps = (weighed, app.system)
            gains = weighed.gains if weighed else ()
            await self.query_one(Helps).show(gains, app.system, app.ascii_only)

    def on_help_row_try_it(self, message: HelpRow.TryIt) -> None:
        self.host.try_on(message.keys, message.title)

    def action_cautions(self) -> None:
        """Say each caution in full, or the worst alone."""
        self._cautions_in_full = not self._cautions_in_full
        card = self.host.card(self.key)
        if card is not None:
            self._show_cautions(card.cautions)

    def action_undo(self) -> None:
        """Take the last edit back."""
        self.host.say("Taken back" if self.host.step_back() else "Nothing to take back")

    def action_redo(self) -> None:
        """Put the last undone edit back."""
        self.host.say("Put back" if self.host.step_forth() else "Nothing to put back")

    async def _show_drivers(self, card: Card) -> None:
        app = self.host
        title = self.query_one("#card-sharpen", Heading)
        title.display = self.query_one("#card-sharpen-how").display = bool(card.drivers)
        wanted = (card.drivers, app.system, app.desk.boat.text if app.desk else "")
        if wanted == self._drivers:
            return
        self._drivers = wanted
        home = self.query_one("#card-drivers", Vertical)
        focused = self.focused.path if isinstance(self.focused, DriverRow) else ""
        with self.app.batch_update():
            await home.remove_children()
            rows = [
                DriverRow(driver.path, driver.share, text, app.ascii_only)
                for driver in card.drivers
                if (text := self._driver(driver)) is not None
            ]
            await home.mount(*rows)
        for row in rows:
            if row.path == focused:
                row.focus(scroll_visible=False)

    def _driver(self, driver: Driver) -> Content | None:
        app = self.host
        item = app.desk.boat.inputs.get(driver.path) if app.desk else None
        if item is None:
            return None
        way = "more of it raises the number" if driver.sign > 0 else "more of it lowers the number"
        return lines_of([
            line((input_name(item), "bold"), f"  {input_text(item, app.system, app.numbers)}  ",
                 (f"{ORIGIN_MARKS[item.origin]} {item.origin}; {way}", "$quiet")),
            line((sentence(item.help), "$quiet")),
        ])  # fmt: skip

    def _show_rests(self, card: Card) -> None:
        app = self.host
        box = self.query_one("#card-rests", Static)
        title = self.query_one("#card-rests-title", Heading)
        if app.desk is None:
            return
        sections = {section.key for owner, section in app.registry.sections if owner == card.plugin}
        inputs = [item for item in app.desk.boat.inputs.values() if item.section in sections]
        own = [item for item in inputs if item.origin != "assumed" and item.kind == "quantity"]
        assumed = sum(item.origin == "assumed" for item in inputs)
        title.display = box.display = bool(inputs)
        rows = [
            line(f"{ORIGIN_MARKS[item.origin]} ", input_name(item), "  ", (input_text(item, app.system, app.numbers), "bold"),
                 (f"  {item.origin}", "$quiet"))
            for item in own[:OWN_VALUES]
        ]  # fmt: skip
        if len(own) > OWN_VALUES:
            rows.append(line((f"and {len(own) - OWN_VALUES} more of your own", "$quiet")))
        rows.append(
            line((f"○ {assumed} more are assumed: usual values with a wide range. ", "$quiet"),
                 ("b", "bold $key"), (" shows them all.", "$quiet"))
        )  # fmt: skip
        box.update(lines_of(rows))

    # --- moving -----------------------------------------------------------------------------

    def action_other(self, by: int) -> None:
        """Show the next card, in the order of the opening screen."""
        outcome = self.host.outcome
        if outcome is None:
            return
        keys = [card.question.key for card in outcome.cards]
        if self.key in keys:
            self.key = keys[(keys.index(self.key) + by) % len(keys)]
            self.query_one("#card-scroll", VerticalScroll).scroll_home(animate=False)
            self.show()

    def on_driver_row_go(self, message: DriverRow.Go) -> None:
        self.host.show_boat(message.path)
