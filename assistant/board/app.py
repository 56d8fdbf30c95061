"""The board on a full terminal. It shows the hub's view and carries out what the supervisor decides."""

from collections.abc import Callable
from pathlib import Path
from typing import ClassVar, Final

from textual import work
from textual.app import App
from textual.binding import Binding, BindingType
from textual.notifications import SeverityLevel
from textual.widgets import OptionList

from assistant.board.asked import AskedScreen
from assistant.board.day import DayScreen
from assistant.board.desk import Desk, ReportError, pocket_and_count
from assistant.board.pairing import PairingScreen
from assistant.board.screen import BoardScreen
from assistant.hub.notdone import NotDone
from assistant.hub.views import FullView
from assistant.speech.errors import SpeechError
from assistant.ui.glyphs import Glyphs
from assistant.ui.one_line import OneLine

LOOK_S: Final = 0.2
"""How often the hub is looked at for changes; once a second for what only time changes."""
_LOOKS_A_SECOND: Final = round(1.0 / LOOK_S)


class BoardApp(App[None]):
    CSS_PATH = "board.tcss"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "today", "today"),
        Binding("p", "pairing", "pair"),
        Binding("c", "count", "count a pocket"),
        Binding("r", "report", "report"),
        Binding("q", "leave", "end"),
        Binding("ctrl+c", "leave", show=False),
    ]

    def __init__(self, desk: Desk, glyphs: Glyphs, reports: Path, chime: Callable[[], None] | None) -> None:
        """`chime` rings once and raises `SpeechError` where it cannot; None: this board keeps quiet."""
        super().__init__()
        self.desk, self._glyphs, self._reports, self._chime = desk, glyphs, reports, chime
        self.board_screen = BoardScreen(glyphs)
        self.board_screen.muted = chime is None
        self._rung_for: set[tuple[str, int]] = set()
        self._seen: tuple[int, str] | None = None
        self._looks = 0

    async def on_mount(self) -> None:
        self.set_class(self._glyphs is Glyphs.ASCII, "ascii")
        await self.push_screen(self.board_screen)
        await self._show(self.desk.view())
        self.set_interval(LOOK_S, self._look)

    async def _look(self) -> None:
        if not self.board_screen.is_attached:
            return  # the program is ending
        self._looks += 1
        if self.desk.state != self._seen or self._looks % _LOOKS_A_SECOND == 0:
            await self._show(self.desk.view())

    async def _show(self, view: FullView) -> None:
        self._seen = self.desk.state
        self._ring_for_new(view)
        await self.board_screen.show(view)
        top = self.screen
        if isinstance(top, AskedScreen | PairingScreen | DayScreen) and top.is_mounted:
            top.show(view)

    def notify(
        self,
        message: str,
        *,
        title: str = "",
        severity: SeverityLevel = "information",
        timeout: float | None = None,
        markup: bool = False,
    ) -> None:
        """As written: sentences hold what was keyed and names of files, whose brackets mean nothing."""
        super().notify(message, title=title, severity=severity, timeout=timeout, markup=markup)

    # the chime

    def _ring_for_new(self, view: FullView) -> None:
        """Once for what is new, however long it waits."""
        waiting = {(q.bench, q.line) for q in view.board.questions if not q.answered}
        new = waiting - self._rung_for
        self._rung_for |= new
        if new:
            self.bell()
            if self._chime is not None:
                self._ring(self._chime)

    @work(thread=True, exclusive=True, group="chime")
    def _ring(self, chime: Callable[[], None]) -> None:
        try:
            chime()
        except SpeechError as error:
            self.call_from_thread(self._sounds, str(error))
        else:
            self.call_from_thread(self._sounds, "")

    def _sounds(self, trouble: str) -> None:
        """Keep the sign of a board that cannot be heard; say why once."""
        if trouble and not self.board_screen.muted:
            self.notify(f"No sound, questions show by a sign only: {trouble}", severity="warning")
        self.board_screen.muted = bool(trouble)

    # questions

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        if event.option_list.id == "questions":
            self._open(event.option.id or "")

    def _open(self, key: str) -> None:
        view = self.desk.view().board
        for question in view.questions:
            if f"{question.bench}:{question.line}" == key:
                self.push_screen(AskedScreen(question, view.now, self._glyphs))

    @work
    async def on_asked_screen_decided(self, decided: AskedScreen.Decided) -> None:
        question, word = decided.question, "yes" if decided.yes else "no"
        if not await self._unlocked():
            return
        does = question.yes_does if decided.yes else question.no_does
        title = f"{question.bench}: {word}, {does}.\nA reason for the record (may be left empty):"
        reason = await self.push_screen_wait(OneLine(title))
        if reason is not None:
            self._do(
                lambda: self.desk.answer(question.bench, question.line, decided.yes, reason),
                f"{word} sent to {question.bench}",
            )

    # what the supervisor does

    async def _unlocked(self) -> bool:
        """Ask for the code until it is right or the supervisor turns back; once is enough for the day."""
        why = ""
        while not self.desk.unlocked:
            code = await self.push_screen_wait(OneLine(f"{why}Your supervisor's code:", secret=True, most=20))
            if code is None:
                return False
            try:
                self.desk.unlock(code)
            except NotDone as refusal:
                why = f"Not taken: {refusal}.\n"
        return True

    def _do(self, act: Callable[[], object], said: str) -> None:
        try:
            act()
        except NotDone as refusal:
            self.notify(f"Not done: {refusal}", severity="error")
        else:
            self.notify(said)

    @work
    async def on_pairing_screen_meant(self, meant: PairingScreen.Meant) -> None:
        if not await self._unlocked():
            return
        bench, letting_go = meant.bench, meant.what == "let_go"
        title = (
            f"Let {bench} go? It works on alone and must be paired again to come back."
            if letting_go
            else f"Take away the board's copy of {bench}'s record? The bench sends it again."
        )
        if await self.push_screen_wait(OneLine(f"{title}\ny and Enter: do it")) == "y":
            act = self.desk.let_go if letting_go else self.desk.forget
            self._do(lambda: act(bench), f"{bench}: done")

    @work
    async def action_count(self) -> None:
        if not await self._unlocked():
            return
        title = "Which pocket did you count, and how many lenses are in it? (pocket, space, lenses)"
        told = await self.push_screen_wait(OneLine(title, most=20))
        if told is None:
            return
        try:
            pocket, found = pocket_and_count(told)
        except ValueError as error:
            self.notify(f"Not done: {told!r}: {error}", severity="error")
            return
        self._do(
            lambda: self.desk.count(pocket, found),
            f"pocket {pocket}: {found} lenses, sent to be written down",
        )

    def action_today(self) -> None:
        self.push_screen(DayScreen(self.desk.view(), self._glyphs))

    def action_pairing(self) -> None:
        self.push_screen(PairingScreen(self.desk.view(), self._glyphs))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What belongs to the main screen is offered there alone."""
        return action not in ("today", "pairing", "leave", "count") or self.screen is self.board_screen

    def action_report(self) -> None:
        try:
            page, table = self.desk.report(self._reports)
        except ReportError as error:
            self.notify(str(error), severity="error")
        else:
            self.notify(f"Written: {page} and {table.name}", timeout=10)

    @work
    async def action_leave(self) -> None:
        title = "End the board? The benches work on alone.\ny and Enter: end it"
        if await self.push_screen_wait(OneLine(title)) == "y":
            self.exit()
