"""Everything about the hub's store runs on both databases that are supported."""

from collections.abc import Iterator
from pathlib import Path

import postgres_server
import pytest
from served import Served, served

Database = Path | str


@pytest.fixture(scope="session")
def postgres() -> Iterator[Path]:
    if reason := postgres_server.why_not():
        pytest.skip(reason)
    pytest.importorskip("psycopg")
    with postgres_server.server() as folder:
        yield folder


@pytest.fixture(params=["sqlite", "postgres"])
def database(request: pytest.FixtureRequest, tmp_path: Path) -> Database:
    """An empty database of the test's own."""
    if request.param == "sqlite":
        return tmp_path / "hub.db"
    return postgres_server.new_database(request.getfixturevalue("postgres"))


@pytest.fixture
def hub(tmp_path: Path) -> Iterator[Served]:
    """A hub that listens, with a store of the test's own."""
    with served(tmp_path / "hub.db") as made:
        yield made
