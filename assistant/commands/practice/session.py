"""The bench's own session with the virtual bench behind it, in a record of its own."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from assistant.bench.session import Session
from assistant.kit.profile import Kit
from assistant.language.lexicon import LANGUAGES
from assistant.lesson.lesson import Lesson
from assistant.practice.rehearsal import Chosen, virtual_helper
from assistant.workflow.effects import Effect, Listen
from assistant.workflow.events import Answered, Event, SupervisorAnswered

BENCH: Final = "practice"
"""The name in a practice's record: no bench is called so."""


class PracticeSession(Session):
    """A session whose lesson sees every event first, and what came of it afterwards."""

    lesson: Lesson | None = None
    """Set once the day is open."""

    def submit(self, event: Event) -> tuple[Effect, ...]:
        lesson = self.lesson
        own = None if lesson is None else lesson.takes(event, self.bench)
        if own is not None:
            return own
        before, effects = self.bench, super().submit(event)
        while lesson is not None and self._asks_the_supervisor and not self.trouble:
            effects = super().submit(self._granted())
        return effects if lesson is None or self.trouble else lesson.after(event, before, self.bench, effects)

    @property
    def _asks_the_supervisor(self) -> bool:
        """Whether the tool asks for a decision; a helper who calls gets the real supervisor."""
        return self.bench.question is not None and self.bench.question.code != "help"

    def _granted(self) -> Event:
        code = self.bench.kit.supervisor_codes[0]
        return SupervisorAnswered(at=self.now(), yes=True, code=code, reason="practice")


@dataclass(frozen=True, slots=True)
class Practice:
    folder: Path
    """Its own; the record lies there."""
    session: PracticeSession
    lesson: Lesson
    opening: tuple[Effect, ...]


def begun(kit: Kit, wanted: Chosen, folder: Path, language: str, clock: Callable[[], float]) -> Practice:
    """A practice bench with its day opened and one order waiting. Raises what `Session.open` raises."""
    own = _unused(folder)
    session, _ = PracticeSession.open(own, BENCH, kit, clock)
    hands = virtual_helper(kit, wanted, LANGUAGES.index(language) + 1)
    effects = session.begin_day(datetime.fromtimestamp(clock()).date().isoformat(), (wanted.order,))
    while session.bench.the_day.agenda:
        asked = next(effect for effect in effects if isinstance(effect, Listen))
        text = hands.answer(effects)
        effects = session.submit(Answered(at=session.now(), step=asked.step, field=asked.field, text=text))
    session.lesson = Lesson(hands, wanted.seed)
    return Practice(own, session, session.lesson, effects)


def _unused(folder: Path) -> Path:
    """The next numbered folder in a helper's own: every practice keeps its record."""
    number = 1
    while True:
        path = folder / f"{number:04d}"
        try:
            path.mkdir(parents=True)
        except FileExistsError:
            number += 1
        else:
            return path
