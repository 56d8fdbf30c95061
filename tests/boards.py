"""A board in a process of its own, on one address for good: it may be killed and started again."""

import re
import signal
import socket
import subprocess
import sys
import threading
from pathlib import Path

import httpx

from assistant.kit.load import demo_kit

CODE = re.compile(r"pairing code (\d{6}) ")


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as probe:
        return int(probe.getsockname()[1])


class BoardProcess:
    def __init__(self, folder: Path, tls: bool = False) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder, self.port, self.tls = folder, free_port(), tls
        self.code = ""
        """To pair with now."""
        self.standing = threading.Lock()
        """Held while the board lies killed; whoever needs it up holds this too."""
        self._told = threading.Condition()
        self._begin()

    @property
    def scheme(self) -> str:
        return "https" if self.tls else "http"

    @property
    def address(self) -> str:
        return f"{self.scheme}://127.0.0.1:{self.port}"

    def start(self) -> None:
        """After `kill`, in the same thread."""
        self._begin()
        self.standing.release()

    def _begin(self) -> None:
        """Returns once it listens."""
        where = ["--folder", str(self.folder), "--address", f"127.0.0.1:{self.port}"]
        tls = ["--tls"] if self.tls else []
        self._process = subprocess.Popen(
            [sys.executable, "-m", "assistant", "board", "--plain", "--no-zeroconf", *where, *tls],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self.code = ""
        threading.Thread(target=self._read, args=(self._process,), daemon=True).start()
        self.code_after("")

    def _read(self, process: "subprocess.Popen[str]") -> None:
        assert process.stdout is not None
        for line in process.stdout:
            if (code := CODE.match(line)) is not None:
                with self._told:
                    self.code = code[1]
                    self._told.notify_all()

    def code_after(self, old: str) -> str:
        """The code to pair with, once it is not `old` any more."""
        with self._told:
            assert self._told.wait_for(lambda: self.code != old, 30), "the board shows no code"
            return self.code

    def __enter__(self) -> "BoardProcess":
        return self

    def __exit__(self, *_: object) -> None:
        if self._process.poll() is None:
            self._process.kill()
            self._ended()

    def kill(self) -> None:
        self.standing.acquire()
        self._process.send_signal(signal.SIGKILL)
        self._ended()

    def end(self) -> int:
        """As the supervisor ends it; its exit status."""
        assert self._process.stdin is not None
        self._process.stdin.write("quit\n")
        self._process.stdin.flush()
        return self._ended()

    def _ended(self) -> int:
        status = self._process.wait(30)
        for stream in (self._process.stdin, self._process.stdout):
            assert stream is not None
            stream.close()
        return status


class Supervisor:
    """Looks at the board as its page does, and answers."""

    def __init__(self, board: BoardProcess) -> None:
        self._board = board
        # its certificate is the board's own; whether a bench pins it is tested with the benches
        self._http = httpx.Client(base_url=board.address, timeout=5.0, trust_env=False, verify=False)

    def _ask(self, method: str, path: str, body: object = None) -> httpx.Response:
        reply = self._http.request(method, path, json=body)
        if reply.status_code == 401:  # a board started anew knows nobody
            code = demo_kit().supervisor_codes[0]
            self._http.post("/api/board/login", json={"code": code}).raise_for_status()
            reply = self._http.request(method, path, json=body)
        return reply

    def view(self) -> dict[str, object]:
        reply = self._ask("GET", "/api/board/view")
        reply.raise_for_status()
        seen: dict[str, object] = reply.json()
        return seen

    def answer(self, bench: str, question: int, yes: bool, reason: str) -> httpx.Response:
        given = {"bench": bench, "question": question, "yes": yes, "reason": reason}
        return self._ask("POST", "/api/board/answer", given)

    def count(self, pocket: int, lenses: int) -> None:
        self._ask("POST", "/api/board/count", {"pocket": pocket, "count": lenses}).raise_for_status()

    def close(self) -> None:
        self._http.close()
