"""The enrolment game on a full screen: the word as a picture, how the last one was, how far it is."""

import queue
from collections.abc import Callable
from typing import ClassVar, Final

from textual import events
from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from assistant.bench.keys import Act, pressed
from assistant.commands.voice.game_picture import keys_picture, progress_picture, result_picture, word_picture
from assistant.commands.voice.lesson import View
from assistant.speech.enrolment_game import Turn, Verdict, Wish
from assistant.ui.glyphs import Glyphs
from assistant.ui.hints import at_its_side
from assistant.ui.picture_view import SceneView
from assistant.ui.shapes import Scene
from assistant.workflow.pictures import Outcome

WISHES: Final = {Act.AGAIN: Wish.HEAR, Act.BACK: Wish.REDO, Act.HELP: Wish.STOP}


class GameApp(App[str]):
    """`give` runs in a thread of its own and gives the sentence that the app returns; what it raises stands in
    `failure` instead."""

    ENABLE_COMMAND_PALETTE = False
    CSS = """
    #work { height: 3fr; }
    #wrong, #right { width: 16; }
    #far { height: 1; margin: 1 2; }
    #keys { height: 5; }
    #caption { height: 3; content-align: center middle; text-align: center; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [("ctrl+q", "halt", ""), ("ctrl+c", "halt", "")]

    def __init__(self, give: Callable[[View], str], glyphs: Glyphs) -> None:
        super().__init__()
        self._give, self._glyphs = give, glyphs
        self._wishes: queue.SimpleQueue[Wish] = queue.SimpleQueue()
        self.failure: BaseException | None = None

    def compose(self) -> ComposeResult:
        with Horizontal(id="work"):
            yield SceneView(self._glyphs, id="wrong")
            yield SceneView(self._glyphs, id="word")
            yield SceneView(self._glyphs, id="right")
        yield SceneView(self._glyphs, id="far")
        yield Static("", id="caption", markup=False)
        yield SceneView(self._glyphs, id="keys")

    def on_mount(self) -> None:
        self.show("#keys", keys_picture())
        view = _FromThread(self, self._wishes)
        self.run_worker(lambda: self._give(view), thread=True, exit_on_error=False)

    def on_key(self, event: events.Key) -> None:
        key = pressed(event.key, event.character)
        wish = Wish.REDO if key.character == "-" else WISHES.get(key.act)
        if wish is not None:
            event.stop()
            self._wishes.put(wish)

    def action_halt(self) -> None:
        self._wishes.put(Wish.STOP)

    def show(self, where: str, scene: Scene | None) -> None:
        self.query_one(where, SceneView).scene = scene

    def show_outcome(self, outcome: Outcome | None) -> None:
        """The sign of the last word at its own side: not right at the left, right at the right."""
        for side in (Outcome.WRONG, Outcome.RIGHT):
            self.show(f"#{side.value}", at_its_side(side) if side is outcome else None)

    def show_caption(self, text: str) -> None:
        self.query_one("#caption", Static).update(text)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """The lesson is over."""
        if event.state is WorkerState.SUCCESS:
            self.exit(str(event.worker.result))
        elif event.state is WorkerState.ERROR:
            self.failure = event.worker.error
            self.exit("")


class _FromThread:
    """The view as the lesson's thread sees it."""

    def __init__(self, app: GameApp, wishes: "queue.SimpleQueue[Wish]") -> None:
        self._app, self._wishes = app, wishes
        self._turn: Turn | None = None

    def ask(self, turn: Turn, done: int, of: int) -> None:
        self._turn = turn
        self._show("#word", word_picture(turn, listening=False))
        self._show("#far", progress_picture(done, of))

    def listening(self) -> None:
        if self._turn is not None:
            self._app.call_from_thread(self._app.show_outcome, None)
            self._show("#word", word_picture(self._turn, listening=True))

    def tell(self, verdict: Verdict | None) -> None:
        good = verdict is Verdict.GOOD
        self._app.call_from_thread(self._app.show_outcome, Outcome.RIGHT if good else Outcome.WRONG)

    def caption(self, text: str) -> None:
        self._app.call_from_thread(self._app.show_caption, text)

    def progress(self, done: int, of: int) -> None:
        self._show("#word", None)
        self._show("#far", progress_picture(done, of))

    def result(self, good: bool) -> None:
        self._show("#word", result_picture(good))

    def wish(self) -> Wish | None:
        try:
            return self._wishes.get_nowait()
        except queue.Empty:
            return None

    def _show(self, where: str, scene: Scene | None) -> None:
        self._app.call_from_thread(self._app.show, where, scene)
