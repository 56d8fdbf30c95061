import pytest
from hands import Hands, hands_on

from assistant.kit.profile import Kit


@pytest.fixture
def hands(kit: Kit) -> Hands:
    """A bench on an open day with one order waiting, on each of the two kits."""
    return hands_on(kit)
