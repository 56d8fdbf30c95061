"""Whatever a record holds, and whatever kit it is shown or decided with, replay shows it and never raises."""

import random
from pathlib import Path

import pytest
from any_events import KINDS, act
from hands import hands_on
from recorded import a_morning, a_pair, written

from assistant.kit.profile import Kit
from assistant.practice.slips import Slip
from assistant.replay.listing import rows
from assistant.replay.opening import open_session
from assistant.replay.recheck import differences
from assistant.replay.telling import all_lines, list_lines
from assistant.replay.timeline import Timeline
from assistant.replay.viewing import Other, Viewing
from assistant.ui.glyphs import Glyphs
from assistant.ui.pictures import scene
from assistant.workflow.events import Event


def a_mess(kit: Kit, seed: int) -> list[Event]:
    """Mostly right answers, sometimes anything else, the clock now and then set back."""
    chance, hands = random.Random(seed), hands_on(kit)
    for _ in range(150):
        act(hands, chance.randrange(KINDS), chance.randrange(10_000))
    return hands.events


def show_all(path: Path, own_kit: Path | None, other: Kit) -> int:
    """Open a record as a trainer would and look at every moment of every day; how many there were."""
    found = rows(open_session(path, own_kit))
    assert list_lines(list(found))
    shown = 0
    for row in found:
        viewing = Viewing.of(row, tuple(one.times for one in found), own_kit, Other("other", lambda _: other))
        for place in range(row.day.first, row.day.last + 1):
            assert viewing.go(place)
            assert all_lines(viewing, 80, Glyphs.ASCII)
            assert scene(viewing.moment.picture)
            shown += 1
    return shown


@pytest.mark.parametrize("seed", range(20))
def test_any_events_are_shown_and_decided_again(
    demo: Kit, other_kit: Kit, other_kit_folder: Path, tmp_path: Path, seed: int
) -> None:
    events = a_mess(demo, seed)
    path = written(tmp_path / "odd.jsonl", events)
    assert show_all(path, None, other_kit) == len(events)
    assert show_all(path, other_kit_folder, demo) == len(events)


def test_the_same_kit_decides_any_events_the_same(kit: Kit) -> None:
    for seed in range(10):
        assert list(differences(Timeline(kit, a_mess(kit, 100 + seed)).moments, kit)) == []


@pytest.mark.parametrize("slip", list(Slip))
def test_sessions_decided_by_a_kit_unlike_their_own(demo: Kit, other_kit: Kit, slip: Slip) -> None:
    for own, other in ((demo, other_kit), (other_kit, demo)):
        assert list(differences(Timeline(own, a_pair(own, slip)).moments, other))


def test_a_day_of_many_pairs_by_a_kit_unlike_its_own(demo: Kit, other_kit: Kit) -> None:
    for seed in range(5):
        assert list(differences(Timeline(demo, a_morning(demo, seed, 6)).moments, other_kit))
