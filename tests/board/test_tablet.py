"""The board's page in headless Chromium, over a real socket, by taps and keys."""

import dataclasses
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest
from full_board import CODE, called, morning, session
from lan import lan
from served_boat import ServedBoat, served_boat
from tablet import LYING, STANDING, Tablet

from assistant.hub.protocol import Answer, Counted, Mail, Pair
from assistant.workflow.events import OrderHandedOver


@pytest.fixture
def served(tmp_path: Path) -> Iterator[ServedBoat]:
    with served_boat(morning(tmp_path, 8)) as boat:
        yield boat


def sent(served: ServedBoat, bench: str) -> list[Mail | None]:
    return served.call(lambda: list(served.boat.mail[bench]))


def test_the_code_opens_the_board_and_a_wrong_one_does_not(tablet: Tablet, served: ServedBoat) -> None:
    tablet.driver.get(served.address)
    tablet.log_in("1111")
    tablet.until(lambda: "no supervisor's code" in tablet.one("login-trouble").text)
    assert not tablet.one("board").is_displayed()
    tablet.log_in(CODE)
    tablet.until(lambda: tablet.one("board").is_displayed())
    assert tablet.one("kit").text == "Tamarind Coast boat clinic"


@pytest.mark.parametrize("size", [LYING, STANDING])
def test_every_bench_is_shown_and_nothing_sticks_out(
    tablet: Tablet, served: ServedBoat, size: tuple[int, int]
) -> None:
    tablet.sized(size)
    tablet.opened(served.address)
    names = tablet.texts(".bench h3")
    assert names == ["crab", "egret", "gecko", "heron", "otter", "ray", "tern", "turtle"]
    states = dict(zip(names, tablet.texts(".bench .state"), strict=True))
    assert states["otter"] == "AWAY"
    assert states["heron"] == states["egret"] == "ASKS YOU"
    assert states["gecko"] == states["turtle"] == "LATE"
    assert states["ray"] == "at work"
    turtle = tablet.texts(".bench")[7]
    for part in ("case 221", "FAILED: left axis +63° (allowed 2)", "in each other's rims", "of 0:10"):
        assert part in turtle
    wide = "return document.documentElement.scrollWidth - window.innerWidth"
    assert tablet.driver.execute_script(wide) <= 0
    drawn = "return Array.from(document.querySelectorAll('.bench .sign use'), u => u.getBBox().width)"
    assert min(tablet.driver.execute_script(drawn)) > 10
    small = tablet.driver.execute_script(
        "return Array.from(document.querySelectorAll('button, input'))"
        ".filter(e => e.offsetHeight > 0 && e.offsetHeight < 44).length"
    )
    assert small == 0, "a finger needs 44 pixels"


def test_a_question_is_answered_by_two_taps_with_a_reason(tablet: Tablet, served: ServedBoat) -> None:
    tablet.opened(served.address)
    assert tablet.texts(".question h3")[0] == "egret: The helper calls for help"
    tablet.driver.find_element("css selector", ".question input").send_keys("try on")
    served.call(lambda: served.boat.send("plover", session("02-wrong-pocket", served.boat.kit)))
    tablet.until(lambda: "plover" in tablet.texts(".bench h3"))
    kept = tablet.driver.execute_script("return document.querySelector('.question input').value")
    assert kept == "try on", "what is half written stays while the board goes on"
    tablet.press(".question .yes")
    assert sent(served, "egret") == []
    assert tablet.texts(".question .sure") == ["Send to egret: YES, go on with the step"]
    tablet.press(".question .sure")
    tablet.until(lambda: "on its way to egret" in tablet.texts(".question")[0])
    (answer,) = sent(served, "egret")
    assert isinstance(answer, Answer)
    assert (answer.yes, answer.code, answer.reason) == (True, CODE, "try on")
    served.call(lambda: served.boat.take_up("egret"))
    tablet.until(lambda: tablet.texts(".question h3") == ["heron: May this pair be made as planned?"])


def test_turning_back_sends_nothing_and_no_is_no(tablet: Tablet, served: ServedBoat) -> None:
    tablet.opened(served.address)
    tablet.press(".question .no")
    tablet.press(".question .sure + button")
    assert len(tablet.texts(".question")) == 2
    assert sent(served, "egret") == []
    tablet.press(".question .no")
    tablet.press(".question .sure")
    tablet.until(lambda: len(sent(served, "egret")) == 1)
    (answer,) = sent(served, "egret")
    assert isinstance(answer, Answer)
    assert not answer.yes


def test_a_new_question_shows_by_itself_and_in_the_title(tablet: Tablet, served: ServedBoat) -> None:
    tablet.opened(served.address)
    tablet.until(lambda: tablet.driver.title == "(2) The board")
    events = session("05-pin-too-short", served.boat.kit, lambda bench: bench.pair is not None)
    served.call(lambda: served.boat.send("pelican", called(events)))
    tablet.until(lambda: "pelican: The helper calls for help" in tablet.texts(".question h3"))
    tablet.until(lambda: tablet.driver.title == "(3) The board")


