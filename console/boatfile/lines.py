"""Where in the text each key of a TOML file stands; tomllib itself does not say."""

from __future__ import annotations

import re
from typing import Any

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\]#]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(
    r"""^\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*=(.*)$"""
)
_PART = re.compile(r"""[A-Za-z0-9_-]+|"[^"]*"|'[^']*'""")


class Located(dict[str, Any]):
    """A table of the file that knows the line of itself and of its keys."""

    line: int = 0
    lines: dict[str, int]

    def __init__(self, *args: Any, line: int = 0, lines: dict[str, int] | None = None) -> None:
        super().__init__(*args)
        self.line = line
        self.lines = lines or {}


def _parts(dotted: str) -> tuple[str, ...]:
    return tuple(part.strip("\"'") for part in _PART.findall(dotted))


def key_lines(text: str) -> dict[tuple[str | int, ...], int]:
    """Line number of every table header and key, by path; items of ``[[lists]]`` by index."""
    found: dict[tuple[str | int, ...], int] = {}
    counts: dict[tuple[str | int, ...], int] = {}
    prefix: tuple[str | int, ...] = ()
    closing = ""  # inside a multi-line string until this
    depth = 0  # inside a multi-line array
    for number, line in enumerate(text.splitlines(), 1):
        if closing:
            if closing in line:
                closing = ""
            continue
        if depth > 0:
            depth += _brackets(line)
            continue
        header = _HEADER.match(line)
        if header:
            path: tuple[str | int, ...] = ()
            parts = _parts(header[2])
            for index, part in enumerate(parts):
                path = (*path, part)
                last = index == len(parts) - 1
                if last and header[1] == "[[":
                    counts[path] = counts.get(path, -1) + 1
                    path = (*path, counts[path])
                elif path in counts:
                    path = (*path, counts[path])
            prefix = path
            found.setdefault(prefix, number)
            continue
        match = _KEY.match(line)
        if not match:
            continue
        found.setdefault((*prefix, *_parts(match[1])), number)
        rest = match[2]
        for quotes in ('"""', "'''"):
            if rest.count(quotes) % 2:
                closing = quotes
        if not closing:
            for inner in re.finditer(r"([A-Za-z0-9_-]+)\s*=", rest):
                found.setdefault((*prefix, *_parts(match[1]), inner[1]), number)
            depth = max(0, _brackets(rest))
    return found


def _brackets(text: str) -> int:
    bare = re.sub(r"\"(?:\\.|[^\"\\])*\"|'[^']*'|#.*", "", text)
    return bare.count("[") + bare.count("{") - bare.count("]") - bare.count("}")


def locate(data: dict[str, Any], text: str) -> Located:
    """The parsed file with the lines its tables and keys stand on."""
    lines = key_lines(text)

    def visit(value: Any, path: tuple[str | int, ...]) -> Any:
        if isinstance(value, dict):
            inside = {key: visit(item, (*path, key)) for key, item in value.items()}
            own = {key: lines.get((*path, key), 0) for key in value}
            return Located(inside, line=lines.get(path, 0), lines=own)
        if isinstance(value, list):
            return [visit(item, (*path, index)) for index, item in enumerate(value)]
        return value

    located: Located = visit(data, ())
    return located
