"""One question of the guided check: cautions first, then how to look, then what can be answered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.events import Key
from textual.geometry import Region
from textual.message import Message
from textual.widgets import Input as TextInput
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from console.checking import Beside, Check, Said, beside_of, said, unit_of
from console.tui.guarded import Guarded
from console.tui.widgets.pane import Pane
from console.tui.words import first_sentence, line, lines_of, safe, sentence

if TYPE_CHECKING:
    from console.contract import Caution, Reading
    from console.quantities import System

IN_FULL = 2
"""Of more cautions than this only the worst is said in full at once: a wall of them is not read."""
ASIDE = (
    ("unknown", "d", "I looked, and cannot tell"),
    ("unreachable", "n", "I cannot reach it, or will not"),
    ("later", "s", "Ask me something else first"),
)


def caution_lines(cautions: Sequence[Caution], in_full: bool) -> list[Content]:
    """Cautions, the worst in full; the others, too, when there are few or it is asked for."""
    if not cautions:
        return []
    rows = [line(("⚠ Mind this first", "bold $watch"))]
    for place, caution in enumerate(cautions):
        if place and len(cautions) > IN_FULL and not in_full:
            rows.append(line(("• ", "bold $watch"), sentence(first_sentence(caution.text))))
            continue
        defer = f"  ({caution.defer_to})" if caution.defer_to else ""
        rows.append(line(("• ", "bold $watch"), sentence(caution.text), (defer, "$quiet")))
    if len(cautions) > IN_FULL and not in_full:
        rows.append(line(("c", "bold $key"), (" says each in full.", "$quiet")))
    return rows


class AnswerList(Guarded, OptionList):
    """Answers as big targets: arrows and Enter, the number before one, or a click.

    Nothing is marked at first, so that an Enter too many answers nothing.
    """

    BINDINGS = [  # noqa: RUF012
        Binding("enter", "select", "Answer"),
        Binding("pageup", "page(-1)", "Up", show=False),
        Binding("pagedown,space", "page(1)", "Down", show=False),
    ]

    def __init__(self, rows: Sequence[tuple[str, Content]], id: str | None = None) -> None:
        super().__init__(*(Option(row, id=key) for key, row in rows), id=id, markup=False, compact=True)

    def on_mount(self) -> None:
        self.highlighted = None

    def action_page(self, way: int) -> None:
        """Scroll what stands around the answers."""
        for pane in self.ancestors_with_self:
            if isinstance(pane, Pane):
                pane.scroll_relative(y=way * max(pane.size.height - 2, 1), animate=False)

    @on(OptionList.OptionHighlighted)
    def _in_sight(self, event: OptionList.OptionHighlighted) -> None:
        for pane in self.ancestors:
            if isinstance(pane, Pane) and self.has_focus:
                row = Region(0, self.virtual_region.y + event.option_index, 1, 1)
                top = self.parent
                while top is not None and top is not pane and hasattr(top, "virtual_region"):
                    row = row.translate((0, top.virtual_region.y))
                    top = top.parent
                pane.scroll_to_region(row, animate=False)

    def on_key(self, event: Key) -> None:
        if event.key.isdigit() and 0 < int(event.key) <= self.option_count:
            event.stop()
            self.highlighted = int(event.key) - 1
            self.action_select()


class ValueField(TextInput):
    """A field one leaves downward for the answers below it.

    A value begins with no letter: in an empty field a letter is the key it is elsewhere.
    """

    def check_consume_key(self, key: str, character: str | None) -> bool:
        return not self._leaves(key, character) and super().check_consume_key(key, character)

    def _leaves(self, key: str, character: str | None) -> bool:
        letter = character is not None and (character.isalpha() or character == "?")
        return key in ("down", "up") or (letter and not self.value)

    async def _on_key(self, event: Key) -> None:
        if not self._leaves(event.key, event.character):
            await super()._on_key(event)
            return
        event.prevent_default()
        if event.key == "down":
            event.stop()
            self.screen.focus_next()
        elif event.key == "up":
            event.stop()
            self.screen.focus_previous()


class Asking(Guarded, Vertical):
    """A reading, being asked for."""

    class Told(Message):
        """The owner answered."""

        def __init__(self, answers: tuple[Said, ...]) -> None:
            super().__init__()
            self.answers = answers

    class Aside(Message):
        """The owner does not answer: ``why`` is ``unknown``, ``unreachable``, ``later`` or ``back``."""

        def __init__(self, name: str, why: str) -> None:
            super().__init__()
            self.name, self.why = name, why

    class Remedy(Message):
        """The owner would rather put it right and see."""

        def __init__(self, cause: str) -> None:
            super().__init__()
            self.cause = cause

    def __init__(
        self, check: Check, reading: Reading, system: System, cautions: Sequence[Caution], meta: str,
        again: bool, picked: bool, mend: tuple[str, str] | None, in_full: bool,
    ) -> None:  # fmt: skip
        super().__init__(classes="asking")
        self.check, self.reading, self.system = check, reading, system
        self._cautions, self._meta, self.again, self._picked, self._mend = (
            cautions,
            meta,
            again,
            picked,
            mend,
        )
        self._in_full = in_full
        self._old = check.said_of(reading.name)
        self._chosen = [each.value for each in self._old] if self.several else []
        self._beside: Beside | None = beside_of(check.boat, reading, system) if reading.unit else None

    @property
    def several(self) -> bool:
        """Whether more than one answer may be true."""
        return self.reading.role == "event" and bool(self.reading.choices)

    def compose(self) -> ComposeResult:
        reading = self.reading
        first = (
            "Once more, with care: " if self.again else "You chose: " if self._picked else "Look at next: "
        )
        yield Static(
            line((first, "bold $key"), (reading.title, "bold"), (f"  {self._meta}", "$quiet")), markup=False
        )
        if self._cautions:
            yield Static(lines_of(caution_lines(self._cautions, self._in_full)), markup=False,
                         id="asking-cautions")  # fmt: skip
        yield Static(line(sentence(reading.how)), markup=False, classes="asking-how")
        if reading.unit:
            old = self._old[0] if self._old else None
            from console.quantities import style_of

            unit = unit_of(style_of(reading.unit, reading.style), self.system)
            with Horizontal(classes="asking-row"):
                yield ValueField(safe(old.value) if old else "", id="asking-value", compact=True,
                                 placeholder="what it reads")  # fmt: skip
                yield Static(line((unit, "bold $key")), markup=False, classes="asking-unit")
            if self._beside is not None:
                with Horizontal(classes="asking-row"):
                    yield Static(line((self._beside.label, "$quiet")), markup=False, classes="asking-label")
                    text = old.beside if old and old.beside else self._beside.text
                    yield ValueField(safe(text), id="asking-beside", compact=True)
                    yield Static(
                        line((self._beside.unit, "bold $key")), markup=False, classes="asking-unit"
                    )
            yield Static("", markup=False, id="asking-said")
        yield AnswerList(self._rows(), id="asking-answers")

    def _rows(self) -> list[tuple[str, Content]]:
        rows: list[tuple[str, Content]] = []
        for number, choice in enumerate(self.reading.choices, 1):
            mark = ("[x] " if choice in self._chosen else "[ ] ") if self.several else ""
            was = (
                "  as you said before"
                if not self.several and self._old and self._old[0].value == choice
                else ""
            )
            key = (f"{number} " if number < 10 else "  ", "bold $key")
            rows.append(
                (f"choice:{choice}", line(key, mark, (choice.replace("_", " "), "bold"), (was, "$quiet")))
            )
        if self.several:
            rows.append(("done", line(("  That is all of it", "bold $key"))))
        for why, letter, text in ASIDE:
            rows.append((why, line((f"{letter} ", "bold $key"), text)))
        if self._picked:
            rows.append(("back", line("  Back to what the check would ask")))
        if self._mend is not None:
            rows.append(("mend", line(("  Or put it right and see: ", "bold $key"), self._mend[1])))
        return rows

    def focus_first(self) -> None:
        """Go to the field, or to the answers."""
        fields = self.query(ValueField)
        self.screen.set_focus(
            fields.first() if fields else self.query_one(AnswerList), scroll_visible=False
        )
        if fields and self._old:
            fields.first().select_all()
        self._understood()

    # --- answering ----------------------------------------------------------------------------

    def _typed(self) -> tuple[str, str]:
        beside = self.query("#asking-beside")
        value = self.query_one("#asking-value", TextInput).value
        return value, beside.first(TextInput).value if beside else ""

    def _understood(self) -> Said | None:
        """What is typed, said back as it is understood; None when it cannot be taken."""
        if not self.reading.unit:
            return None
        from console.inference.aftermath import shown_value
        from console.inference.readings import ReadingError

        value, beside = self._typed()
        note = self.query_one("#asking-said", Static)
        if not value.strip():
            note.update(line(("Type the number, in any unit. ↓ for the other answers.", "$quiet")))
            return None
        try:
            made, taken = said(
                self.check.boat, self.check.complaint, self.reading, value, beside, self.system
            )
        except ReadingError as error:
            note.update(line(("✕ ", "bold $act"), sentence(error)))
            return None
        more = f" {made.joint} {made.beside}" if made.beside and made.joint == "for" else ""
        note.update(
            line(
                ("✓ ", "bold $fine"),
                (shown_value(taken, self.system), "bold"),
                more,
                ("  Enter takes it", "$quiet"),
            )
        )
        return made

    @on(TextInput.Changed)
    def _changed(self, event: TextInput.Changed) -> None:
        event.stop()
        self._understood()
        if len(event.value) < 2:
            self.screen.refresh_bindings()  # with something typed, letters are letters

    @on(TextInput.Submitted)
    def _entered(self, event: TextInput.Submitted) -> None:
        event.stop()
        made = self._understood()
        if made is not None:
            self.post_message(self.Told((made,)))

    @on(OptionList.OptionSelected)
    def _picked_answer(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        key, name = event.option_id or "", self.reading.name
        if key == "done":
            chosen = self._chosen or ["none"] * ("none" in self.reading.choices)
            if chosen:
                self.post_message(self.Told(tuple(Said(name, each) for each in chosen)))
        elif key.startswith("choice:") and self.several:
            self._tick(key.removeprefix("choice:"), event.option_index)
        elif key.startswith("choice:"):
            self.post_message(self.Told((Said(name, key.removeprefix("choice:")),)))
        elif key == "mend" and self._mend is not None:
            self.post_message(self.Remedy(self._mend[0]))
        else:
            self.post_message(self.Aside(name, key))

    def _tick(self, choice: str, at: int) -> None:
        if choice in self._chosen:
            self._chosen.remove(choice)
        else:
            self._chosen = [each for each in self._chosen if (each == "none") == (choice == "none")] + [
                choice
            ]
        listing = self.query_one(AnswerList)
        for place, (_, row) in enumerate(self._rows()):
            listing.replace_option_prompt_at_index(place, row)
        listing.highlighted = at
