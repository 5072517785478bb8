"""Files of rows and columns as spreadsheets and loggers write them: bytes to rows of text.

It knows byte-order marks, the separators in use, lines before the heading, commas for decimal
points, and the mark by which a text is kept from being taken for a formula.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from console.logbook.entry import Doubt, LogError
from console.quantities import shown

LARGEST = 64 * 1024 * 1024
SEPARATORS = (",", ";", "\t", "|")
HEADING_WITHIN = 60
"""Lines within which the heading must come: loggers write their own particulars first."""

_FORMULA = re.compile(r"'*\s*[=+\-@\t\r\uff1d\uff0b\uff0d\uff20]")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True)
class Row:
    """A row of the file below its heading, and the line it stands on."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """A file with the heading that was looked for: its columns, rows and separator."""

    heading: tuple[str, ...]
    rows: tuple[Row, ...]
    separator: str

    def column(self, name: str) -> int:
        """Which column has a name; LogError when two have it."""
        wanted = heading_key(name)
        found = [at for at, each in enumerate(self.heading) if heading_key(each) == wanted]
        if len(found) != 1:
            raise LogError(f"{len(found)} columns are called {shown(name)}; name each once")
        return found[0]


def heading_key(text: str) -> str:
    """A heading as it is compared: case and spaces do not count."""
    return " ".join(text.replace("\ufeff", "").split()).lower()


def read_text(path: Path) -> tuple[str, str]:
    """A file's text, and a warning when its letters had to be guessed. Raises `LogError`."""
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except OSError as error:
        raise LogError(
            f"{shown(path, 120)} cannot be read ({shown(error.strerror or error, 80)})"
        ) from None
    if len(data) > LARGEST:
        raise LogError(
            f"{shown(path.name, 80)} is larger than {LARGEST // 2**20} MB; split it and read the parts"
        )
    return text_of(data, path.name)


def text_of(data: bytes, name: str) -> tuple[str, str]:
    """Text of bytes: by the byte-order mark, else UTF-8, else Western European."""
    try:
        if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            return data.decode("utf-16"), ""
        return data.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        pass
    if b"\0" in data[:4096]:
        raise LogError(f"{shown(name, 80)} is no text file; save it as CSV first")
    return data.decode("cp1252", errors="replace"), (
        f"{shown(name, 80)} is not in UTF-8; it was read as Western European text"
    )


def grid_of(text: str, wanted: Iterable[str]) -> Grid | None:
    """The file by the first separator and heading that has all wanted columns; None without."""
    keys = {heading_key(each) for each in wanted}
    for separator in SEPARATORS:
        rows = _rows(text, separator, HEADING_WITHIN)
        for number, row in enumerate(rows):
            if keys <= {heading_key(cell) for cell in row.cells}:
                below = _rows(text, separator)[number + 1 :]
                heading = tuple(cell.replace("\ufeff", "").strip() for cell in row.cells)
                return Grid(heading, tuple(r for r in below if any(c.strip() for c in r.cells)), separator)
    return None


def likely_columns(text: str) -> tuple[tuple[str, str], ...]:
    """What a file's columns are called, each with its first value: the first of the fullest lines."""
    best: list[Row] = []
    full = 0
    for separator in SEPARATORS:
        rows = _rows(text, separator, HEADING_WITHIN)
        for number, row in enumerate(rows):
            filled = sum(bool(cell.strip()) for cell in row.cells)
            if filled > max(full, 1):
                best, full = rows[number:], filled
    if not best:
        return ()
    below = best[1].cells if len(best) > 1 else ()
    samples = [below[at].strip() if at < len(below) else "" for at in range(len(best[0].cells))]
    named = zip(best[0].cells, samples, strict=True)
    return tuple((cell.replace("\ufeff", "").strip(), sample) for cell, sample in named if cell.strip())


def _rows(text: str, separator: str, most: int | None = None) -> list[Row]:
    rows: list[Row] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=False)
    begins = 1
    try:
        for cells in reader:
            rows.append(Row(begins, tuple(cells)))
            begins = reader.line_num + 1
            if most is not None and len(rows) >= most:
                break
    except csv.Error as error:
        if most is None:
            raise LogError(f"line {begins} cannot be read ({shown(error, 80)})") from None
    return rows


# --- decimal commas -----------------------------------------------------------------------------

COMMA, POINT = "comma", "point"
DECIMALS = ((COMMA, "1,5 is one and a half"), (POINT, "1,500 is fifteen hundred"))
_SURE_COMMA = re.compile(
    r"[-+]?(?:\d+,\d{1,2}|\d+,\d{4,}|0,\d+|\d{4,},\d+|\d{1,3}(?:\.\d{3})+,\d+)(?![\d,.])"
)
_SURE_POINT = re.compile(
    r"[-+]?(?:\d*\.\d{1,2}|\d*\.\d{4,}|0\.\d+|\d{4,}\.\d+|\d{1,3}(?:,\d{3})+\.\d+|\d{1,3}(?:,\d{3}){2,})"
    r"(?![\d,.])"
)
_DOUBTFUL = re.compile(r"[-+]?\d{1,3},\d{3}(?![\d,.])")


def decimal_of(cells: Sequence[tuple[int, str]], separator: str, said: str = "") -> str:
    """Whether numbers have a decimal comma or point, from all of them (with their lines).

    ``said`` is what the owner stated. Raises `LogError` when they contradict each other, or when
    nothing tells whether ``1,500`` is one and a half.
    """
    if said:
        return said
    comma = next((each for each in cells if _SURE_COMMA.match(each[1])), None)
    point = next((each for each in cells if _SURE_POINT.match(each[1])), None)
    if comma and point:
        raise Doubt(
            f"some numbers have a comma and some a point ({shown(comma[1])} on line {comma[0]}, "
            f"{shown(point[1])} on line {point[0]})", "decimal", DECIMALS,
        )  # fmt: skip
    if comma:
        return COMMA
    doubtful = next((each for each in cells if _DOUBTFUL.match(each[1])), None)
    if doubtful and not point and separator != ",":
        raise Doubt(
            f"line {doubtful[0]}: {shown(doubtful[1])} may be a decimal comma or thousands",
            "decimal",
            DECIMALS,
        )
    return POINT


def with_point(cell: str, decimal: str) -> str:
    """A number with a decimal comma, written with a point."""
    if decimal == COMMA:
        return re.sub(r"[\d.,]*\d", lambda found: found[0].replace(".", "").replace(",", "."), cell, count=1) \
            if "±" not in cell else "±".join(with_point(part, decimal) for part in cell.split("±"))  # fmt: skip
    return cell


# --- writing -------------------------------------------------------------------------------------


def harmless(text: str) -> str:
    """A cell that no spreadsheet takes for a formula: an apostrophe before what could begin one."""
    return f"'{text}" if _FORMULA.match(text) and not _NUMBER.fullmatch(text) else text


def unmarked(cell: str) -> str:
    """The text of a cell that `harmless` wrote."""
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell


def write_rows(rows: Iterable[Sequence[str]]) -> str:
    """Rows as CSV (RFC 4180), each cell harmless."""
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerows([harmless(cell) for cell in row] for row in rows)
    return out.getvalue()
