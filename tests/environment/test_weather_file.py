"""Weather files of every format, whole and broken."""

import csv
import io
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.environment.weather_file import (
    COLUMNS,
    LARGEST,
    Records,
    WeatherFileError,
    kind_of,
    parse_records,
    read_records,
)
from console.properties import air
from tests.environment.conftest import PVLIB_DATA

MIAMI = PVLIB_DATA / "12839.tm2"


def as_epw(records: Records) -> str:
    """A typical year's records written out as an EPW file (EnergyPlus Auxiliary Programs guide)."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["LOCATION", "Somewhere", "XX", "XXX", "TMY", "0", records.latitude,
                   records.longitude, records.utc_offset, 2])  # fmt: skip
    for line in ("DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0",
                 "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1", "COMMENTS 2",
                 "DATA PERIODS,1,1,Data,Sunday,1/1,12/31"):  # fmt: skip
        rows.writerow(line.split(","))
    for at, (stamp, value) in enumerate(zip(records.times, records.values, strict=True)):
        hour = at % 24 + 1
        temperature, dew_point = value[:2] - 273.15
        day = stamp if hour < 24 else records.times[at - 1]
        rows.writerow([1999, day.month, day.day, hour, 60, "?", f"{temperature:.1f}",
                       f"{dew_point:.1f}", 70, 101325, 0, 0, 9999, int(value[5]), int(value[3]),
                       int(value[4]), 0, 0, 0, 0, 180, f"{value[2]:.1f}", 5, 5, 16, 77777, 9,
                       999999999, 30, 0.1, 0, 88, 0.2, 0, 1])  # fmt: skip
    return out.getvalue()


def test_each_format_is_known_by_its_content():
    assert kind_of(MIAMI.read_text()) == "TMY2"
    assert kind_of((PVLIB_DATA / "723170TYA.CSV").read_text()) == "TMY3"
    assert kind_of("LOCATION,Somewhere,XX\n") == "EPW"
    assert kind_of("time,temperature C\n2026-07-26 00:00,25\n") == "CSV"


def test_a_tmy2_city_of_several_words_is_read():
    text = MIAMI.read_text().replace("MIAMI                  FL", "WEST PALM BEACH        FL", 1)
    records = parse_records(text.encode(), "x.tm2")
    assert records.latitude == pytest.approx(25 + 48 / 60)
    assert len(records.times) == 8760


def test_an_epw_says_the_same_as_the_year_it_was_made_from(miami: Records):
    whole = miami
    epw = parse_records(as_epw(miami).encode(), "harbour.epw")
    assert epw.kind == "EPW"
    assert (epw.utc_offset, epw.latitude) == (-5.0, pytest.approx(whole.latitude))
    assert epw.values == pytest.approx(whole.values, abs=0.051)
    assert [(t.month, t.day, t.hour) for t in epw.times] == [(t.month, t.day, t.hour) for t in whole.times]


def test_missing_marks_become_gaps_not_temperatures(miami: Records):
    text = as_epw(miami).splitlines()
    cells = text[100].split(",")
    cells[6], cells[21] = "99.9", "999"
    text[100] = ",".join(cells)
    values = parse_records("\n".join(text).encode(), "harbour.epw").values
    assert np.flatnonzero(np.isnan(values[:, 0])).tolist() == [92]
    assert np.isnan(values[92, 2])


CSV = "time,temperature F,dew point F,wind knots,GHI\n" + "".join(
    f"2026-07-26 {hour:02d}:00,{80 + hour % 12},75,6,{hour * 20}\n" for hour in range(24)
)


def test_a_plain_csv_is_read_in_the_units_it_names():
    records = parse_records(CSV.encode(), "log.csv")
    first = dict(zip(COLUMNS, records.values[0], strict=True))
    assert first["temperature"] == pytest.approx(273.15 + (80 - 32) / 1.8)
    assert first["dew_point"] == pytest.approx(273.15 + (75 - 32) / 1.8)
    assert first["wind_speed"] == pytest.approx(6 * 1852 / 3600)
    assert np.isnan(first["direct_normal"])
    assert records.utc_offset is None


def test_a_plain_csv_may_give_humidity_instead_of_dew_point():
    records = parse_records(b"time,temperature C,humidity %\n2026-07-26T12:00,30,70\n", "log.csv")
    expected = air.dew_point(air.humidity_ratio(303.15, 0.7))
    assert records.values[0, 1] == pytest.approx(float(expected))


def test_a_plain_csv_in_any_order_is_put_in_order():
    lines = CSV.splitlines()
    shuffled = "\n".join([lines[0], *reversed(lines[1:])])
    assert parse_records(shuffled.encode(), "x").times == parse_records(CSV.encode(), "x").times


def test_times_with_an_offset_keep_their_clock():
    text = "time,temperature C\n2026-07-26T12:00-04:00,30\n2026-07-26T17:00Z,31\n"
    records = parse_records(text.encode(), "log.csv")
    assert [t.hour for t in records.times] == [12, 13]
    assert records.utc_offset == -4.0


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm():
    text = "\ufeff" + CSV.replace("\n", "\r\n")
    assert len(parse_records(text.encode(), "log.csv").times) == 24


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "not a text file"),
        (b"   \n\n", "not a text file"),
        (b"\x89PNG\0\0\x01" * 100, "not a text file"),
        (b"hello\nworld\n", 'plain CSV needs the columns "time"'),
        (b"time,temperature C\n", "no rows"),
        (b"time,temperature C\n26/07/2026 12:00,30\n", "not an ISO date"),
        (b"time,temperature furlongs\n2026-07-26,30\n", "not a unit"),
        (b"time,temperature C\n2026-07-26 12:00,nan\n", "no usable temperatures"),
        (b"time,temperature C\n2026-07-26 12:00,9999\n", "no usable temperatures"),
        (b"LOCATION,a,b\nnonsense\n", "looks like EPW but cannot be read"),
        (b"LOCATION,a,b,c,d,e,x,y,z,w\n" + b"\n" * 20, "looks like EPW but cannot be read"),
        (b"1,2,3\nDate (MM/DD/YYYY),Time\n1,2\n", "looks like TMY3 but cannot be read"),
        (b" 12839 NOWHERE XX -5 N 25 48 W  80 16     2\n garbage\n", "looks like TMY2 but cannot be read"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_broken_file_becomes_one_sentence(tmp_path: Path, content: bytes, says: str):
    path = tmp_path / "bad.csv"
    path.write_bytes(content)
    with pytest.raises(WeatherFileError, match=says) as caught:
        read_records(path)
    assert "\n" not in str(caught.value)
    assert "bad.csv" in str(caught.value)


def test_a_file_that_is_not_there_becomes_one_sentence(tmp_path: Path):
    with pytest.raises(WeatherFileError, match=r'There is no weather file "gone\.epw"'):
        read_records(tmp_path / "gone.epw")


def test_a_folder_or_a_device_is_not_read(tmp_path: Path):
    for path in (tmp_path, Path("/dev/zero")):
        with pytest.raises(WeatherFileError, match="not an ordinary file"):
            read_records(path)


def test_a_huge_file_is_not_read(tmp_path: Path):
    path = tmp_path / "huge.epw"
    with open(path, "wb") as file:
        file.truncate(LARGEST + 1)
    with pytest.raises(WeatherFileError, match="too large"):
        read_records(path)


def test_a_year_cut_short_is_read_as_far_as_it_goes(miami: Records):
    whole = as_epw(miami).splitlines()
    text = "\n".join([*whole[:1000], whole[1000][:20]])
    records = parse_records(text.encode(), "cut.epw")
    assert 900 < len(records.times) < 1000


@settings(max_examples=60, deadline=None)
@given(
    st.binary(max_size=300),
    st.sampled_from(["", "LOCATION,", "time,temperature C\n", "a\nDate (MM/DD/YYYY)"]),
)
def test_any_bytes_give_records_or_one_sentence(noise: bytes, start: str):
    said = ""
    try:
        parse_records(start.encode() + noise, "x")
    except WeatherFileError as error:
        said = str(error)
    assert said.isprintable()
