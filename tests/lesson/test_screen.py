"""The bench's own screen with the virtual bench beside it: a whole practice, keyed, in each way of drawing."""

from pathlib import Path

import pytest
from benches import key
from pupil import Pupil, at_work
from textual.pilot import Pilot

from assistant.bench.app import BenchApp
from assistant.kit.profile import Kit
from assistant.lesson.lesson import AGAIN
from assistant.lesson.score import Found
from assistant.practice.slips import Slip
from assistant.ui.glyphs import Glyphs
from assistant.workflow.effects import Listen
from assistant.workflow.fields import listen_for


def app_of(pupil: Pupil, glyphs: Glyphs = Glyphs.SIXTEEN) -> BenchApp:
    app = BenchApp(pupil.practice.session, pupil.practice.opening, glyphs)
    app.beside = pupil.practice.lesson
    return app


def wanted(pupil: Pupil) -> Listen | None:
    """What the practice listens for now."""
    lesson = pupil.practice.lesson
    if lesson.over:
        return AGAIN
    return lesson.asked.listen if lesson.asked is not None else listen_for(pupil.practice.session.bench)


async def keyed_until(pupil: Pupil, pilot: Pilot[None], step: str) -> None:
    for _ in range(200):
        listen = wanted(pupil)
        assert listen is not None
        if listen.step == step:
            return
        pupil.effects = (listen,)
        await key(pilot, pupil.answer())
    raise AssertionError(f"never reached {step}")


def beside(app: BenchApp) -> tuple[bool, bool]:
    """Whether the tool's picture shows, and whether anything lies beside it."""
    return app.screen.query_one("#picture").display, app.screen.query_one("#beside").display


@pytest.mark.parametrize("glyphs", Glyphs)
async def test_a_whole_practice_on_the_screen(tmp_path: Path, demo: Kit, glyphs: Glyphs) -> None:
    pupil = at_work(tmp_path, demo, Slip.LENSES_SWAPPED)
    app = app_of(pupil, glyphs)
    async with app.run_test(size=(80, 24)) as pilot:
        assert beside(app) == (True, False)
        await keyed_until(pupil, pilot, "read")
        assert beside(app) == (True, True)
        await keyed_until(pupil, pilot, "practice")
        assert beside(app) == (False, True)
        await key(pilot, pupil.chosen())
        assert beside(app) == (True, False)
        await keyed_until(pupil, pilot, AGAIN.step)
        assert beside(app) == (False, True)
        await key(pilot, "+")
    assert not app.is_running
    assert pupil.practice.lesson.again
    assert pupil.practice.lesson.score.found is Found.FIRST


async def test_a_hand_raised_on_the_screen(tmp_path: Path, demo: Kit) -> None:
    pupil = at_work(tmp_path, demo, Slip.SLOT_DEEP)
    app = app_of(pupil)
    async with app.run_test(size=(80, 24)) as pilot:
        await keyed_until(pupil, pilot, "cut")
        await pilot.press("slash")
        assert beside(app) == (False, True)
        await key(pilot, pupil.chosen())
        assert pupil.practice.lesson.score.found is Found.RAISED
        assert beside(app) == (True, True)
