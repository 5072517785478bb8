"""CSV in, long and wide, and out again: the same, harmless, and questions in place of guesses."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.boatfile import Boat
from console.logbook import Entry, Logbook, LogError, log_of, read_csv
from console.logbook.catalogue import Catalogue, clean
from console.logbook.importing import Found, import_file, read_file, to_csv
from console.logbook.mapping import HowToRead, Mapping, mapping_of
from console.logbook.times import Moment

NEW_YORK = ZoneInfo("America/New_York")
LONG = "at,reading,value,unit,note\n"


def read(
    text: str, words: Catalogue, *mappings: Mapping, how: HowToRead | None = None, wanted: str = ""
) -> Found:
    return read_file(text, words, NEW_YORK, mappings, how, wanted)


def only(found: Found) -> list[Entry]:
    return [entry for _, entry in found.entries]


def why(text: str, words: Catalogue, *mappings: Mapping, **more: object) -> str:
    with pytest.raises(LogError) as error:
        read(text, words, *mappings, **more)  # type: ignore[arg-type]
    assert "\n" not in str(error.value)
    return str(error.value)


# --- the long form -------------------------------------------------------------------------------


def test_the_long_form_holds_numbers_choices_and_events_in_any_order(words: Catalogue) -> None:
    found = read(LONG + "2026-07-22,amp_hours_per_day,36,A*h/day,\n2026-07-20 08:00,defrosted,,,all bare\n"
                 "2026-07-20,drain,plugged,,\n2026-07-21,set_point,39,F,\n2026-07-21,repair,seal,,\n", words)  # fmt: skip
    amps, defrosted, drain, set_point, repair = only(found)
    assert amps.value == pytest.approx(1.5)  # 36 Ah a day is 1.5 A, by the definition of the hour
    assert amps.day
    assert (defrosted.event, defrosted.value, defrosted.note) == (True, "", "all bare")
    assert (drain.event, drain.value) == (False, "plugged")
    assert set_point.value == pytest.approx(277.039, abs=1e-3)  # 39 °F = 3.889 °C
    assert (repair.event, repair.value) == (True, "seal")


@pytest.mark.parametrize(("value", "unit", "si"), [
    ("36", "Ah", 1.5), ("36", "Ah/day", 1.5), ("36 Ah", "", 1.5), ("36", "A*h/day", 1.5),
])  # fmt: skip
def test_a_days_reading_may_leave_out_a_day(words: Catalogue, value: str, unit: str, si: float) -> None:
    (entry,) = only(read(f"{LONG}2026-07-22,amp_hours_per_day,{value},{unit},\n", words))
    assert entry.value == pytest.approx(si)
    (count,) = only(read(f"{LONG}2026-07-22,box_openings,11,,\n", words))
    assert count.value == pytest.approx(11 / 86400)


def test_amps_are_not_taken_for_amp_hours(words: Catalogue) -> None:
    assert "amp-hours" in why(f"{LONG}2026-07-22,amp_hours_per_day,36,A,\n", words)


def test_a_jugs_millilitre_is_a_gram(words: Catalogue) -> None:
    (entry,) = only(read(f"{LONG}2026-07-22,melt_water,350,mL,\n", words))
    assert entry.value == pytest.approx(0.350)
    assert entry.said == "350 mL"


def test_a_spread_is_kept_as_the_error_in_si(words: Catalogue) -> None:
    entries = only(
        read(f"{LONG}2026-07-22,cabin_temperature,84 ± 3,F,\n2026-07-22,fill_time,47 s +/- 10 %,,\n", words)
    )
    assert entries[0].error == pytest.approx(3 / 1.8)
    assert entries[1].error == pytest.approx(4.7)
    assert [entry.said for entry in entries] == ["84 F ± 3", "47 s ± 10 %"]


@pytest.mark.parametrize(("row", "said"), [
    ("2026-07-22,fil_time,47,s,", "line 3: there is no reading or event fil_time; did you mean fill_time?"),
    ("2026-07-22,fill_time,47,,", 'line 3: fill_time: "47" has no unit'),
    ("2026-07-22,fill_time,47,F,", 'line 3: fill_time: "47 F": "F" is not a unit of time'),
    ("2026-07-22,fill_time,-47,s,", "less than nothing"),
    ("2026-07-22,cabin_humidity,120,%,", "accepted is 0 % to 100 %"),
    ("2026-07-22,drain,plug,,", "did you mean plugged?"),
    ("2026-07-22,drain,plugged,s,", "drain has no unit"),
    ("yesterweek,fill_time,47,s,", "line 3: \"yesterweek\" is not a date"),
    ("2026-07-22,fill_time,47,s,one, two", "line 3: two stands behind the last column"),
    ("2026-07-22,fill_time,47 s,min,", "leave one of them"),
])  # fmt: skip
def test_a_line_that_cannot_be_taken_is_named_and_nothing_is_taken(
    words: Catalogue, row: str, said: str
) -> None:
    assert said in why(f"{LONG}2026-07-21,fill_time,46,s,\n{row}\n", words)


def test_the_first_bad_line_is_told_and_the_others_counted(words: Catalogue) -> None:
    assert why(f"{LONG}x,fill_time,1,s,\ny,fill_time,1,s,\nz,fill_time,1,s,\n", words).endswith(
        "(and 2 more lines)"
    )


def test_gaps_are_counted_and_a_column_not_read_is_told(words: Catalogue) -> None:
    found = read(
        "at,reading,value,unit,weather\n2026-07-21,fill_time,,s,hot\n2026-07-22,fill_time,47,s,\n", words
    )
    assert (len(found.entries), found.gaps) == (1, 1)
    assert "column weather was not read" in found.warnings


def test_separators_marks_and_blank_lines_do_not_matter(words: Catalogue) -> None:
    for separator in (";", "\t", "|"):
        text = "\ufeff" + f"{LONG}\n2026-07-21,fill_time,47,s,x\n\n".replace(",", separator).replace(
            "\n", "\r\n"
        )
        assert [e.said for e in only(read(text, words))] == ["47 s"]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_file_in_any_usual_encoding_is_read(boat: Boat, tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(f"{LONG}2026-07-21,cabin_temperature,28,°C,café\n".encode(encoding))
    found = read_csv(path, boat)
    assert [(e.value, e.note) for e in found.readings()] == [(pytest.approx(301.15), "café")]
    assert bool(found.warnings) == (encoding == "cp1252")


# --- decimal commas ------------------------------------------------------------------------------


def semicolons(*values: str) -> str:
    rows = "".join(f"2026-07-{21 + n};fill_time;{value};s;\n" for n, value in enumerate(values))
    return "at;reading;value;unit;note\n" + rows


def test_decimal_commas_are_seen(words: Catalogue) -> None:
    assert [e.value for e in only(read(semicolons("47,5", "1.047,25", "48", "0,500"), words))] == [
        47.5, 1047.25, 48.0, 0.5,
    ]  # fmt: skip


def test_decimal_points_behind_semicolons_are_seen(words: Catalogue) -> None:
    assert [e.value for e in only(read(semicolons("47.5", "1,047"), words))] == [47.5, 1047.0]


def test_a_comma_that_may_be_either_is_asked_about(words: Catalogue) -> None:
    assert "line 2: 1,500 may be a decimal comma or thousands" in why(semicolons("1,500"), words)
    assert [e.value for e in only(read(semicolons("1,500"), words, how=HowToRead(decimal="comma")))] == [
        1.5
    ]
    assert [e.value for e in only(read(semicolons("1,500"), words, how=HowToRead(decimal="point")))] == [
        1500.0
    ]


def test_commas_and_points_together_are_asked_about(words: Catalogue) -> None:
    assert "say which with --decimal" in why(semicolons("47,5", "47.5"), words)


# --- the wide form -------------------------------------------------------------------------------

LOGGER = """Logger no. 7;;;
;;;
Date;Time;Temp (°C);RH;Door
20/07/2026;23:50;23,4;61,2;open
21/07/2026;00:20;23,5 °C;;-
21/07/2026;00:50;NaN;60,9;plugged
"""


def logger(words: Catalogue, **more: str) -> Mapping:
    columns = ["Temp (°C)=cabin_temperature", "RH=cabin_humidity, %", "Door=drain"]
    return mapping_of("logger", "Date", columns, words, **{"time": "Time", **more})  # type: ignore[arg-type]


def test_a_loggers_columns_become_readings_by_its_mapping(words: Catalogue) -> None:
    found = read(LOGGER, words, logger(words))
    assert (found.form, found.mapping, found.gaps) == ("mapped", "logger", 3)
    assert [(line, e.at_text, e.reading, e.said or e.value) for line, e in found.entries] == [
        (4, "2026-07-20T23:50:00-04:00", "cabin_temperature", "23.4 °C"),
        (4, "2026-07-20T23:50:00-04:00", "cabin_humidity", "61.2 %"),
        (4, "2026-07-20T23:50:00-04:00", "drain", "open"),
        (5, "2026-07-21T00:20:00-04:00", "cabin_temperature", "23.5 °C"),
        (6, "2026-07-21T00:50:00-04:00", "cabin_humidity", "60.9 %"),
        (6, "2026-07-21T00:50:00-04:00", "drain", "plugged"),
    ]


def test_a_mapping_is_kept_in_the_logbook_and_used_again(
    boat: Boat, book: Logbook, words: Catalogue, tmp_path: Path
) -> None:
    book.keep_mapping("logger", logger(words).to_json())
    path = tmp_path / "week.csv"
    path.write_text(LOGGER, encoding="utf-8")
    done = import_file(book, path, boat)
    assert (len(done.added), done.mapping) == (6, "logger")
    again = import_file(book, path, boat)
    assert (len(again.added), again.known_lines) == (0, (4, 4, 4, 5, 6, 6))
    assert "not doubled" in again.said()


def test_a_file_of_unknown_columns_asks_which_is_which(words: Catalogue) -> None:
    assert "its columns are Date, Time, Temp (°C), RH, Door" in why(LOGGER, words)
    assert "log map" in why(LOGGER, words)


def test_a_file_that_fits_two_mappings_asks_which(words: Catalogue) -> None:
    two = (logger(words), replace(logger(words), name="other"))
    assert "say which with --map" in why(LOGGER, words, *two)
    assert read(LOGGER, words, *two, wanted="other").mapping == "other"


def test_a_wide_file_in_doubtful_dates_is_asked_about_and_the_mapping_can_say(words: Catalogue) -> None:
    doubtful = LOGGER.replace("20/07", "02/07").replace("21/07", "03/07")
    assert "day-first" in why(doubtful, words, logger(words))
    said = logger(words, how=HowToRead(dates="day-first"))  # type: ignore[arg-type]
    assert only(read(doubtful, words, said))[0].at.date().isoformat() == "2026-07-02"


def test_a_loggers_own_clock_is_taken_at_its_word(words: Catalogue) -> None:
    said = logger(words, how=HowToRead(zone="+00:00"))  # type: ignore[arg-type]
    assert only(read(LOGGER, words, said))[0].at == datetime(2026, 7, 20, 23, 50, tzinfo=UTC)


def test_a_bad_cell_is_named_by_line_and_column(words: Catalogue) -> None:
    assert "line 4: column RH: cabin_humidity" in why(LOGGER.replace("61,2", "wet"), words, logger(words))


@pytest.mark.parametrize(("columns", "said"), [
    ([], "needs a column"), (["T=cabin_temprature F"], "did you mean cabin_temperature?"),
    (["T=cabin_temperature"], "has no unit"), (["T=cabin_temperature psi"], "not a unit"),
    (["T"], "accepted is"), (["T=drain F"], "has no unit"), (["Date=drain"], "named twice"),
])  # fmt: skip
def test_a_mapping_that_cannot_be_is_refused(words: Catalogue, columns: list[str], said: str) -> None:
    with pytest.raises(LogError, match=said.replace("?", r"\?")):
        mapping_of("logger", "Date", columns, words)


# --- out and back --------------------------------------------------------------------------------

FORMULAS = ("=1+1", "+1", "-1+2", "@SUM(A1)", "'=x", "''=x", "\t=1", "'tis", "＝1", "-5", "a", "")


@pytest.mark.parametrize("note", FORMULAS)
def test_no_cell_can_start_a_formula_and_each_is_read_back_the_same(words: Catalogue, note: str) -> None:
    entry = words.entry("contents", note, "", Moment(datetime(2026, 7, 21, tzinfo=UTC)), note)
    text = to_csv([entry])
    for row in csv.reader(io.StringIO(text, newline="")):
        for cell in row:
            assert not cell.lstrip().startswith(("=", "+", "@", "＝")), cell
            assert not cell.startswith("-") or cell.lstrip("-").isdigit()
    assert [e.key for e in only(read(text, words))] == [entry.key]


TEXTS = st.text(st.characters(codec="utf-8"), max_size=40).map(clean)
NUMBERS = st.floats(0.001, 1e5).map(lambda number: f"{number:.6g}").filter(lambda text: "e" not in text)
UNITS = {"fill_time": ("s", "min"), "cabin_temperature": ("F", "C", "°C", "K"), "melt_water": ("g", "kg", "mL"),
         "amp_hours_per_day": ("A*h/day", "Ah"), "set_point": ("F", "degC")}  # fmt: skip


@st.composite
def entries(draw: st.DrawFn, words: Catalogue) -> Entry:
    day = draw(st.booleans())
    at = draw(st.datetimes(datetime(1960, 1, 1), datetime(2090, 1, 1))).replace(tzinfo=UTC)
    if day:
        at = at.replace(hour=12, minute=0, second=0, microsecond=0, tzinfo=NEW_YORK)
        at = datetime.fromisoformat(at.isoformat())
    name = draw(st.sampled_from([*UNITS, "drain", "defrosted", "repair", "contents"]))
    when, note = Moment(at, day), draw(TEXTS)
    if name in UNITS:
        spread = draw(st.sampled_from(["", " ± 1", " ± 0.25"]))
        return words.entry(name, draw(NUMBERS) + spread, draw(st.sampled_from(UNITS[name])), when, note)
    value = {"drain": "plugged", "defrosted": "", "repair": "seal"}.get(name)
    return words.entry(name, draw(TEXTS) if value is None else value, "", when, note)


@given(data=st.data())
def test_whatever_is_written_out_is_read_back_the_same(data: st.DataObject, words: Catalogue) -> None:
    given_ones = data.draw(st.lists(entries(words), max_size=6, unique_by=lambda entry: entry.key))
    text = to_csv(given_ones)
    assert only(read(text, words)) == given_ones


def test_a_logbook_exported_and_imported_elsewhere_is_the_same(
    boat: Boat, book: Logbook, words: Catalogue, tmp_path: Path
) -> None:
    path = tmp_path / "log.csv"
    path.write_text(
        f"{LONG}2026-07-21,fill_time,47 ± 1,s,=cmd\n2026-07-20,defrosted,,,\n2026-07-22 08:00,drain,open,,x\n"
    )
    import_file(book, path, boat)
    path.write_text(to_csv(book.entries()))
    with Logbook(tmp_path / "other.log.sqlite") as other:
        import_file(other, path, boat)
        blank = {"id": 0, "entered": None}
        assert [replace(e, **blank) for e in other.entries()] == [
            replace(e, **blank) for e in book.entries()
        ]


# --- the log of a boat ---------------------------------------------------------------------------


def test_a_csv_file_and_the_logbook_answer_alike(boat: Boat, words: Catalogue, tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(f"{LONG}2026-07-22,fill_time,48,s,\n2026-07-21,fill_time,47,s,\n2026-07-21,fill_time,47,s,\n"
                    "2026-07-21,defrosted,,,\n")  # fmt: skip
    assert log_of(boat).readings() == ()
    with Logbook(tmp_path / "samphire.log.sqlite") as book:
        import_file(book, path, boat)
    of_file, of_book = log_of(boat, path), log_of(boat)
    assert [e.key for e in of_file.readings("fill_time")] == [e.key for e in of_book.readings("fill_time")]
    assert [e.value for e in of_file.readings()] == [47.0, 48.0]
    assert [e.reading for e in of_file.events()] == [e.reading for e in of_book.events()] == ["defrosted"]
    assert "line 4 says what an earlier line says" in " ".join(of_file.warnings)


def test_a_file_that_cannot_be_read_is_said_with_its_name(boat: Boat, tmp_path: Path) -> None:
    with pytest.raises(LogError, match="cannot be read"):
        read_csv(tmp_path / "none.csv", boat)
    path = tmp_path / "log.csv"
    path.write_text(f"{LONG}2026-07-21,fil_time,47,s,\n")
    with pytest.raises(LogError, match=r"log\.csv, line 2: there is no reading"):
        read_csv(path, boat)
    path.write_bytes(b"\x00\x01\xff" * 500)
    with pytest.raises(LogError, match="no text file"):
        read_csv(path, boat)
