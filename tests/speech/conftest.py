"""Sound for the tests: a synthesiser with a cache of its own, and a virtual sound card where possible."""

from collections.abc import Iterator
from pathlib import Path

import new_words
import pytest
from new_words import Enrolled, known, recordings
from virtual_sound import VirtualSound, plugged_in

from assistant.speech.synth import Synthesiser


@pytest.fixture(scope="session")
def synthesiser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Synthesiser]:
    made = Synthesiser(tmp_path_factory.mktemp("cache"))
    yield made
    made.close()


@pytest.fixture
def brought() -> Iterator[None]:
    with known():
        yield


@pytest.fixture(scope="session")
def spoken(synthesiser: Synthesiser, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Each word of a language that the program does not have, twice."""
    return recordings(synthesiser, tmp_path_factory.mktemp("spoken"))


@pytest.fixture(scope="session")
def enrolled(spoken: Path, tmp_path_factory: pytest.TempPathFactory) -> Enrolled:
    return new_words.enrolled(tmp_path_factory.mktemp("enrolled"), spoken)


@pytest.fixture(scope="module")
def card(tmp_path_factory: pytest.TempPathFactory) -> Iterator[VirtualSound]:
    """A virtual sound card, plugged in, for tests that leave it so; skipped where there can be none."""
    yield from plugged_in(tmp_path_factory.mktemp("card"))


@pytest.fixture
def own_card(tmp_path: Path) -> Iterator[VirtualSound]:
    """A card of the test's own, to unplug."""
    yield from plugged_in(tmp_path)
