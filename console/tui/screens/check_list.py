"""What is complained of, and the readings of a check: what was said, set aside, and can be taken yet."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from console.checking import Check, complaint_on, complaints
from console.tui.checks import checks_of
from console.tui.guarded import Guarded
from console.tui.screens.base import DeskScreen
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.title import Heading, TitleBar
from console.tui.words import line, lines_of, safe, short

NONE = "Nothing that is loaded knows a cause of anything aboard this boat."
WHAT = "One question at a time, the easiest and most telling first. Nothing is saved; leave and come back."
ASIDE_WORDS = {"unknown": "could not tell", "unreachable": "cannot reach", "later": "put off"}


class WhyScreen(DeskScreen):
    """Picks a complaint, in plain words."""

    CSS_PATH = "../check.tcss"
    BINDINGS = [Binding("escape", "app.pop_screen", "Back")]  # noqa: RUF012

    def __init__(self, question: str = "") -> None:
        super().__init__()
        self._question = question
        self._shown: object = None

    def compose(self) -> ComposeResult:
        yield TitleBar()
        with Vertical(id="why-pane"):
            yield Heading("What is wrong?")
            yield Static("", markup=False, id="why-what")
            yield OptionList(id="complaints", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one("#complaints").focus()

    def show(self) -> None:
        super().show()
        desk = self.host.desk
        if desk is None:
            return
        known, begun = complaints(desk.boat), checks_of(desk)
        options = []
        for number, (key, title) in enumerate(known.items(), 1):
            check = begun.get(key)
            many = len(check.wish.given) if check else 0
            went = f"  {many} reading{'s' if many != 1 else ''} so far" if many else ""
            options.append((key, title, f"{number}  ", went))
        if tuple(options) == self._shown:
            return
        self._shown = tuple(options)
        self.query_one("#why-what", Static).update(line((WHAT if known else NONE, "$quiet")))
        listing = self.query_one("#complaints", OptionList)
        listing.clear_options()
        listing.add_options([
            Option(lines_of([line((mark, "bold $key"), (title, "bold"), (went, "$quiet")), line("")]), id=key)
            for key, title, mark, went in options
        ])  # fmt: skip
        wanted = complaint_on(desk.boat.registry, self._question)
        if options:
            listing.highlighted = next((n for n, each in enumerate(options) if each[0] == wanted), 0)

    def on_key(self, event: object) -> None:
        key = getattr(event, "key", "")
        listing = self.query_one("#complaints", OptionList)
        if key.isdigit() and 0 < int(key) <= listing.option_count:
            listing.highlighted = int(key) - 1
            listing.action_select()

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.host.show_check(event.option_id or "")


def said_rows(check: Check, width: int) -> list[tuple[str, Content]]:
    """What was said and what was set aside, each with the name of its reading."""
    rows: list[tuple[str, Content]] = []
    for name in dict.fromkeys(each.name for each in check.wish.given):
        words = ", ".join(each.text.replace("_", " ") for each in check.said_of(name))
        title = short(title_of(check, name), max(width - len(words) - 3, 12))
        rows.append((name, line(("• ", "$key"), title, "  ", (short(words, width // 2), "bold"))))
    aside = [name for name in (*check.wish.cannot, *check.wish.later) if not check.said_of(name)]
    for name in aside:
        why = "later" if name in check.wish.later else check.reasons.get(name, "unreachable")
        title = short(title_of(check, name), max(width - 20, 12))
        rows.append((name, line(("○ ", "$quiet"), (title, "$quiet"), (f"  {ASIDE_WORDS[why]}", "$watch"))))
    return rows


def title_of(check: Check, name: str) -> str:
    """A reading's title."""
    reading = check.reading(name)
    return safe(reading.title if reading else name.replace("_", " "))


class ReadingsScreen(Guarded, ModalScreen[str]):
    """The readings of a check. Gives the name of the one to ask now; Del takes one back."""

    CSS_PATH = "../check.tcss"
    BINDINGS = [  # noqa: RUF012
        Binding("escape,r", "dismiss", "Back"),
        Binding("delete,backspace", "take_back", "Take back", key_display="Del"),
    ]

    def __init__(self, check: Check) -> None:
        super().__init__()
        self.check = check

    def compose(self) -> ComposeResult:
        with Vertical(classes="readings"):
            yield OptionList(id="readings", markup=False, compact=True)
            yield Static(line(("Enter asks it now, or puts it right. Del takes back what was said. Esc goes back.",
                               "$quiet")), markup=False)  # fmt: skip

    def on_mount(self) -> None:
        self._fill()
        self.query_one("#readings").focus()

    def _fill(self) -> None:
        from console.inference.look import telling_words

        check, listing = self.check, self.query_one("#readings", OptionList)
        at = listing.highlighted
        width = max(min(self.app.size.width * 9 // 10, 96) - 8, 30)
        listing.clear_options()
        said = said_rows(check, width)
        if said:
            listing.add_option(Option(line(("What you said", "bold $key")), disabled=True))
        listing.add_options([Option(row, id=name) for name, row in said])
        known, look = {name for name, _ in said}, check.look
        free = [each for each in look.ranked if each.reading.name not in known] if look else []
        if free:
            listing.add_option(
                Option(
                    line(("What you can still take, the most telling first", "bold $key")), disabled=True
                )
            )
        for each in free:
            more = f"  about {each.minutes:.0f} min, {telling_words(each)}"
            title = short(each.reading.title, width - len(more) - 2)
            listing.add_option(Option(line("  ", title, (more, "$quiet")), id=each.reading.name))
        barred = [each for each in look.barred if each.name not in known] if look else []
        if barred:
            listing.add_option(
                Option(line(("Not now: what you found makes these unsafe", "bold $watch")), disabled=True)
            )
        for reading in barred:
            listing.add_option(
                Option(line(("  ", ""), (short(reading.title, width), "$quiet")), disabled=True)
            )
        if not listing.option_count:
            listing.add_option(
                Option(line(("Nothing yet: the first look is being worked out.", "$quiet")), disabled=True)
            )
        listing.styles.height = min(listing.option_count, max(self.app.size.height - 11, 5))
        if listing.option_count > 1:
            listing.highlighted = min(at or 1, listing.option_count - 1)

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.dismiss(event.option_id or "")

    def action_take_back(self) -> None:
        """Forget what was said of the marked reading."""
        listing = self.query_one("#readings", OptionList)
        if listing.highlighted is None:
            return
        name = listing.get_option_at_index(listing.highlighted).id or ""
        if any(name == row for row, _ in said_rows(self.check, 40)):
            self.check.take_back(name)
            self._fill()
