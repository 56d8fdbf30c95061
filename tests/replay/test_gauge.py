"""A gauge says what the step's own check decided, on every reading of many sessions; its bar is to scale."""

import pytest
from recorded import a_morning, a_pair

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.practice.slips import Slip
from assistant.replay.gauge import Gauge, gauges, gauges_at
from assistant.replay.gauge_bar import LEAST_COLUMNS, bar, figure, line
from assistant.replay.mistakes import MistakeKind
from assistant.replay.moments import Moment, moments
from assistant.replay.timeline import Timeline
from assistant.ui.glyphs import Glyphs

BY_WINDOW_ALONE = ("zero", "reference", "index", "mark", "cut", "trim")
"""Steps whose check is the window; `read` also wants the pocket's lens to be the nearest."""


def _refused(moment: Moment) -> bool:
    return any(found.kind is MistakeKind.REFUSED for found in moment.mistakes)


def _agrees(moment: Moment) -> bool:
    within = all(gauge.within for gauge in gauges(moment))
    if moment.verdict is not None:
        return within == moment.verdict.passed
    match moment.item.step:
        case "read":
            return within or _refused(moment)
        case "wearer":
            return within == (moment.after.question is None)
        case _:
            return within != _refused(moment)


@pytest.mark.parametrize("seed", range(8))
def test_gauges_agree_with_the_checks(kit: Kit, seed: int) -> None:
    measured = 0
    for moment in moments(kit, a_morning(kit, seed)):
        if gauges(moment):
            measured += 1
            assert _agrees(moment), (seed, moment.line, moment.item)
    assert measured > 20


@pytest.mark.parametrize("slip", list(Slip))
def test_gauges_agree_where_something_goes_wrong(kit: Kit, slip: Slip) -> None:
    for moment in moments(kit, a_pair(kit, slip)):
        assert not gauges(moment) or _agrees(moment), (slip, moment.line, moment.item)


def test_every_measured_step_has_its_gauge(demo: Kit) -> None:
    seen = {moment.item.step for moment in moments(demo, a_pair(demo)) if gauges(moment)}
    assert seen >= {*BY_WINDOW_ALONE, "read", "distance", "wearer"}


@pytest.mark.parametrize("glyphs", list(Glyphs))
@pytest.mark.parametrize("columns", [LEAST_COLUMNS, 24, 61, 200])
@pytest.mark.parametrize("value", [-40.0, -2.0, -1.0, 0.0, 1.3, 2.0, 2.1, 90.0])
def test_a_bar_is_to_scale(glyphs: Glyphs, columns: int, value: float) -> None:
    drawn = bar(Gauge("axis off", "°", value, -2.0, 2.0, 0.0, abs(value) <= 2.0), columns, glyphs)
    assert len(drawn) == columns
    place = drawn.index("*" if glyphs is Glyphs.ASCII else "●")
    least, most = min(-2.0, value), max(2.0, value)
    span = (most - least) * 1.16
    assert place == pytest.approx((value - least + 0.08 * (most - least)) / span * (columns - 1), abs=0.51)


def test_inside_and_outside_differ_without_colour(demo: Kit) -> None:
    lines = [
        line(gauge, 80, Glyphs.ASCII)
        for moment in moments(demo, a_pair(demo, Slip.SLOT_ON_CENTRE_LINE))
        for gauge in gauges(moment)
    ]
    assert all(text.isascii() for text in lines)
    assert sum(" OUT of " in text for text in lines) == 1
    assert all(len(text) <= 80 for text in lines)


def test_a_bar_too_narrow_is_refused() -> None:
    with pytest.raises(ValueError, match="a bar of 3 columns; allowed are 9 or more"):
        bar(Gauge("pin", "mm", 0.7, 0.5, 0.9), 3, Glyphs.ASCII)


@pytest.mark.parametrize("slip", [None, Slip.SLOT_ON_CENTRE_LINE, Slip.LENSES_SWAPPED, Slip.TURNED_IN_RIM])
def test_a_finished_lens_is_shown_against_the_verdict_that_came_of_it(kit: Kit, slip: Slip | None) -> None:
    timeline = Timeline(kit, a_pair(kit, slip))
    last: dict[Eye | None, tuple[Gauge, ...]] = {}
    told = 0
    for place, moment in enumerate(timeline):
        if moment.item.step == "check" and moment.finishes and moment.verdict is None:
            last[moment.item.eye] = gauges_at(timeline, place)
            told += 1
        if moment.verdict is not None:
            for eye, found in last.items():
                assert eye is not None
                check = moment.verdict.eye(eye)
                assert check is not None
                assert [gauge.value for gauge in found] == [row.error for row in check.judgement.rows]
                assert all(gauge.within for gauge in found) == check.passed
            last = {}
    assert told >= 2


def test_a_lens_that_was_never_judged_has_no_window(demo: Kit) -> None:
    events = a_pair(demo)
    whole = Timeline(demo, events)
    judged = next(place for place, moment in enumerate(whole) if moment.verdict is not None)
    cut_short = Timeline(demo, events[:judged])
    read = [
        place for place, moment in enumerate(cut_short) if moment.item.step == "check" and moment.finishes
    ]
    assert len(read) == 2
    assert all(gauges_at(whole, place) and not gauges_at(cut_short, place) for place in read)


@pytest.mark.parametrize(
    ("name", "unit", "value", "written"),
    [
        ("sphere", "D", -3.0, "-3.00"),
        ("sphere", "D", 0.5, "+0.50"),
        ("sphere", "D", -0.0, "0.00"),
        ("sphere", "D", 0.125, "+0.125"),
        ("sphere", "D", -0.0001, "0.00"),
        ("left axis off", "°", 4.0, "+4"),
        ("scale", "°", 150.0, "150"),
        ("slot depth", "mm", 1.05, "1.05"),
        ("pin", "mm", 0.0, "0"),
    ],
)
def test_figures_are_written_as_in_the_trade(name: str, unit: str, value: float, written: str) -> None:
    assert figure(value, Gauge(name, unit, value, None, 200.0)) == written
