"""A cache of their own for these tests, and boats with no plugin aboard."""

from collections.abc import Callable
from pathlib import Path

import pvlib
import pytest

from console.boatfile import Boat, loads
from console.environment import sun_table, weather_days
from console.environment.weather_file import Records, read_records
from console.properties import air
from console.registry import discover

PVLIB_DATA = Path(pvlib.__file__).parent / "data"


@pytest.fixture(scope="session")
def air_map() -> None:
    """The map of moist air in memory, from the usual cache."""
    air.saturation_humidity_ratio(300.0)


@pytest.fixture(autouse=True)
def cache(air_map: None, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty cache folder, and nothing remembered in the process."""
    folder = tmp_path_factory.mktemp("cache")
    monkeypatch.setenv("BOAT_CONSOLE_CACHE", str(folder))
    sun_table.sun_day.cache_clear()
    weather_days._weather.cache_clear()
    return folder


@pytest.fixture
def boat() -> Callable[..., Boat]:
    """A boat from the text of a file, with the console's own sections alone."""

    def made(text: str = "format = 1\n", path: Path | None = None) -> Boat:
        return loads(text, discover(found=[]), path)

    return made


@pytest.fixture(scope="session")
def miami() -> Records:
    """The typical year of Miami as it stands; reading it takes a second."""
    return read_records(PVLIB_DATA / "12839.tm2")