def test_the_chime_rings_once_for_a_question(tablet: Tablet, served: ServedBoat) -> None:
    tablet.driver.get(served.address)
    tablet.driver.execute_script(
        "window.tones = 0; const make = AudioContext.prototype.createOscillator;"
        "AudioContext.prototype.createOscillator = function () { window.tones += 1; return make.call(this); };"
    )

    def tones() -> int:
        return int(tablet.driver.execute_script("return window.tones"))

    tablet.log_in(CODE)
    tablet.until(lambda: tones() == 2)
    seen = tablet.texts(".question .time")
    tablet.until(lambda: tablet.texts(".question .time") != seen)
    assert tones() == 2, "two questions were there, one chime of two tones rang, and no more"
    events = session("05-pin-too-short", served.boat.kit, lambda bench: bench.pair is not None)
    served.call(lambda: served.boat.send("pelican", called(events)))
    tablet.until(lambda: tones() == 4)


def test_a_page_opened_again_asks_for_no_code_but_for_a_tap_to_sound(
    tablet: Tablet, served: ServedBoat
) -> None:
    tablet.opened(served.address)
    tablet.until(lambda: not tablet.one("sound").is_displayed())
    tablet.driver.refresh()
    tablet.until(lambda: tablet.one("board").is_displayed())
    assert tablet.one("sound").is_displayed()
    tablet.one("sound").click()
    tablet.until(lambda: not tablet.one("sound").is_displayed())


def test_a_pocket_is_counted(tablet: Tablet, served: ServedBoat) -> None:
    tablet.opened(served.address)
    tablet.one("pocket").send_keys("170")
    tablet.one("lenses").send_keys("3")
    tablet.press("#counting button")
    tablet.until(lambda: tablet.one("said").text.startswith("Pocket 170: 3 lenses"))
    counts = [mail for box in served.boat.mail.values() for mail in box if isinstance(mail, Counted)]
    assert {(mail.pocket, mail.count) for mail in counts} == {(170, 3)}
    tablet.one("pocket").send_keys("999999")
    tablet.one("lenses").send_keys("1")
    tablet.press("#counting button")
    tablet.until(lambda: "pocket 999999 is not in the bank" in tablet.one("said").text)


def test_a_bench_is_let_go_after_a_second_tap(tablet: Tablet, served: ServedBoat) -> None:
    door = served.boat.desk.door
    served.call(lambda: door.pair(Pair(bench="crab", code=door.code, kit=served.boat.hub.mark)))
    tablet.opened(served.address)
    tablet.press("summary")
    tablet.press(".pair button")
    assert tablet.texts(".pair button")[0] == "Sure? Let go: crab"
    assert "crab" in served.call(lambda: door.paired)
    tablet.press(".pair button")
    tablet.until(lambda: "crab" not in served.call(lambda: door.paired))
    tablet.until(lambda: "crab: let go" in tablet.one("said").text)


def test_a_board_that_goes_and_comes_back(tablet: Tablet, tmp_path: Path) -> None:
    boat = morning(tmp_path, 4)
    with served_boat(boat) as served:
        tablet.opened(served.address)
        port = int(served.address.rpartition(":")[2])
    tablet.until(lambda: "has not answered" in tablet.one("away").text, 20)
    with served_boat(boat, port):
        tablet.until(lambda: not tablet.one("away").is_displayed(), 20)
        assert len(tablet.texts(".bench")) == 4


def test_a_connection_that_died_without_a_word_is_made_again(tablet: Tablet, served: ServedBoat) -> None:
    with lan() as network:
        lane = network.lane(int(served.address.rpartition(":")[2]))
        tablet.opened(f"http://{lane.address}")
        lane.forget()
        tablet.until(lambda: "has not answered" in tablet.one("away").text, 20)
        tablet.until(lambda: not tablet.one("away").is_displayed(), 20)
        served.call(lambda: served.boat.send("plover", session("02-wrong-pocket", served.boat.kit)))
        tablet.until(lambda: "plover" in tablet.texts(".bench h3"))
        tablet.driver.get("about:blank")


def test_a_tablet_that_slept_asks_for_a_tap_to_sound_again(tablet: Tablet, served: ServedBoat) -> None:
    tablet.driver.get(served.address)
    tablet.driver.execute_script(
        "const make = window.AudioContext; window.AudioContext = function () { return window.made = new make(); };"
    )
    tablet.log_in(CODE)
    tablet.until(lambda: tablet.one("board").is_displayed() and not tablet.one("sound").is_displayed())
    tablet.driver.execute_script("window.made.suspend()")
    tablet.until(lambda: tablet.one("sound").is_displayed())
    tablet.one("sound").click()
    tablet.until(lambda: not tablet.one("sound").is_displayed())


def test_nothing_is_asked_of_any_other_address(tablet: Tablet, served: ServedBoat) -> None:
    tablet.hosts()
    tablet.complaints()
    tablet.opened(served.address)
    tablet.until(lambda: len(tablet.texts(".bench")) == 8)
    hosts = {host for host in tablet.hosts() if host}
    assert served.address.removeprefix("http://") in hosts
    assert {host.partition(":")[0] for host in hosts} == {"127.0.0.1"}
    # asked once without a session: the page then asks for the code
    assert [told for told in tablet.complaints() if "401" not in told] == []


def test_a_case_from_outside_is_never_markup(tablet: Tablet, served: ServedBoat) -> None:
    case = "<img src=x>"
    events = session("12-taken-back", served.boat.kit, lambda bench: bench.pair is not None)
    renamed = [
        msgspec.structs.replace(event, order=dataclasses.replace(event.order, case=case))
        if isinstance(event, OrderHandedOver)
        else event
        for event in events
    ]
    served.call(lambda: served.boat.send("pelican", renamed))
    tablet.opened(served.address)
    tablet.until(lambda: any(f"case {case}" in text for text in tablet.texts(".bench")))
    assert tablet.driver.execute_script("return document.querySelectorAll('img').length") == 0
