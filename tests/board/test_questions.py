"""Every question of the workflow as the supervisor reads it: why, the plan, the readings, what each answer does."""

from dataclasses import replace
from pathlib import Path

import msgspec
from full_board import Boat, asks, at, session

from assistant.hub.views import QuestionView
from assistant.kit.load import demo_kit
from assistant.kit.profile import Kit
from assistant.optics.order import EyeOrder, Order
from assistant.optics.power import parse_power
from assistant.practice.helper import VirtualHelper
from assistant.practice.run import opened
from assistant.practice.scenes import DATE, MORNING
from assistant.practice.slips import CAREFUL
from assistant.workflow.events import Answered, Event, HelpAsked, OrderHandedOver


def asked(folder: Path, events: list[Event], kit: Kit | None = None) -> QuestionView:
    boat = Boat(folder, kit)
    boat.send("heron", events)
    (question,) = boat.hub.view().questions
    return question


def keyed(events: list[Event], step: str, **fields: str) -> list[Event]:
    start = events[-1].at
    return [
        *events,
        *(
            Answered(at=start + 1.0 + number, step=step, field=field, text=text)
            for number, (field, text) in enumerate(fields.items())
        ),
    ]


def test_a_substitute_in_both_eyes_gives_both_reasons(tmp_path: Path) -> None:
    demo = demo_kit()
    kit = replace(demo, limits=replace(demo.limits, strongest_cylinder_d=-4.0))
    turns = opened(kit, VirtualHelper(kit, 3, CAREFUL), 3, MORNING, DATE)
    eye = EyeOrder(parse_power("-1.00/-3.25x90"))
    turns.send(OrderHandedOver(at=turns.at, order=Order(eye, eye, pd_mm=62.0, case="401")))
    turns.until(asks)
    (tmp_path / "board").mkdir()
    question = asked(tmp_path / "board", turns.events, kit)
    assert question.code == "plan"
    assert [reason.split(" eye")[0] for reason in question.reasons] == ["the right", "the left"]
    assert all("leaving a blur of" in reason for reason in question.reasons)
    assert len(question.plan) == 3


def test_a_wearer_who_sees_badly(tmp_path: Path) -> None:
    boat = Boat(tmp_path)
    events = session("01-smooth-pair", boat.kit, at("wearer"))
    question = asked(tmp_path, keyed(events, "wearer", comfortable="+", acuity="24"))
    assert question.reasons == ["the wearer does not see well enough"]
    assert question.readings[0].startswith("the wearer reads 6/24; worse than 6/")
    assert (question.yes_does, question.no_does) == ("hand it over all the same", "give this pair up")
    assert any(row.startswith("right reads") for row in question.readings)


def test_spectacles_that_do_not_sit_well(tmp_path: Path) -> None:
    boat = Boat(tmp_path)
    events = session("01-smooth-pair", boat.kit, at("wearer"))
    question = asked(tmp_path, keyed(events, "wearer", comfortable="-", acuity="6"))
    assert question.reasons == ["the spectacles do not sit well"]


def test_a_call_says_what_was_refused_before_it(tmp_path: Path) -> None:
    boat = Boat(tmp_path)
    events = session("01-smooth-pair", boat.kit, at("fetch", "right"))
    for _ in range(2):
        events = keyed(events, "fetch", check_number="00")
    question = asked(tmp_path, [*events, HelpAsked(at=events[-1].at + 1.0)])
    assert (
        question.readings[0]
        == "refused 2 times in a row at this step: That is not the right pocket. Look again."
    )
    assert question.doing == "fetching the lens"
    assert question.eye == "right"


def test_a_call_with_no_pair_in_hand_has_nothing_to_give_up(tmp_path: Path) -> None:
    boat = Boat(tmp_path)
    events = session("01-smooth-pair", boat.kit, at("zero"))
    question = asked(tmp_path, [*events, HelpAsked(at=events[-1].at + 1.0)])
    assert question.yes_does == question.no_does == "go on with the step"
    assert question.case is None
    assert question.plan == []


def test_a_pair_that_keeps_failing_shows_its_figures(tmp_path: Path) -> None:
    """The result is looked at again and again with the same wrong readings until the supervisor is asked."""
    boat = Boat(tmp_path)
    kit = boat.kit
    turns = opened(kit, VirtualHelper(kit, 3, CAREFUL), 3, MORNING, DATE)
    power = parse_power("-2.00/-1.00x30")
    turns.send(
        OrderHandedOver(at=turns.at, order=Order(EyeOrder(power), EyeOrder(power), pd_mm=62.0, case="402"))
    )
    for _ in range(400):
        if asks(turns.bench):
            break
        wanted = turns.listening()
        if wanted.step == "distance" and wanted.field == "height":
            turns.key("5")
        else:
            turns.turn()
    question = asked(tmp_path, turns.events)
    assert question.code == "stuck"
    assert question.reasons == ["one lens sits higher than the other", "too much prism for these eyes"]
    assert any(row.startswith("not right: ") or "heights 5.0 mm apart" in row for row in question.readings)
    assert msgspec.json.encode(question)
