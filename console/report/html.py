"""Putting text into a page: everything from a file or a plugin is text, never markup."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from console.wording import safe


def text(given: object) -> str:
    """Any text, made printable and escaped."""
    return escape(" ".join(safe(given).split()))


def tag(name: str, *inside: str, cls: str = "", **attributes: str) -> str:
    """An element around ready-made HTML; attributes are escaped here."""
    found = {"class": cls, **attributes} if cls else attributes
    given = "".join(f' {key.rstrip("_")}="{escape(value)}"' for key, value in found.items())
    return f"<{name}{given}>{''.join(inside)}</{name}>"


def rows(cells: Iterable[Iterable[str]], heads: Iterable[str]) -> str:
    """A table of ready-made cells; the first cell of a row names it."""
    named = "".join(f'<th scope="col">{text(each)}</th>' for each in heads)
    head = f"<thead><tr>{named}</tr></thead>" if named else ""
    body = []
    for row in cells:
        first, *rest = row
        body.append(f'<tr><th scope="row">{first}</th>{"".join(f"<td>{cell}</td>" for cell in rest)}</tr>')
    return f"<table>{head}<tbody>{''.join(body)}</tbody></table>"
