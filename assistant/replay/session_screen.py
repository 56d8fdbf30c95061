"""One session on the screen: the helper's picture, what came and was said, readings and time to scale, the track.

Widgets and keys only: what is shown comes from `telling`, where one stands from `Viewing`.
"""

from collections.abc import Callable
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Static

from assistant.journal.errors import RecordError
from assistant.replay import session_lines
from assistant.replay.notes import MOST_CHARACTERS
from assistant.replay.playing import USUAL_SPEED, faster, slower, wait_s
from assistant.replay.telling import differing_count
from assistant.replay.viewing import Viewing
from assistant.ui.glyphs import Glyphs, for_terminal
from assistant.ui.one_line import OneLine
from assistant.ui.picture_view import PictureView
from assistant.ui.trail import Trail
from assistant.workflow.agenda import trail

WIDE_COLUMNS = 110
TALL_ROWS = 32
LEAST_COLUMNS = 40
"""A narrower window cuts lines off."""
GAUGES_SHOWN = {False: 3, True: 10}
"""By whether the screen is tall; those outside their window come first."""
KEYS = "space play  <> step  mM mistake  +- speed  {look}  w note  Esc list  ? all"
LOOK = {False: "c clip", True: "d differs"}
"""What there is to look for besides mistakes, by whether the session is decided again."""
ALL_KEYS = (
    "Left and right, b and n: step. Up and down: more of the text. Home and End: first and last."
    " m: next mistake, M: the one before."
    " d: next step that would be decided differently. c: play what was said. h: hear it again with the model"
    " given, H: all of them. w: write a note. e: in English, or as it was said. Escape: back to the list."
    " In the line of signs: ! something went wrong, x decided differently, n a note."
)


