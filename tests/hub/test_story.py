"""What the board's story keeps of one bench for the patterns of many pairs."""

from recorded import a_pair

from assistant.hub.story import begun, continued
from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.patterns import AxisError
from assistant.practice.slips import Slip


def test_a_lens_counts_once_for_every_slot_cut_in_it(kit: Kit) -> None:
    """Left is cut again after the first check; right is only read again."""
    story, errors = begun("crab", kit), list[AxisError]()
    for number, event in enumerate(a_pair(kit, Slip.SLOT_ON_CENTRE_LINE, Eye.LEFT), 1):
        story = continued(story, number, event)
        errors += story.errors
    assert story.verdicts == 2
    assert [error.eye for error in errors] == [Eye.RIGHT, Eye.LEFT, Eye.LEFT]
