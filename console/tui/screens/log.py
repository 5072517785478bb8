"""The log: write readings and events down, late and in any order, and see them over their days."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input as TextInput
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from console.logbook import Entry, LogError
from console.logbook.catalogue import Word
from console.logbook.desk import Group, LogDesk
from console.logbook.telling import title_of, value_text, when_text
from console.tui.screens.base import WIDE, DeskScreen
from console.tui.screens.log_entry import EntryScreen, Written
from console.tui.screens.log_files import ExportScreen, ImportScreen, SheetScreen
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.picture import PictureView
from console.tui.widgets.title import Heading, TitleBar
from console.tui.widgets.word_list import WordList
from console.tui.words import line, lines_of, sentence, short

if TYPE_CHECKING:
    from textual.content import Content

WATCH_SECONDS = 2.0
MOST_ROWS = 500
NOTHING = "nothing written yet"
NO_HOME = (
    "This boat has no file yet, so it has no log. Save it first (Ctrl+S): the log then lies beside it, "
    "as NAME.log.sqlite."
)


class EntryList(OptionList):
    """What was written, the newest first. Enter corrects, Del makes void and back."""

    BINDINGS = [  # noqa: RUF012
        Binding("enter", "select", "Correct"),
        Binding("delete,backspace", "void", "Void", key_display="Del"),
    ]

    def action_void(self) -> None:
        screen = self.screen
        if isinstance(screen, LogScreen):
            screen.void_marked()


class LogScreen(DeskScreen):
    """Readings to write down on one side; what was written, and its picture, on the other."""

    CSS_PATH = "../log.tcss"
    BINDINGS = [  # noqa: RUF012
        Binding("escape", "back", "Back"),
        Binding("slash", "find", "Find", key_display="/"),
        Binding("g", "picture", "Graph"),
        Binding("v", "app.verdict", "Did it help?", show=False),
        Binding("i", "import", "Import"),
        Binding("x", "export", "Export"),
        Binding("p", "sheet", "Paper"),
        Binding("u", "app.units", "Units", show=False),
        Binding("t", "app.next_theme", "Theme", show=False),
    ]

    def __init__(self, name: str = "") -> None:
        super().__init__()
        self._wanted_name = name
        self._log: LogDesk | None = None
        self._entries: tuple[Entry, ...] = ()
        self._seen: tuple[object, ...] = ()
        self._groups: list[Group] = []
        self._last: dict[str, Entry] = {}
        self._length = NOTHING
        self._why_not = ""
        self._reading = False
        self._listed: object = None
        self._drawn: object = None
        self.when = "now"

    def compose(self) -> ComposeResult:
        yield TitleBar()
        yield Static("", markup=False, id="log-head")
        yield TextInput(placeholder="a part of a name; Enter goes to it, Esc shows all", id="log-find",
                        compact=True)  # fmt: skip
        with Horizontal(id="log-columns"):
            yield WordList(id="log-words")
            with Vertical(id="log-beside"):
                with VerticalScroll(id="log-about-scroll"):
                    yield Static("", markup=False, id="log-about")
                yield Vertical(id="log-picture")
                yield Heading("Written down", id="log-written")
                yield EntryList(id="log-entries", markup=False, compact=True)
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one("#log-find").display = False
        self.set_focus(self.words)
        self.set_interval(WATCH_SECONDS, self._watch)

    @property
    def words(self) -> WordList:
        """The readings that can be written down."""
        return self.query_one("#log-words", WordList)

    @property
    def marked(self) -> Word | None:
        """The reading under the mark; None on the whole log."""
        log = self._log
        return log.catalogue.words.get(self.words.marked) if log else None

    # --- reading ----------------------------------------------------------------------------

    def show(self) -> None:
        super().show()
        desk = self.host.desk
        boat = desk.boat if desk else None
        if boat is None or desk is None or desk.home is None:
            self._log, self._entries, self._why_not = None, (), NO_HOME if boat else ""
        elif self._log is None or self._log.boat is not boat:
            self._log, self._why_not, self._seen, self._groups = LogDesk(boat, desk.home), "", (), []
        self._repaint()
        if self._log is not None and not self._reading and self._log.signature() != self._seen:
            self.call_after_refresh(self._read)

    async def _read(self) -> None:
        """Read the log anew, away from the screen."""
        log = self._log
        if log is None:
            return
        self._reading = True
        try:
            seen = log.signature()
            await asyncio.to_thread(self._take_in, log)
            self._seen, self._why_not = seen, ""
        except LogError as error:
            self._entries, self._why_not, self._seen = (), str(error), log.signature()
            self._groups, self._last, self._length = [], {}, NOTHING
        finally:
            self._reading = False
        self._repaint()
        if self._wanted_name:
            self.words.mark(self._wanted_name)
            self._wanted_name = ""

    def _take_in(self, log: LogDesk) -> None:
        """Read the log, and look through all of it once: a logger's year is long."""
        entries = log.read()
        counting = [entry for entry in entries if not entry.void]
        self._groups = log.groups(entries)
        self._last = {entry.reading: entry for entry in counting}
        self._length = NOTHING
        if counting:
            first, last = counting[0].at.date(), counting[-1].at.date()
            many = f"{len(counting):,} {'entry' if len(counting) == 1 else 'entries'}"
            self._length = f"{many}, {first}" + (f" to {last}" if last != first else "")
        self._entries = entries

    async def _watch(self) -> None:
        """Another console, or a command, may have written meanwhile."""
        log = self._log
        if log is None or self._reading or self.app.screen is not self:
            return
        if log.signature() != self._seen:
            await self._read()

    # --- what is shown ----------------------------------------------------------------------

    def _repaint(self) -> None:
        log = self._log
        self.query_one("#log-head", Static).update(self._head())
        self.query_one("#log-columns").display = log is not None
        if log is None:
            return
        system = self.host.system
        units = {name: log.unit(word, system) for name, word in log.catalogue.words.items()}
        find = self.query_one("#log-find", TextInput)
        wanted = find.value if find.display else ""
        self.words.show(self._groups or log.groups(()), self._last, self._length, units, wanted)
        self._show_about()
        self._show_entries()

    def _head(self) -> Content:
        if self._log is None:
            return line((self._why_not, "bold $watch"))
        if self._why_not:
            return line(("✕ ", "bold $act"), sentence(self._why_not))
        return line(
            ("The log  ", "bold"), (f"{self._log.path.name}; each entry is saved at once", "$quiet")
        )

    def _show_about(self) -> None:
        word = self.marked
        about = self.query_one("#log-about", Static)
        if word is None:
            rows = [
                line("Mark what you read and press Enter; a week late is not too late, and gaps are fine.")
            ]
        else:
            cautions = [self.host.registry.cautions.get(key) for key in word.hazards]
            rows = [
                line(("! ", "bold $watch"), caution.text)
                for caution in sorted((c for c in cautions if c), key=lambda c: c.rank)
            ]
            rows.append(line(sentence(word.how)))
        about.update(lines_of(rows))

    def _rows(self) -> list[Entry]:
        word = self.marked
        newest = [e for e in self._entries if word is None or e.reading == word.name][::-1]
        return newest[:MOST_ROWS]

    def _show_entries(self) -> None:
        log, rows, word = self._log, self._rows(), self.marked
        if log is None:
            return
        listing = self.query_one("#log-entries", EntryList)
        width = max(listing.size.width - 3, 20)
        now = (tuple(rows), word, width)
        if now != self._listed:
            self._listed = now
            at = listing.highlighted
            listing.clear_options()
            listing.add_options([Option(self._row(entry, word, width), id=str(entry.id)) for entry in rows])
            if not rows:
                listing.add_option(Option(line(("Nothing yet", "$quiet")), disabled=True))
            else:
                listing.highlighted = min(at or 0, len(rows) - 1)
        all_of_it = sum(1 for e in self._entries if word is None or e.reading == word.name)
        older = all_of_it - len(rows)
        title = f"Written down, and {older:,} older (log list shows them)" if older > 0 else "Written down"
        self.query_one("#log-written", Heading).update(line(title))
        if self.size.width >= WIDE:
            self._show_picture()

    def _row(self, entry: Entry, word: Word | None, width: int) -> Content:
        assert self._log is not None
        title = "" if word is not None else f"{title_of(entry, self._log.catalogue)}  "
        value = value_text(entry) or ("" if title else "happened")
        text = f"{title}{value}"
        parts = [(f"{when_text(entry):<16}  ", "$quiet"), (text, "strike $quiet" if entry.void else "bold")]
        if entry.void:
            parts.append(("  void", "$watch"))
        elif entry.revision > 1:
            parts.append(("  corrected", "$quiet"))
        room = width - sum(len(part) for part, _ in parts) - 2
        if entry.note and room > 4:
            parts.append((f"  {short(entry.note, room)}", "$quiet"))
        return line(*parts)

    def _show_picture(self) -> None:
        log, word = self._log, self.marked
        now = (self._entries, word)
        if log is None or now == self._drawn:
            return
        self._drawn = now
        place = self.query_one("#log-picture", Vertical)
        picture = log.timeline(word, self._entries)
        views = list(place.query(PictureView))
        place.display = picture is not None
        if picture is None:
            return
        if views:
            views[0].show(picture)
        else:
            place.mount(PictureView(picture))

    def on_resize(self) -> None:
        self._listed = None
        self.call_after_refresh(self._repaint)

    @on(WordList.Marked)
    def _marked(self) -> None:
        self._show_about()
        self._show_entries()

    # --- moving and finding -----------------------------------------------------------------

    def action_back(self) -> None:
        """Close the search, then the screen."""
        find = self.query_one("#log-find", TextInput)
        if find.display:
            find.value, find.display = "", False
            self._repaint()
            self.set_focus(self.words)
        else:
            self.app.pop_screen()

    def action_find(self) -> None:
        """Open the search line."""
        if self._log is not None:
            find = self.query_one("#log-find", TextInput)
            find.display = True
            self.set_focus(find)

    @on(TextInput.Changed, "#log-find")
    def _narrow(self) -> None:
        self._repaint()

    @on(TextInput.Submitted, "#log-find")
    def _found(self) -> None:
        self.set_focus(self.words)

    def action_picture(self) -> None:
        """The marked reading over its days, on the whole screen."""
        picture = self._log.timeline(self.marked, self._entries) if self._log else None
        if picture is None:
            self.host.say("There is nothing to draw yet")
            return
        from console.tui.screens.log_picture import LogPictureScreen

        self.app.push_screen(LogPictureScreen(picture))

    # --- writing ----------------------------------------------------------------------------

    @on(WordList.Chosen)
    def _chosen(self, message: WordList.Chosen) -> None:
        log = self._log
        if log is not None:
            self._open(EntryScreen(log, log.catalogue.words[message.name], self.host.system, self.when))

    @on(OptionList.OptionSelected, "#log-entries")
    def _correct(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        log, entry = self._log, self._entry(event.option_id)
        if log is None or entry is None:
            return
        word = log.catalogue.words.get(entry.reading)
        if word is None:
            self.host.say("What this entry is of is not loaded now; it is kept as it is", "warning")
        elif entry.void:
            self.host.say("This entry is void; Del lets it count again", "warning")
        else:
            self._open(EntryScreen(log, word, self.host.system, self.when, entry))

    def _open(self, screen: EntryScreen) -> None:
        self.app.push_screen(screen, self._written)

    async def _written(self, written: Written | None) -> None:
        if written is None:
            return
        self.when = written.when
        self.host.say(written.said)
        await self._read()
        if not written.corrected:
            self.words.go_on()

    def _entry(self, number: str | None) -> Entry | None:
        return next((entry for entry in self._entries if str(entry.id) == number), None)

    def void_marked(self) -> None:
        """Make the marked entry void, or let it count again."""
        listing = self.query_one("#log-entries", EntryList)
        at = listing.highlighted
        entry = self._entry(listing.get_option_at_index(at).id) if at is not None else None
        if entry is not None:
            self.run_worker(self._void(entry), exclusive=False, exit_on_error=False)

    async def _void(self, entry: Entry) -> None:
        log = self._log
        if log is None:
            return
        try:
            await asyncio.to_thread(log.void, entry.id, entry.void)
        except LogError as error:
            self.host.say(str(error), "error")
            return
        self.host.say("It counts again" if entry.void else "It is void, and kept; Del lets it count again")
        await self._read()

    # --- files ------------------------------------------------------------------------------

    def action_import(self) -> None:
        """Read a CSV file in."""
        if self._log is not None:
            self.app.push_screen(ImportScreen(self._log), self._filed)

    def action_export(self) -> None:
        """Write the log as CSV."""
        if self._log is not None:
            self.app.push_screen(ExportScreen(self._log), self._filed)

    def action_sheet(self) -> None:
        """Write the paper sheets."""
        if self._log is not None:
            self.app.push_screen(SheetScreen(self._log, self.host.system), self._filed)

    async def _filed(self, said: str | None) -> None:
        if said:
            self.host.say(said)
            await self._read()
