"""A session decided again: by its own rules nothing differs; by others, what the numbers say must differ."""

from dataclasses import replace
from pathlib import Path

import pytest
from recorded import a_morning, a_pair, an_order, begun

from assistant.kit.profile import Kit
from assistant.optics.tolerance import FOR_MOUNTED_LENSES, STANDARDS
from assistant.practice.slips import Slip
from assistant.replay.gauge import gauges
from assistant.replay.moments import moments
from assistant.replay.opening import open_session
from assistant.replay.recheck import Difference, differences, with_standard
from assistant.workflow.events import Answered

SHIPPED = sorted((Path(__file__).parents[2] / "demo_sessions").glob("*.jsonl"))


@pytest.mark.parametrize("seed", range(6))
def test_the_same_kit_decides_the_same(kit: Kit, seed: int) -> None:
    assert list(differences(moments(kit, a_morning(kit, seed)), replace(kit))) == []


@pytest.mark.parametrize("slip", list(Slip))
def test_the_same_kit_decides_the_same_where_something_goes_wrong(kit: Kit, slip: Slip) -> None:
    assert list(differences(moments(kit, a_pair(kit, slip)), replace(kit))) == []


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_a_shipped_session_decides_the_same_by_its_own_kit(file: Path) -> None:
    timeline = open_session(file).timeline
    assert list(differences(timeline.moments, replace(timeline.kit))) == []


def test_a_deeper_slot_wanted_refuses_the_slots_that_were_cut(demo: Kit) -> None:
    deeper = replace(demo, slot=replace(demo.slot, least_depth_mm=1.2, aimed_depth_mm=1.3))
    timeline = tuple(moments(demo, a_pair(demo)))
    expected = [
        moment.line
        for moment in timeline
        if moment.item.step == "cut" and gauges(moment)[0].value < 1.2 - 1e-9
    ]
    found = list(differences(timeline, deeper))
    assert expected
    assert [one.line for one in found] == expected
    assert found[0] == Difference(
        expected[0],
        "entry",
        "accepted",
        "not accepted, right eye: The slot is not deep enough. Cut a little more and measure again.",
    )


def test_another_index_gives_other_settings_and_refuses_the_marks(demo: Kit, other_kit: Kit) -> None:
    at_pin = replace(demo, protractor=other_kit.protractor)
    found = list(differences(moments(demo, a_pair(demo)), at_pin))
    told = {one.what for one in found}
    assert {"right scale setting", "left scale setting", "entry"} <= told
    right = next(one for one in found if one.what == "right scale setting")
    assert (right.was, right.would) == ("34°", "30°")
    refused = [one for one in found if one.what == "entry"]
    assert len(refused) == 2
    assert all("dots do not lie there" in one.would for one in refused)


def test_under_every_standard_the_verdict_is_that_standard_s_own(demo: Kit) -> None:
    """An axis four degrees off on -2.00: each standard's own row says whether it passes."""
    timeline = tuple(moments(demo, a_pair(demo, Slip.SLOT_ON_CENTRE_LINE)))
    judged = next(moment for moment in timeline if moment.verdict is not None)
    assert judged.verdict is not None
    for standard in FOR_MOUNTED_LENSES:
        found = [
            one for one in differences(timeline, with_standard(demo, standard)) if one.line == judged.line
        ]
        lenses = [check for check in (judged.verdict.right, judged.verdict.left) if check is not None]
        passed = [STANDARDS[standard].judge(check.ordered, check.measured).passed for check in lenses]
        was = [check.passed for check in lenses]
        for eye, before, now in zip(("right", "left"), was, passed, strict=True):
            told = [one for one in found if one.what == f"{eye} lens"]
            assert bool(told) == (before != now), (standard, eye)


def test_a_wider_standard_lets_the_pair_pass(demo: Kit) -> None:
    """Found, not assumed: among the standards there is one that decides a shipped session differently."""
    changed = {
        (file.stem, standard)
        for file in SHIPPED
        for standard in FOR_MOUNTED_LENSES
        if any(differences(open_session(file).timeline.moments, with_standard(demo, standard)))
    }
    assert changed


def test_another_bank_is_planned_from_as_packed(demo: Kit, other_kit: Kit) -> None:
    found = list(differences(moments(demo, a_pair(demo)), other_kit))
    planned = {one.what: one for one in found if one.line == found[0].line or "frame" in one.what}
    assert found
    assert "frame" in planned


def test_a_supervisor_s_code_is_no_decision_of_a_kit(demo: Kit) -> None:
    turns = begun(demo, 1)
    turns.make(an_order("-3.00/-1.50x60", "+0.75/-1.50x60", "233"))
    assert any(isinstance(event, Answered) and event.field == "code" for event in turns.events)
    locked = replace(demo, supervisor_codes=("1111",))
    assert list(differences(moments(demo, turns.events), locked)) == []


def test_an_unknown_standard_is_refused(demo: Kit) -> None:
    with pytest.raises(ValueError, match="standard 'none' is not known for mounted lenses; allowed is"):
        with_standard(demo, "none")
