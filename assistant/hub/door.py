"""Who is let in: benches by a code shown on the board, then by a token; supervisors by their own code.

Tokens are kept as hashes. Supervisors' sessions live as long as the board runs, and know the code that was
keyed, because every answer carries it into the record.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from assistant.hub.notdone import NotDone
from assistant.hub.protocol import Login, Pair, Paired
from assistant.hub.store import Store
from assistant.hub.throttle import Throttle, new_code, new_token, same, token_hash
from assistant.kit.profile import Kit

MOST_SESSIONS: Final = 50


@dataclass(slots=True)
class Door:
    kit: Kit
    mark: str
    store: Store
    clock: Callable[[], float]
    code: str = field(default_factory=new_code)
    """What a bench must key now. Another one after each pairing and after five wrong ones."""
    _tokens: dict[str, str] = field(init=False)
    _sessions: dict[str, str] = field(default_factory=dict)
    _pairing: Throttle = field(default_factory=Throttle)
    _logins: Throttle = field(default_factory=Throttle)

    def __post_init__(self) -> None:
        self._tokens = self.store.tokens()

    def pair(self, request: Pair) -> Paired:
        """A token for this bench. Raises `NotDone`."""
        now = self.clock()
        _require_patience(self._pairing, now)
        if not same(request.code, self.code):
            if self._pairing.wrong(now):
                self.code = new_code()
            raise NotDone(403, "code", "the pairing code is not the one that the board shows")
        if request.kit != self.mark:
            raise NotDone(409, "kit", f"bench {request.bench} works with another kit than the board")
        if request.bench in self._tokens.values():
            taken = f"a bench {request.bench} is paired already; the supervisor must let it go first"
            raise NotDone(409, "taken", taken)
        token = new_token()
        self.store.add_token(token_hash(token), request.bench, now)
        self._pairing.right()
        self.code = new_code()
        self._tokens[token_hash(token)] = request.bench
        return Paired(token=token)

    def bench_of(self, token: str) -> str:
        """The bench that a token is for. Raises `NotDone`."""
        bench = self._tokens.get(token_hash(token))
        if bench is None:
            raise NotDone(
                401, "token", "this bench is not paired with the board; pair it with the board's code"
            )
        return bench

    @property
    def paired(self) -> tuple[str, ...]:
        return tuple(sorted(set(self._tokens.values())))

    def revoke(self, bench: str) -> None:
        """Its token is good no more. Raises `NotDone`."""
        if bench not in self._tokens.values():
            raise NotDone(404, "bench", f"no bench {bench} is paired")
        self.store.revoke(bench)
        self._tokens = {known: name for known, name in self._tokens.items() if name != bench}

    def login(self, request: Login) -> str:
        """A session for the supervisor who keyed this code. Raises `NotDone`."""
        now = self.clock()
        _require_patience(self._logins, now)
        matches = [same(request.code, code) for code in self.kit.supervisor_codes]
        if not any(matches):
            self._logins.wrong(now)
            raise NotDone(403, "code", "this is no supervisor's code")
        self._logins.right()
        session = new_token()
        self._sessions[token_hash(session)] = request.code
        for oldest in list(self._sessions)[:-MOST_SESSIONS]:
            del self._sessions[oldest]
        return session

    def supervisor(self, session: str) -> str:
        """The code behind a session. Raises `NotDone`."""
        code = self._sessions.get(token_hash(session))
        if code is None:
            raise NotDone(401, "login", "log in with a supervisor's code first")
        return code


def _require_patience(throttle: Throttle, now: float) -> None:
    wait = throttle.waits(now)
    if wait > 0:
        raise NotDone(429, "wait", f"five wrong codes were tried; wait {wait:.0f} seconds")
