"""Two kits that differ in every figure: whatever matters is tested on both."""

from pathlib import Path

import pytest

from assistant.kit.load import demo_kit, load_kit
from assistant.kit.profile import Kit
from assistant.workflow.steps import BY_ID

OTHER_KIT_FOLDER = Path(__file__).parent / "kits" / "forty"


@pytest.fixture(scope="session")
def demo() -> Kit:
    return demo_kit(BY_ID)


@pytest.fixture(scope="session")
def other_kit() -> Kit:
    """40 mm lenses, pin 2 mm down, index at the pin, ISO 21987."""
    return load_kit(OTHER_KIT_FOLDER, BY_ID)


@pytest.fixture(scope="session")
def other_kit_folder() -> Path:
    return OTHER_KIT_FOLDER


@pytest.fixture(params=["demo", "forty"])
def kit(request: pytest.FixtureRequest, demo: Kit, other_kit: Kit) -> Kit:
    return demo if request.param == "demo" else other_kit
