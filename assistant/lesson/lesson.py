"""One practice pair, as a fold beside the bench's own: it shows what lies there, asks for the mistake, counts.

Rules
- The virtual hands work once for each thing that the bench asks; what they left there stays until they work
  again, after a refusal that their own work earned.
- Before the tool says that the hands' work is wrong, or passes the pair, the helper is asked which mistake it
  was; what the tool says then waits. A helper who raises a hand (the help key) names it sooner.
- A second press of the help key calls the supervisor, as at the bench.
- Nothing of this is in the record: the record is that of a bench.
"""

from dataclasses import dataclass, replace
from typing import Final

from assistant.language.prompts import Spoken
from assistant.lesson.lying import Lying, lying, scale_deg
from assistant.lesson.naming import STEP, Naming, naming, prompt_of
from assistant.lesson.score import Found, Score
from assistant.practice.helper import VirtualHelper, whole_axis
from assistant.practice.rehearsal import NONE, name_of
from assistant.ui.shapes import Scene
from assistant.workflow import pictures as p
from assistant.workflow.effects import Effect, Leave, Listen, Say, Show, Signal, Tone
from assistant.workflow.entry import read_entry
from assistant.workflow.events import Answered, AskedAgain, Event, HelpAsked, TakenBack
from assistant.workflow.fields import listen_for
from assistant.workflow.happened import judged
from assistant.workflow.present import present, spoken_args
from assistant.workflow.state import Bench, Item, Refusal
from assistant.workflow.steps import FieldKind

AGAIN: Final = Listen(STEP, "again", FieldKind.YES_NO)
_ONCE_MORE: Final = (Say("practice-again"), AGAIN)
UNREAD: Final = ("order", "key_order")
"""Steps whose entries are read off no instrument."""
Place = tuple[Item, str, int, int]


@dataclass(frozen=True, slots=True)
class Waiting:
    """A question of the practice, and what the tool says after it."""

    naming: Naming
    withheld: tuple[Effect, ...]


