"""One bench and the hub over a real socket."""

from pathlib import Path

from served import record, send, served

from assistant.hub.client import HubClient
from assistant.workflow.state import Bench


def test_a_session_sent_is_folded(tmp_path: Path) -> None:
    lines = record("01-smooth-pair")
    with served(tmp_path / "hub.db") as hub, HubClient(hub.paired("heron")) as client:
        taken = send(client, lines, hub.hub.mark)
        assert taken.next == len(lines) + 1
        bench: Bench = hub.call(lambda: hub.hub.stories["heron"].bench)
        assert [closed.outcome for closed in bench.closed] == ["handed_over"]
        view = hub.call(hub.hub.view)
        assert (view.benches[0].name, view.benches[0].lines, view.today.pairs_done) == ("heron", 41, 1)
