"""Sound for the tests: a synthesiser with a cache of its own, and a virtual sound card where possible."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from virtual_sound import VirtualSound, plugged_in

from assistant.speech.synth import Synthesiser


@pytest.fixture(scope="session")
def synthesiser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Synthesiser]:
    made = Synthesiser(tmp_path_factory.mktemp("cache"))
    yield made
    made.close()


@pytest.fixture(scope="module")
def card(tmp_path_factory: pytest.TempPathFactory) -> Iterator[VirtualSound]:
    """A virtual sound card, plugged in, for tests that leave it so; skipped where there can be none."""
    yield from plugged_in(tmp_path_factory.mktemp("card"))


@pytest.fixture
def own_card(tmp_path: Path) -> Iterator[VirtualSound]:
    """A card of the test's own, to unplug."""
    yield from plugged_in(tmp_path)
