"""The bench line by line: one prompt, one answer. For pipes, serial lines, screen readers and tests.

A line is what the keypad would have keyed before Enter. `*` says it again, `/` calls for help, `<` takes the
last entry back; the end of the input leaves, with the record whole.
"""

from collections.abc import Iterable
from typing import TextIO

from assistant.bench.beside import Beside
from assistant.bench.captions import caption, language_of, named
from assistant.bench.linked import LinkedSession
from assistant.bench.session import Session
from assistant.hub.protocol import Mail
from assistant.workflow.effects import Ask, Effect, Leave, Listen, Say, Signal, Tone
from assistant.workflow.events import Answered, AskedAgain, Event, HelpAsked, TakenBack

TAKE_BACK = "<"
ALONE = "[~~]"
"""The board is away: lenses are planned on what was last known of the other benches."""
LIES = "[==]"
"""What lies on the bench, in practice."""
MOST_ENTRY = 200
"""Characters of a line. No answer is nearly as long, and the record keeps it as it came."""
SIGNS = {Tone.RIGHT: "[ok]", Tone.WRONG: "[!!]", Tone.WAIT: "[??]"}


def run(
    session: Session,
    effects: Iterable[Effect],
    source: Iterable[str | Mail],
    sink: TextIO,
    beside: Beside | None = None,
) -> None:
    """Work through the pair until the input ends or the supervisor lets the helper leave."""
    listening = _told(session, effects, sink, beside)
    for came in source:
        if isinstance(came, str) and len(came.strip()) > MOST_ENTRY:
            print(
                f"the line has {len(came.strip())} characters; allowed are {MOST_ENTRY}",
                file=sink,
                flush=True,
            )
            continue
        taken = _taken(session, came, listening)
        if taken is None:
            continue
        effects = taken
        listening = _told(session, effects, sink, beside)
        if any(isinstance(effect, Leave) for effect in effects):
            return


def _taken(session: Session, came: str | Mail, listening: Listen | None) -> tuple[Effect, ...] | None:
    """Take up a line of the input or the board's mail; None where it means nothing now."""
    if not isinstance(came, str):
        return (session.received(came) or None) if isinstance(session, LinkedSession) else None
    event = event_of(came.strip(), listening, session.now())
    return None if event is None else session.submit(event)


def event_of(text: str, listening: Listen | None, at: float) -> Event | None:
    """The event a line means; None when nothing is listened for."""
    if text == "*":
        return AskedAgain(at=at)
    if text == "/":
        return HelpAsked(at=at)
    if text == TAKE_BACK:
        return TakenBack(at=at)
    if listening is None:
        return None
    return Answered(at=at, step=listening.step, field=listening.field, text=text)


def _told(session: Session, effects: Iterable[Effect], sink: TextIO, beside: Beside | None) -> Listen | None:
    """Write what the effects say; return what is listened for now."""
    listening = None
    language = language_of(session.bench)
    for effect in effects:
        match effect:
            case Signal(tone):
                print(SIGNS[tone], file=sink)
            case Say():
                print(caption(effect, language), file=sink)
            case Ask(question, reasons):
                print(f"{SIGNS[Tone.WAIT]} {question} {' '.join(reasons)}".rstrip(), file=sink)
            case Listen():
                listening = effect
    if session.trouble:
        print(session.trouble, file=sink)
    if isinstance(session, LinkedSession) and session.alone:
        print(f"{ALONE} {session.board_trouble}".rstrip(), file=sink)
    if beside is not None and beside.text:
        print(f"{LIES} {beside.text}", file=sink)
    if listening is not None:
        print(named(session.bench, listening), file=sink)
    sink.flush()
    return listening
