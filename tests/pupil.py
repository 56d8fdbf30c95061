"""Somebody who practises: reads what lies on the virtual bench, keys it, and names the mistake when asked."""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from assistant.commands.practice.session import Practice, begun
from assistant.kit.profile import Kit
from assistant.lesson.lesson import AGAIN
from assistant.lesson.naming import Naming
from assistant.practice.rehearsal import NONE, name_of, rehearsed
from assistant.practice.slips import Slip
from assistant.workflow.effects import Effect, Leave, Listen, Say
from assistant.workflow.events import Answered, Event, HelpAsked, TakenBack
from assistant.workflow.making import setting_shown

SEED = 3


@dataclass
class Pupil:
    """One practice; `names` answers the question which mistake it was, with a code."""

    practice: Practice
    names: Callable[["Pupil", Naming], str]
    parrots: bool = False
    """Keys the scale as it was told, not as it lies."""
    effects: tuple[Effect, ...] = ()
    said: list[str] = field(default_factory=list)
    """Ids of all that was said, in order."""

    def __post_init__(self) -> None:
        self.effects = self.practice.opening

    @property
    def listen(self) -> Listen:
        return next(effect for effect in self.effects if isinstance(effect, Listen))

    def send(self, event: Event) -> None:
        self.effects = self.practice.session.submit(event)
        self.said += [effect.text_id for effect in self.effects if isinstance(effect, Say)]

    def key(self, text: str) -> None:
        wanted = self.listen
        at = self.practice.session.now()
        self.send(Answered(at=at, step=wanted.step, field=wanted.field, text=text))

    def raise_hand(self) -> None:
        self.send(HelpAsked(at=self.practice.session.now()))

    def take_back(self) -> None:
        self.send(TakenBack(at=self.practice.session.now()))

    def until(self, *steps: str) -> None:
        for _ in range(300):
            if self.listen.step in steps or (self.practice.lesson.over and "score" in steps):
                return
            self.key(self.answer())
        raise AssertionError(f"never reached {steps}; stands at {self.listen}")

    def to_the_end(self) -> None:
        """Until the score stands there; then no more."""
        self.until("score")
        assert self.listen == AGAIN
        self.key("-")
        assert self.effects == (Leave(),)

    def answer(self) -> str:
        """What lies there, as it is keyed."""
        wanted, lies = self.listen, self.practice.lesson.text.split()
        match wanted.field:
            case "cause":
                return self.chosen()
            case "choice":
                return "1"
            case "done":
                return ""
            case "check_number":
                return lies[-1]
            case "whole":
                return "-" if "chipped" in lies else "+"
            case "outward":
                return "+" if lies == ["curved"] else "-"
            case "comfortable":
                return "+"
            case "scale" if self.parrots:
                bench = self.practice.session.bench
                return f"{setting_shown(bench, bench.the_eye):g}"
            case _:
                return lies[1]

    def chosen(self) -> str:
        question = self.practice.lesson.asked
        assert question is not None
        named = self.names(self, question)
        return "0" if named == NONE else str(question.offered.index(named) + 1)


def truth(pupil: Pupil, _question: Naming) -> str:
    """Whoever saw it all."""
    happened = pupil.practice.lesson.hands.happened
    return name_of(happened[0].slip if happened else None)


def wrong(pupil: Pupil, question: Naming) -> str:
    """Anything else, never the same twice."""
    right = truth(pupil, question)
    return next(code for code in question.offered if code not in (right, *question.crossed))


def at_work(
    folder: Path,
    kit: Kit,
    plant: Slip | None,
    names: Callable[[Pupil, Naming], str] = truth,
    parrots: bool = False,
    language: str = "en",
) -> Pupil:
    """A pupil in front of a practice with this mistake in it."""
    ticks = iter(range(1_762_000_000, 1_763_000_000, 5))
    practice = begun(kit, rehearsed(kit, SEED, plant), folder, language, lambda: float(next(ticks)))
    return Pupil(practice, names, parrots)
