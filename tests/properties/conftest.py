"""Maps built afresh for these tests, so that a stale cache cannot hide a broken builder."""

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

from console.properties import air_tables, refrigerants, seawater, store

# A busy machine is no failure.
settings.register_profile("properties", deadline=None)
settings.load_profile("properties")


def forget() -> None:
    """Empty the memory of the process."""
    store._maps.clear()
    refrigerants._made.clear()
    air_tables._tables = None
    seawater._sea = None


@pytest.fixture(scope="session", autouse=True)
def fresh_maps(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    told = os.environ.get(store.CACHE_VARIABLE)
    os.environ[store.CACHE_VARIABLE] = str(tmp_path_factory.mktemp("maps"))
    forget()
    yield
    if told is None:
        del os.environ[store.CACHE_VARIABLE]
    else:
        os.environ[store.CACHE_VARIABLE] = told
