"""The tables of a logbook file, and how an older file becomes a present one.

Nothing is ever changed or deleted in them: a correction is another revision of the entry, and
the database itself refuses anything else.
"""

from __future__ import annotations

APPLICATION = 0x426F6174
"""Marks a file as a boat's logbook ("Boat")."""

_KEPT = "".join(
    f"""
CREATE TRIGGER {table}_not_{word} BEFORE {verb} ON {table}
BEGIN SELECT RAISE(ABORT, 'a logbook keeps what was written'); END;
"""
    for table in ("entry", "reading", "event")
    for word, verb in (("changed", "UPDATE"), ("deleted", "DELETE"))
)


def _table(name: str) -> str:
    return f"""
CREATE TABLE {name} (
    id INTEGER NOT NULL REFERENCES entry(id),
    revision INTEGER NOT NULL CHECK (revision >= 1),
    utc INTEGER NOT NULL,        -- microseconds since 1970 began
    at TEXT NOT NULL,            -- the clock on board, with its offset; noon when only a day is known
    day INTEGER NOT NULL CHECK (day IN (0, 1)),
    name TEXT NOT NULL,
    value REAL,                  -- SI, of si_unit; NULL when it is words
    words TEXT,                  -- a choice, or what happened
    si_unit TEXT NOT NULL,
    written TEXT NOT NULL,
    unit TEXT NOT NULL,
    error REAL,                  -- half-width of the central 90 %, SI
    note TEXT NOT NULL,
    void INTEGER NOT NULL CHECK (void IN (0, 1)),
    why TEXT NOT NULL,
    entered TEXT NOT NULL,       -- UTC
    PRIMARY KEY (id, revision),
    CHECK ((value IS NULL) <> (words IS NULL))
) WITHOUT ROWID;
CREATE INDEX {name}_at ON {name} (name, utc);
"""


MIGRATIONS = (
    # 1: the entries
    f"""
CREATE TABLE entry (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    kind TEXT NOT NULL CHECK (kind IN ('reading', 'event'))
);
{_table("reading")}
{_table("event")}
{_KEPT}
""",
    # 2: which column of a spreadsheet or logger is what; the newest of a name stands
    """
CREATE TABLE mapping (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    mapping TEXT NOT NULL,       -- JSON
    entered TEXT NOT NULL
);
""",
)
"""What turns a file of version n into n + 1."""

VERSION = len(MIGRATIONS)
