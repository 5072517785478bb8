"""The opening screen: the boat's questions, worst news first."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Container
from textual.widgets import Static

from console.contract import Urgency
from console.tui.screens.base import WIDE, DeskScreen
from console.tui.widgets.card import CardView
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.pane import Pane
from console.tui.widgets.title import TitleBar
from console.tui.words import input_name, line, lines_of, sentence

WAITING = line(("The boat's questions", "bold"), ("  numbers follow in a moment", "$quiet"))


class HomeScreen(DeskScreen):
    """One card for each question the plugins bring; Enter opens one."""

    BINDINGS = [  # noqa: RUF012
        Binding("up", "step(0,-1)", "Up", show=False),
        Binding("down", "step(0,1)", "Down", show=False),
        Binding("left", "step(-1,0)", "Left", show=False),
        Binding("right", "step(1,0)", "Right", show=False),
        Binding("home", "edge(0)", "First", show=False),
        Binding("end", "edge(-1)", "Last", show=False),
        Binding("b", "app.boat", "The boat"),
        Binding("l", "app.log", "The log"),
        Binding("y", "why", "Why?"),
        Binding("w", "app.work", "Work list"),
        Binding("m", "app.own_boat", "My own boat", show=False),
        Binding("r", "read_again", "Read again", show=False),
        Binding("d", "demo", "Demo boat", show=False),
        Binding("q", "app.quit", "Leave"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._answered = False

    def compose(self) -> ComposeResult:
        yield TitleBar()
        yield Static(WAITING, markup=False, id="summary")
        with Pane(id="home-scroll"):
            with Container(id="cards"):
                for plugin, question in self.host.registry.questions:
                    yield CardView(question, plugin)
            yield Static("", markup=False, id="notes")
        yield KeyLine()

    def on_mount(self) -> None:
        cards = self._cards()
        if cards:
            self.set_focus(cards[0], scroll_visible=False)

    # --- what is shown ----------------------------------------------------------------------

    def show(self) -> None:
        super().show()
        app = self.host
        outcome = app.outcome
        scroll = self.query_one("#cards")
        scroll.display = not app.unreadable
        if app.unreadable:
            self._show_unreadable(app.unreadable)
            return
        if outcome is None:
            if self._answered:
                for view in self.query(CardView):
                    view.wait()
            self._answered = False
            self._show_summary()
            self._show_notes()
            return
        self._answered = True
        place = {card.question.key: (number, card) for number, card in enumerate(outcome.cards)}
        for view in self.query(CardView):
            number, card = place.get(view.question.key, (len(place), None))
            if card is not None:
                view.show(card, app.system, app.why_unwell(view.plugin), number)
        self._sort()
        self._show_summary()
        self._show_notes()

    def show_title(self) -> None:
        super().show_title()
        if self.host.outcome is None and not self.host.unreadable:
            self._show_summary()

    def _sort(self) -> None:
        cards = self.query_one("#cards")
        orders = [view.order for view in cards.query(CardView)]
        if not orders:
            return
        first_look = self.focused is cards.children[0]
        if orders != sorted(orders):
            cards.sort_children(key=lambda view: view.order if isinstance(view, CardView) else (0, 0))
        if first_look:
            # Nobody has moved yet: the eye belongs on the worst news.
            cards.children[0].focus(scroll_visible=False)
            self.call_after_refresh(self.query_one("#home-scroll").scroll_home, animate=False)

    def _show_summary(self) -> None:
        outcome = self.host.outcome
        bar = self.query_one("#summary", Static)
        if outcome is None:
            doing = self.host.doing
            first = doing.startswith("first start")
            bar.update(line((f"{sentence(doing)} This is done once.", "$key")) if first else WAITING)
            return
        counts = {urgency: 0 for urgency in Urgency}
        broken = 0
        for card in outcome.cards:
            if card.missing:
                broken += 1
            else:
                counts[Urgency(card.answer.urgency)] += 1
        said = [
            (counts[Urgency.ACT], "needs you now", "need you now", "bold $act"),
            (counts[Urgency.WATCH], "to watch", "to watch", "bold $watch"),
            (broken, "not working", "not working", "bold $unknown"),
            (counts[Urgency.UNKNOWN], "not known", "not known", "bold $unknown"),
            (counts[Urgency.FINE], "is fine", "are fine", "bold $fine"),
            (counts[Urgency.NOT_ABOARD], "not aboard", "not aboard", "$quiet"),
        ]
        parts: list[tuple[str, str]] = []
        for count, one, many, style in said:
            if count:
                parts.append((f"{count} {one if count == 1 else many}", style))
                parts.append((" · ", "$quiet"))
        rows = [line(*parts[:-1])]
        desk = self.host.desk
        if desk is not None and desk.is_demo and not desk.unsaved:
            rows.append(
                line(("This is the demo boat. ", "$quiet"), ("m", "bold $key"), (" makes your own from a few questions.", "$quiet"))
            )  # fmt: skip
        bar.update(lines_of(rows))

    def _show_notes(self) -> None:
        app = self.host
        outcome = app.outcome
        rows = []
        if not app.registry.questions:
            rows.append(line("No plugin is loaded that asks anything, so there is nothing to answer."))
        on_cards = {why for card in (outcome.cards if outcome else ()) for why in card.missing}
        for each in outcome.unwell if outcome else app.registry.failures:
            if each.error not in on_cards:
                said = sentence(f"{each.plugin.replace('_', ' ')}: {each.error}")
                rows.append(line(("✕ Not working: ", "bold $unknown"), said))
        for warning in outcome.warnings if outcome else ():
            rows.append(line(("Worth a look: ", "$watch"), sentence(self._in_words(warning))))
        notes = self.query_one("#notes", Static)
        notes.update(lines_of(rows))
        notes.display = bool(rows)

    def _in_words(self, warning: str) -> str:
        """A warning with the input's name in place of its path."""
        path, colon, rest = warning.partition(":")
        desk = self.host.desk
        item = desk.boat.inputs.get(path) if desk and colon else None
        return f"{input_name(item)}:{rest}" if item else warning

    def _show_unreadable(self, why: str) -> None:
        self.query_one("#summary", Static).update(line(("This boat file cannot be read", "bold $act")))
        notes = self.query_one("#notes", Static)
        notes.display = True
        notes.update(
            lines_of([
                line(sentence(why)),
                line(""),
                line("Nothing in the file was changed. Put it right in an editor, then:"),
                line("  ", ("r", "bold $key"), "  reads it again"),
                line("  ", ("d", "bold $key"), "  opens the demo boat meanwhile"),
            ])
        )  # fmt: skip

    # --- moving -----------------------------------------------------------------------------

    def _cards(self) -> list[CardView]:
        return [child for child in self.query_one("#cards").children if isinstance(child, CardView)]

    def action_step(self, across: int, down: int) -> None:
        """Move the focus to the card in that direction."""
        cards = self._cards()
        if not cards:
            return
        at = cards.index(self.focused) if self.focused in cards else 0
        columns = 2 if self.size.width >= WIDE else 1
        if across and columns == 1:
            return
        target = at + across + down * columns
        if 0 <= target < len(cards):
            self.set_focus(cards[target])
        elif down:
            self.query_one("#home-scroll", Pane).scroll_relative(y=3 * down)

    def action_edge(self, which: int) -> None:
        """Move the focus to the first or the last card."""
        cards = self._cards()
        if cards:
            self.set_focus(cards[which])

    def action_why(self) -> None:
        """The guided check, with the complaint of the marked card first."""
        marked = self.focused
        self.host.show_why(marked.question.key if isinstance(marked, CardView) else "")

    def action_read_again(self) -> None:
        """Read the boat file again, after it could not be read."""
        if self.host.unreadable:
            self.host.open_boat(self.host.path)

    def action_demo(self) -> None:
        """Open the demo boat instead of a file that cannot be read."""
        if self.host.unreadable:
            self.host.open_boat(None)

    def on_card_view_open(self, message: CardView.Open) -> None:
        self.host.show_card(message.key)
