"""Somebody at a bench who says everything and keys nothing: through the virtual microphone, in real time."""

import asyncio
from collections.abc import Callable
from decimal import Decimal

from benches import careful
from hands import Hands
from textual.pilot import Pilot
from virtual_sound import VirtualSound

from assistant.bench.app import BenchApp
from assistant.bench.spoken import KEYED_ONLY, asked
from assistant.language.listening import TEXT_KINDS, Listening
from assistant.language.phrases import by_value
from assistant.language.spell import spell_number
from assistant.speech.synth import Synthesiser
from assistant.speech.voice import Voice

PATIENCE_S = 12.0
"""Longer than any prompt; a person then says it again."""
LOOK_S = 0.05


class Person:
    """Speaks one language with the synthesiser's voice."""

    def __init__(self, card: VirtualSound, synthesiser: Synthesiser, voice: Voice, language: str) -> None:
        self._card, self._synthesiser, self._voice = card, synthesiser, voice
        self.language = language
        self.entries = 0
        self.tries = 0

    async def make_pair(self, app: BenchApp, pilot: Pilot[None], until: str) -> None:
        """The start of the day is keyed, but for the numbers that are to be said; from the order on all is said."""
        number = ("en", "pt", "fr", "sw").index(self.language) + 1
        await careful(app, pilot, number, "voice")
        while app.session.bench.current.step == "voice":
            await self._answer(app)
        assert app.session.bench.the_day.voice, "the helper was not understood at the start of the day"
        await careful(app, pilot, number, "order")
        while app.session.bench.current.step != until:
            await self._answer(app)

    async def _answer(self, app: BenchApp) -> None:
        """One entry: said, read back, confirmed; said again where it was not understood."""
        hands = Hands(app.session.bench)
        wanted = hands.listening()
        question = asked(wanted, self.language)
        assert question is not None, f"{wanted.step} cannot be said ({', '.join(KEYED_ONLY)} are keyed)"
        keyed = hands.right_answer(wanted.step, wanted.field)
        words = self._words(keyed, question.listening)
        before = app.session.bench

        def answered() -> bool:
            return app.session.bench is not before

        self.entries += 1
        for _ in range(5):
            self.tries += 1
            await self._say(words)
            await self._until(lambda: answered() or app.reading_back)
            if keyed.isdigit() and question.listening in (Listening.AXIS, Listening.LENGTH):
                # fourteen may be forty: the bench wants it by its digits
                words = spell_number(keyed, Listening.DIGITS, self.language)
            if app.reading_back:
                await self._say(self._words("+", Listening.YES_NO))
                await self._until(answered)
            if answered():
                return
        raise AssertionError(f"{wanted.step} {wanted.field}: {words!r} was never understood")

    def _words(self, keyed: str, listening: Listening) -> str:
        if listening in (Listening.YES_NO, Listening.COMMANDS):
            value = "yes" if keyed in ("+", "") else "no"
            return " ".join(next(iter(by_value(listening, self.language)[value])))
        amount = keyed if listening in TEXT_KINDS else Decimal(keyed)
        return spell_number(amount, listening, self.language)

    async def _say(self, words: str) -> None:
        """Wait until the bench is silent, then speak."""
        await self._until(self._idle)
        await asyncio.sleep(0.35)  # the listening tone has just gone; a person breathes in
        sound = self._synthesiser.render(words, self.language)
        await asyncio.to_thread(self._card.speak, sound)

    def _idle(self) -> bool:
        return not self._voice.speaking

    async def _until(self, true: Callable[[], bool]) -> None:
        for _ in range(round(PATIENCE_S / LOOK_S)):
            await asyncio.sleep(LOOK_S)
            if true():
                return