class Lesson:
    """Stands behind a bench's screen. `beside` scenes come from here (`scene`, `alone`, `text`)."""

    def __init__(self, hands: VirtualHelper, seed: int) -> None:
        self.hands, self._seed = hands, seed
        self.score = Score(name_of(hands.hands.to_come), None, Found.MISSED, 0, 0, 0)
        self.named = self.over = self.again = False
        self._waiting: Waiting | None = None
        self._shown: dict[Place, str] = {}
        self._as_shown = True
        """Everything keyed at this step was what the instruments showed."""
        self._lying: Lying | None = None

    @property
    def asked(self) -> Naming | None:
        """The question that waits for its answer."""
        return None if self._waiting is None else self._waiting.naming

    # what lies beside the tool's picture

    @property
    def scene(self) -> Scene | None:
        if self.over:
            return self.score.scene
        if self._waiting is not None:
            return self._waiting.naming.scene
        return None if self._lying is None else self._lying.scene

    @property
    def alone(self) -> bool:
        return self.over or self._waiting is not None

    @property
    def text(self) -> str:
        if self.over:
            return self.score.text
        if self._waiting is not None:
            return self._waiting.naming.text
        return "" if self._lying is None else self._lying.text

    # events that are the practice's own

    def takes(self, event: Event, bench: Bench) -> tuple[Effect, ...] | None:
        """What happens, where the event is for the practice; None where it is for the bench."""
        match event:
            case Answered(step=step) if step == STEP:
                return self._answered(event.text, bench)
            case HelpAsked() if bench.pair is None and not self.over:
                return present(bench)  # nothing was done yet that could be wrong
            case HelpAsked() if not self.named and self._waiting is None:
                return self._ask(bench, raised=True, withheld=())
            case HelpAsked() if self._waiting is not None:
                self._waiting = None
                return None
            case TakenBack() if self._waiting is not None and self._waiting.naming.raised:
                self._waiting = None
                return present(bench)
            case TakenBack() | AskedAgain() if self._waiting is not None:
                return self._read_out(self._waiting.naming)
            case _ if self.over:
                return _ONCE_MORE
            case _:
                return None

    def _answered(self, text: str, bench: Bench) -> tuple[Effect, ...]:
        question = _ONCE_MORE if self._waiting is None else _which(self._waiting.naming)
        read = read_entry(text, question[-1])
        if isinstance(read, Refusal):
            return (Signal(Tone.WRONG), Say(f"refused-{read.code}", spoken_args(read.args)), *question)
        if self._waiting is None:
            self.again = bool(read)
            return (Leave(),)
        chosen = self._waiting.naming.chosen(int(float(read)))
        if self._waiting.naming.raised:
            return self._named_by_hand(chosen, bench)
        return self._named_when_asked(chosen, self._waiting)

    def _named_by_hand(self, chosen: str, bench: Bench) -> tuple[Effect, ...]:
        self._waiting = None
        if chosen == NONE:
            return present(bench)
        if chosen != self._truth:
            self.score = replace(self.score, false_alarms=self.score.false_alarms + 1)
            return (Signal(Tone.WRONG), Say("practice-wrong"), *present(bench))
        self._settle(Found.RAISED)
        self._shown.clear()  # what is taken back now is done again, and rightly
        return (Signal(Tone.RIGHT), Say("practice-right"), *present(bench))

    def _named_when_asked(self, chosen: str, waiting: Waiting) -> tuple[Effect, ...]:
        if chosen == self._truth:
            self._settle(Found.SECOND if waiting.naming.crossed else Found.FIRST)
            return self._on(waiting, Tone.RIGHT, Say("practice-right"))
        if not waiting.naming.crossed:
            self._waiting = replace(waiting, naming=waiting.naming.without(chosen))
            return (Signal(Tone.WRONG), Say("practice-wrong"), *_which(self._waiting.naming))
        self._settle(Found.MISSED)
        return self._on(waiting, Tone.WRONG, Say("practice-was"), Say(prompt_of(self._truth)))

    def _settle(self, found: Found) -> None:
        happened = self.hands.happened
        eye = happened[0].eye if happened else None
        self.score = replace(self.score, mistake=self._truth, eye=eye, found=found)
        self.named = True

    def _on(self, waiting: Waiting, tone: Tone, *said: Say) -> tuple[Effect, ...]:
        """Back to what the tool had to say, without its own sign for right or wrong."""
        self._waiting = None
        rest = tuple(effect for effect in waiting.withheld if not isinstance(effect, Signal))
        return (Signal(tone), *said, *rest)

    @property
    def _truth(self) -> str:
        """The mistake that has happened by now."""
        happened = self.hands.happened
        return name_of(happened[0].slip) if happened else NONE

    # events that were the bench's

    def after(
        self, event: Event, before: Bench, bench: Bench, effects: tuple[Effect, ...]
    ) -> tuple[Effect, ...]:
        """What happens instead of `effects`; mostly these themselves."""
        if isinstance(event, Answered):
            self._count(event, before)
        if before.pair is not None and bench.pair is None:
            return self._scored()
        withheld = self._told(event, before, bench)
        self._look(bench, effects, anew=isinstance(event, TakenBack))
        return self._ask(bench, raised=False, withheld=effects) if withheld else effects

    def _count(self, event: Answered, before: Bench) -> None:
        """Whether a reading was keyed as the instrument shows it; what means the same is the same."""
        wanted = listen_for(before)
        shown = self._shown.get(_place(before, event.field))
        if wanted is None or shown is None or wanted.step in UNREAD:
            return
        differs = read_entry(event.text, wanted) != read_entry(shown, wanted)
        self._as_shown = self._as_shown and not differs
        if wanted.kind is not FieldKind.DONE:
            score = self.score
            self.score = replace(score, readings=score.readings + 1, misread=score.misread + differs)

    def _told(self, event: Event, before: Bench, bench: Bench) -> bool:
        """Whether the tool now says that the hands' work is wrong, or judges the pair; then they work anew."""
        refused = bench.refusal is not None and bench.refusal is not before.refusal
        earned = refused and self._as_shown
        if refused or bench.current != before.current:
            self._as_shown = True
        if earned:
            self._shown.clear()
        found_wrong = earned and self._truth != NONE
        return not self.named and (found_wrong or judged(before, event, bench) is not None)

    def _ask(self, bench: Bench, *, raised: bool, withheld: tuple[Effect, ...]) -> tuple[Effect, ...]:
        happened = self.hands.happened
        eye = happened[0].eye if happened else bench.current.eye
        # a hand raised before anything happened must not be told so by what is offered
        question = naming(self._coming, eye, self._seed, raised)
        self._waiting = Waiting(question, withheld)
        return (Signal(Tone.WAIT), *_which(question))

    @property
    def _coming(self) -> str:
        """The mistake of this practice, whether it has happened or is still to come."""
        planted = self.hands.hands.to_come
        return self._truth if planted is None else name_of(planted)

    def _read_out(self, question: Naming) -> tuple[Effect, ...]:
        """Every choice by its number and its sentence."""
        said: list[Effect] = [Say("practice-which")]
        for number, code in enumerate(question.offered, 1):
            said += [Say("practice-number", {"count": Spoken("count", number)}), Say(prompt_of(code))]
        return (*said, question.listen)

    def _scored(self) -> tuple[Effect, ...]:
        if not self.named:
            self._settle(Found.MISSED)
        self.over, self._lying = True, None
        lenses = self.score.lenses
        told = Say("practice-score", {"count": Spoken("count", lenses)})
        chimes = tuple(Signal(Tone.RIGHT) for _ in range(lenses)) or (Signal(Tone.WAIT),)
        return (*chimes, told, *_ONCE_MORE)

    def _look(self, bench: Bench, effects: tuple[Effect, ...], anew: bool) -> None:
        """Let the hands do what the bench asks, once, and see what lies there.

        `anew`: an entry was taken back; what is done again now undoes all that was done after it.
        """
        shows = [effect.picture for effect in effects if isinstance(effect, Show)]
        wanted = next((effect for effect in effects if isinstance(effect, Listen)), None)
        self._lying = None
        if not shows or wanted is None or wanted.step == "supervisor":
            return
        place = _place(bench, wanted.field)
        if place not in self._shown:
            if anew:
                self._shown.clear()
            keyed = self.hands.answer(effects)
            self._shown[place] = self._truly(shows[-1], wanted.field, keyed)
        self._lying = lying(self.hands.things, shows[-1], wanted.field, self._shown[place])

    def _truly(self, picture: p.Picture, field: str, keyed: str) -> str:
        """What the scale shows where the line lies, whatever the hands took it for."""
        if field != "scale" or not isinstance(picture, p.ProtractorPicture | p.RescuePicture):
            return keyed
        things = self.hands.things
        return whole_axis(scale_deg(things, things.lying[picture.eye], things.in_hand[picture.eye]))


def _which(question: Naming) -> tuple[Say, Listen]:
    """The question asked, as often as no answer to it was taken."""
    return (Say("practice-which"), question.listen)


def _place(bench: Bench, field: str) -> Place:
    """Where in the making of the pair an entry stands; work done anew has another place."""
    pair = bench.pair
    return (bench.current, field, len(pair.agenda) if pair else 0, pair.rescues if pair else 0)
