"""A part of the screen that scrolls, but leaves the arrow keys to the screen."""

from __future__ import annotations

from textual.containers import VerticalScroll


class Pane(VerticalScroll, can_focus=False, inherit_bindings=False):
    """Scrolls with the wheel, the bar, and whenever the focus moves out of sight.

    A scroll container in the focus chain takes the arrow keys for itself, even when it cannot
    be focused; here they belong to the cards and rows within.
    """
