"""What the board's story keeps of one bench for the patterns of many pairs."""

from recorded import a_pair

from assistant.hub.story import begun, continued
from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.patterns import AxisError
from assistant.practice.slips import Slip
from assistant.workflow.events import DayOpened


def test_a_day_that_is_opened_anew_goes_on(kit: Kit) -> None:
    """A language was brought to the bench; the pairs made before are still of that day."""
    story = begun("crab", kit)
    made = a_pair(kit)
    for number, event in enumerate(made, 1):
        story = continued(story, number, event)
    date, at = story.bench.the_day.date, story.at
    assert len(story.closed_today) == 1
    story = continued(story, len(made) + 1, DayOpened(at=at, date=date, brought={"tq": "sw"}))
    assert len(story.closed_today) == 1
    assert story.tries
    story = continued(story, len(made) + 2, DayOpened(at=at, date="2027-01-01"))
    assert len(story.closed_today) == 0
    assert not story.tries


def test_a_lens_counts_once_for_every_slot_cut_in_it(kit: Kit) -> None:
    """Left is cut again after the first check; right is only read again."""
    story, errors = begun("crab", kit), list[AxisError]()
    for number, event in enumerate(a_pair(kit, Slip.SLOT_ON_CENTRE_LINE, Eye.LEFT), 1):
        story = continued(story, number, event)
        errors += story.errors
    assert story.verdicts == 2
    assert [error.eye for error in errors] == [Eye.RIGHT, Eye.LEFT, Eye.LEFT]
