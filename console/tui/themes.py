"""Three themes: dark, light, and red for night vision at sea.

``act``, ``watch``, ``unknown``, ``fine`` colour verdicts and figures (contrast 4.5:1 and more);
``quiet`` and ``rule`` the rest (3:1 and more). State is told by words and shapes besides.
"""

from __future__ import annotations

from textual.theme import Theme


def _theme(
    name: str, dark: bool, background: str, surface: str, raised: str, text: str, quiet: str, rule: str,
    key: str, cursor: str, act: str, watch: str, unknown: str, fine: str,
) -> Theme:  # fmt: skip
    return Theme(
        name=name, dark=dark, primary=key, secondary=key, accent=key, warning=watch, error=act,
        success=fine, foreground=text, background=background, surface=surface, panel=raised,
        text_alpha=1.0,
        variables={
            "act": act, "watch": watch, "unknown": unknown, "fine": fine, "quiet": quiet,
            "rule": rule, "raised": raised, "key": key,
            "text": text, "text-muted": quiet, "text-disabled": quiet,
            "footer-background": raised, "footer-foreground": text,
            "footer-key-foreground": key, "footer-description-foreground": text,
            "block-cursor-foreground": text, "block-cursor-background": cursor,
            "block-cursor-blurred-foreground": text, "block-cursor-blurred-background": raised,
            "block-hover-background": raised,
            "input-cursor-foreground": background, "input-cursor-background": key,
            "input-selection-background": cursor, "border": key, "border-blurred": rule,
            "scrollbar": rule, "scrollbar-hover": quiet, "scrollbar-active": key,
            "scrollbar-background": background, "scrollbar-background-hover": background,
            "scrollbar-background-active": background, "scrollbar-corner-color": background,
            "screen-selection-background": cursor, "screen-selection-foreground": text,
        },
    )  # fmt: skip


DARK = _theme(
    "dark", True, "#10161c", "#151d25", "#1f2a34", "#e6edf2", "#93a4b1", "#627483",
    key="#7cc7d9", cursor="#234653", act="#ff8a73", watch="#f2c14e", unknown="#b9a7f0", fine="#7fd1a0",
)  # fmt: skip
LIGHT = _theme(
    "light", False, "#fbfaf6", "#f3f1ea", "#e6e3d8", "#1b2329", "#56636d", "#7d8892",
    key="#0b6072", cursor="#c5dfe5", act="#a5260f", watch="#7a5200", unknown="#5740a8", fine="#17663a",
)  # fmt: skip
NIGHT = _theme(
    "night", True, "#0a0000", "#120101", "#210404", "#ff5a4a", "#c93a2c", "#ac3020",
    key="#ff6f5f", cursor="#4a0d08", act="#ff8072", watch="#ff6a5a", unknown="#f04c3c", fine="#e04434",
)  # fmt: skip

THEMES = (DARK, LIGHT, NIGHT)


def next_theme(name: str) -> str:
    """The theme that follows ``name`` on the theme key."""
    names = [theme.name for theme in THEMES]
    return names[(names.index(name) + 1) % len(names)] if name in names else names[0]
