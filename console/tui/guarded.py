"""An error in a handler shows one sentence; it does not end the program.

Textual ends the app, or at least the widget's message loop, on the first error that leaves a
handler. The app, the screens and our own widgets therefore catch their own.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message
from textual.message_pump import MessagePump

from console.guard import strict

if TYPE_CHECKING:
    from console.tui.app import ConsoleApp


class Guarded(MessagePump):
    """Put first among the bases of an app, a screen or a widget."""

    async def _dispatch_message(self, message: Message) -> None:
        try:
            await super()._dispatch_message(message)
        except Exception as error:
            if strict():
                raise
            app: ConsoleApp = self.app  # type: ignore[assignment]
            app.trouble(error)