class SessionScreen(Screen[None]):
    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        ("space", "play", "play"),
        ("right,n,enter", "step(1)", "on"),
        ("left,b", "step(-1)", "back"),
        ("m", "next_mistake", "mistake"),
        ("M", "previous_mistake", "mistake before"),
        ("d", "next_difference", "differs"),
        ("plus,equals_sign", "speed(1)", "faster"),
        ("minus", "speed(-1)", "slower"),
        ("home", "edge(0)", "first"),
        ("end", "edge(1)", "last"),
        ("c", "app.clip", "clip"),
        ("h", "app.hear", "hear again"),
        ("H", "app.hear_all", "hear all again"),
        ("w", "write", "note"),
        ("e", "english", "English"),
        ("up", "scroll(-1)", "up"),
        ("down", "scroll(1)", "down"),
        ("question_mark", "keys", "all keys"),
        ("escape,q", "app.leave_session", "list"),
    ]

    def __init__(self, viewing: Viewing, glyphs: Glyphs, now: Callable[[], float]) -> None:
        super().__init__()
        self.viewing = viewing
        self._glyphs, self._now = glyphs, now
        self.speed = USUAL_SPEED
        self._timer: Timer | None = None
        self._english = False
        self._said = ""
        """What the program has to tell of this moment: no sound, a note kept."""

    def compose(self) -> ComposeResult:
        yield Static("", id="head", markup=False)
        yield Trail(self._glyphs, id="trail")
        with Horizontal(id="moment"):
            yield PictureView(self._glyphs, id="picture")
            with VerticalScroll(id="beside", can_focus=False):
                yield Static("", id="told", markup=False)
        yield Static("", id="gauges", markup=False)
        yield Static("", id="track", markup=False)
        yield Static("", id="message", markup=False)
        yield Static(KEYS.format(look=LOOK[bool(self.viewing.under)]), id="keys", markup=False)

    def on_mount(self) -> None:
        viewing = self.viewing
        differing = (differing_count(viewing),) if viewing.under else ()
        self._said = "\n".join((*viewing.troubles, *viewing.opened.remarks, *differing))
        self.show()

    def on_resize(self, event: events.Resize) -> None:
        self.set_class(event.size.width >= WIDE_COLUMNS, "wide")
        self.call_after_refresh(self.show)

    @property
    def playing(self) -> bool:
        return self._timer is not None

    def show(self) -> None:
        """Everything of the moment where one stands."""
        viewing, columns, glyphs = self.viewing, max(LEAST_COLUMNS, self.size.width) - 2, self._glyphs
        most = GAUGES_SHOWN[self.size.height >= TALL_ROWS]
        readings = session_lines.gauges(viewing, columns, most, glyphs)
        marks = session_lines.track_lines(viewing, columns, glyphs)
        self._write("head", session_lines.head(viewing, self.playing, self.speed))
        self.query_one(Trail).show(*trail(viewing.moment.after))
        self.query_one("#picture", PictureView).picture = viewing.moment.picture
        told = session_lines.told(viewing, self._english)
        self._write("told", session_lines.styled(told, glyphs, first="bold"))
        self._write("gauges", session_lines.styled(readings, glyphs))
        self._write("track", "\n".join(marks))
        self._write("message", for_terminal(self._said, glyphs))

    def _write(self, place: str, text: Content | str) -> None:
        self.query_one(f"#{place}", Static).update(text)

    def say(self, text: str) -> None:
        """Tell something of this moment; it goes when another is shown."""
        self._said = text
        self._write("message", for_terminal(text, self._glyphs))

    # where one stands

    def _go(self, moved: bool, otherwise: str) -> None:
        self._stop()
        self._said = "" if moved else otherwise
        self.show()

    def action_step(self, by: int) -> None:
        self._go(self.viewing.step(by), "That was the last step." if by > 0 else "That was the first step.")

    def action_edge(self, last: int) -> None:
        day = self.viewing.day
        self._go(self.viewing.go(day.last if last else day.first), "")

    def action_next_mistake(self) -> None:
        self._go(self.viewing.next_mistake(), "No mistake after this.")

    def action_previous_mistake(self) -> None:
        self._go(self.viewing.previous_mistake(), "No mistake before this.")

    def action_next_difference(self) -> None:
        under = self.viewing.under
        otherwise = f"Nothing after this would be decided differently under {under}."
        none = "Nothing to compare with: start with --kit FOLDER or --standard NAME."
        self._go(self.viewing.next_difference(), otherwise if under else none)

    # playing

    def action_play(self) -> None:
        if self.playing:
            self._stop()
        else:
            self._wait()
        self.show()

    def action_speed(self, by: int) -> None:
        self.speed = faster(self.speed) if by > 0 else slower(self.speed)
        if self.playing:
            self._stop()
            self._wait()
        self.show()

    def _wait(self) -> None:
        """Until the next moment's time has come."""
        viewing = self.viewing
        if viewing.place >= viewing.day.last:
            self._said = "That was the last step."
            return
        following = viewing.opened.timeline[viewing.place + 1]
        self._timer = self.set_timer(wait_s(viewing.moment, following, self.speed), self._play_on)

    def _play_on(self) -> None:
        self._timer = None
        self._said = ""
        self.viewing.step(1)
        self._wait()
        self.show()
        if self.viewing.moment.entry is not None and self.viewing.moment.entry.clip is not None:
            self.app.call_later(self.app.run_action, "clip")

    def _stop(self) -> None:
        if self._timer is not None:
            self._timer.stop()
            self._timer = None

    # notes and words

    def action_scroll(self, by: int) -> None:
        """What stands beside the picture, where there is more of it than has room."""
        self.query_one("#beside", VerticalScroll).scroll_relative(y=by, animate=False)

    def action_keys(self) -> None:
        self.say(ALL_KEYS)

    def action_english(self) -> None:
        self._english = not self._english
        self.show()

    def action_write(self) -> None:
        self._stop()
        self.app.push_screen(
            OneLine(
                "Note at this moment (empty takes it away)",
                "Enter keeps it    Escape leaves it as it was",
                text=self.viewing.note,
                most=MOST_CHARACTERS,
            ),
            self._written,
        )

    def _written(self, text: str | None) -> None:
        if text is None:
            return
        try:
            self.viewing.write(text, self._now())
            self._said = "Note kept." if text.strip() else "Note taken away."
        except (RecordError, ValueError) as error:
            self._said = str(error)
        self.show()
