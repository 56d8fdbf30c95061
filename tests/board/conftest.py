"""A tablet for the tests of the board's page: one browser for all of them."""

from collections.abc import Iterator

import pytest
from tablet import Tablet


@pytest.fixture(scope="session")
def tablet(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tablet]:
    why = Tablet.missing()
    if why:
        pytest.skip(why)
    opened = Tablet(tmp_path_factory.mktemp("chromium"))
    yield opened
    opened.close()
