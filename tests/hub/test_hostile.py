"""Requests that no honest bench or page sends: never a 500, nothing read that is another's, nothing changed."""

import json
from collections.abc import Iterator
from typing import Any

import httpx
import pytest
import schemathesis
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st
from records import Recorded, lines_of
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from served import Served, record, send, served

from assistant.hub.client import HubClient
from assistant.kit.load import demo_kit
from assistant.optics.order import EyeKind, EyeOrder, Order
from assistant.optics.power import Power
from assistant.workflow.events import (
    Answered,
    BankShared,
    DayOpened,
    Event,
    HelpAsked,
    OrderHandedOver,
    StockCounted,
    SupervisorAnswered,
    TakenBack,
)

CODE = "4071"
SECRET = "heron-keeps-this-to-itself"
SETTINGS = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
ROLES = ("stranger", "bench", "supervisor")


@pytest.fixture(scope="module")
def hub(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """Heron has a session and asks a question; crab is paired and is the one that is hostile."""
    with served(tmp_path_factory.mktemp("hub") / "hub.db") as made:
        heron = Recorded("heron", demo_kit())
        heron.hands.send(Answered(at=heron.hands.tick(), step="helper", field="picture", text=SECRET))
        heron.hands.send(HelpAsked(at=heron.hands.tick()))
        with HubClient(made.paired("heron")) as client:
            send(client, heron.lines, made.hub.mark)
        yield made


@pytest.fixture(scope="module")
def callers(hub: Served) -> Iterator[dict[str, httpx.Client]]:
    clients = {role: httpx.Client(base_url=hub.address, trust_env=False, timeout=30) for role in ROLES}
    clients["bench"].headers["Authorization"] = f"Bearer {hub.paired('crab').token}"
    assert clients["supervisor"].post("/api/board/login", json={"code": CODE}).status_code == 200
    yield clients
    for client in clients.values():
        client.close()


def state(hub: Served) -> object:
    """Everything that a request could change, but for the code after wrong ones and the sign of trouble."""

    def look() -> object:
        store, benches = hub.hub._store, hub.hub._benches
        known = {name: (one.story.bench, one.story.seq, one.hash) for name, one in benches.items()}
        kept = (store.tokens(), store.mail(hub.hub.kit.supervisor_codes), store.reservations())
        return known, kept, hub.hub.bank.ledger.there.tolist(), [one.data for one in store.lines()]

    return hub.call(look)


@pytest.fixture
def api(hub: Served) -> Any:
    document = httpx.get(f"{hub.address}/api/openapi.json", trust_env=False).json()
    for stream in ("/api/mail", "/api/board/stream"):
        del document["paths"][stream]  # they never end
    described = schemathesis.openapi.from_dict(document)
    described.config.update(base_url=hub.address)
    return described


schema = schemathesis.pytest.from_fixture("api")
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]


@schema.parametrize()
@settings(max_examples=10, deadline=None, suppress_health_check=list(HealthCheck))
def test_the_description_holds_for_whatever_is_sent(
    case: Any, hub: Served, callers: dict[str, httpx.Client]
) -> None:
    for role, client in callers.items():
        before = state(hub)
        headers = {name: client.headers[name] for name in ("Authorization",) if name in client.headers}
        reply = case.call(headers=headers, cookies=dict(client.cookies))
        case.validate_response(reply, checks=CHECKS)
        if reply.status_code >= 400:
            assert state(hub) == before
        if role != "supervisor":
            assert SECRET not in reply.text


PATHS = (
    "/api/pair",
    "/api/lines",
    "/api/reserve",
    "/api/board/login",
    "/api/board/answer",
    "/api/board/count",
    "/api/board/revoke",
    "/api/board/forget",
)
texts = st.one_of(
    st.text(max_size=60),
    st.sampled_from(
        ["heron", "crab", "heron\n", "\x00", "\ud800", "4071", "000000", "'; drop table lines;--"]
    ),
)
numbers = st.one_of(st.integers(), st.floats(allow_nan=False), st.sampled_from([0, -1, 2**53, 2**63, 2**70]))
values: st.SearchStrategy[Any] = st.recursive(
    st.one_of(st.none(), st.booleans(), numbers, texts),
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(texts, inner, max_size=4)),
    max_leaves=6,
)


def whole_bodies(hub: Served) -> dict[str, dict[str, Any]]:
    lines = record("01-smooth-pair")
    pocket = str(int(hub.hub.kit.bank.pocket[0]))
    upload = {"first": 1, "lines": lines[:3], "have": 3, "now": 1.0, "kit": hub.hub.mark, "knows": ""}
    return {
        "/api/pair": {"bench": "turtle", "code": "000000", "kit": hub.hub.mark},
        "/api/lines": upload,
        "/api/reserve": {"line": 1, "wanted": {pocket: 1}, "free": {pocket: 1}},
        "/api/board/login": {"code": "99"},
        "/api/board/answer": {"bench": "heron", "question": 99, "yes": True, "reason": ""},
        "/api/board/count": {"pocket": -1, "count": 1},
        "/api/board/revoke": {"bench": "turtle"},
        "/api/board/forget": {"bench": "turtle"},
    }


@SETTINGS
@given(data=st.data(), role=st.sampled_from(ROLES), path=st.sampled_from(PATHS))
def test_bodies_with_one_thing_wrong(
    hub: Served, callers: dict[str, httpx.Client], data: st.DataObject, role: str, path: str
) -> None:
    body = whole_bodies(hub)[path]
    name = data.draw(st.sampled_from([*body, "more"]))
    body[name] = data.draw(values)
    before = state(hub)
    content = json.dumps(body).encode("utf-8", "replace")
    reply = callers[role].post(path, content=content, headers={"Content-Type": "application/json"})
    assert reply.status_code in (200, 400, 401, 403, 404, 409, 413, 415, 429), reply.text
    if reply.status_code != 200:
        assert state(hub) == before
        assert set(reply.json()) == {"code", "what"}
    if role != "supervisor":
        assert SECRET not in reply.text


@SETTINGS
@given(body=st.binary(max_size=200), role=st.sampled_from(ROLES), path=st.sampled_from(PATHS))
def test_bodies_that_are_nothing(
    hub: Served, callers: dict[str, httpx.Client], body: bytes, role: str, path: str
) -> None:
    before = state(hub)
    reply = callers[role].post(path, content=body, headers={"Content-Type": "application/json"})
    assert reply.status_code in (400, 401), reply.text
    assert state(hub) == before


@pytest.mark.parametrize("depth", [1_000, 100_000])
def test_a_body_nested_without_end(hub: Served, callers: dict[str, httpx.Client], depth: int) -> None:
    body = b"[" * depth
    kind = {"Content-Type": "application/json"}
    assert callers["bench"].post("/api/lines", content=body, headers=kind).status_code == 400


@SETTINGS
@given(text=st.text(st.characters(max_codepoint=255, min_codepoint=32), max_size=80))
def test_headers_that_are_no_tokens(hub: Served, text: str) -> None:
    raw = f"x{text}x".encode("latin-1")  # no header may begin or end with a space
    headers = [(b"Authorization", b"Bearer " + raw), (b"Cookie", b"board=" + raw)]
    with httpx.Client(base_url=hub.address, trust_env=False) as client:
        reply = client.post("/api/lines", json={}, headers=headers)
        assert reply.status_code in (400, 401), reply.text
        assert client.get("/api/board/view", headers=headers).status_code in (400, 401)


finite = st.one_of(st.floats(allow_nan=False, allow_infinity=False), st.floats(-20.0, 100.0))
some = st.one_of(st.none(), finite)
wide = st.floats(-40.0, 40.0)
powers = st.one_of(
    st.builds(Power, wide, st.just(0.0), st.none()), st.builds(Power, wide, wide, st.floats(1.0, 180.0))
)
eyes = st.builds(EyeOrder, st.one_of(st.none(), powers), st.sampled_from(EyeKind))
orders = st.builds(Order, eyes, eyes, finite, some, some, some, near_pd_mm=some, case=st.text(max_size=5))
times = st.floats(0.0, 1e12)
words = st.sampled_from(["helper", "picture", "order", "choice", "plan", "ready", "supervisor", "code", ""])
codes = st.one_of(st.sampled_from(["en", "sw", "tq", ""]), st.text(max_size=5))
counts = st.one_of(st.integers(-5, 500), st.integers(-(2**62), 2**62))
events: st.SearchStrategy[Event] = st.one_of(
    st.builds(Answered, at=times, step=words, field=words, text=st.text(max_size=8)),
    st.builds(OrderHandedOver, at=times, order=orders),
    st.builds(
        DayOpened, at=times, date=st.text(max_size=12), brought=st.dictionaries(codes, codes, max_size=7)
    ),
    st.builds(StockCounted, at=times, pocket=counts, count=counts, counted_at=times),
    st.builds(BankShared, at=times, elsewhere=st.dictionaries(counts, counts, max_size=4)),
    st.builds(SupervisorAnswered, at=times, yes=st.booleans(), code=st.text(max_size=6), reason=st.text()),
    st.builds(HelpAsked, at=times),
    st.builds(TakenBack, at=times),
)


@settings(SETTINGS, max_examples=40)
@given(written=st.lists(events, min_size=1, max_size=8))
def test_records_that_no_bench_wrote(
    hub: Served, callers: dict[str, httpx.Client], written: list[Event]
) -> None:
    """Whole lines, rightly chained, with anything in them: taken, or refused without a trace."""
    forget = callers["supervisor"].post("/api/board/forget", json={"bench": "crab"})
    assert forget.status_code in (200, 404)
    before = state(hub)
    taken_up = Answered(at=1e9, step="order", field="choice", text="1")  # so that orders are planned
    lines = lines_of("crab", [*opening(), *written, taken_up])
    body = {"first": 1, "lines": lines, "have": len(lines), "now": 1.0, "kit": hub.hub.mark}
    reply = callers["bench"].post("/api/lines", json=body)
    assert reply.status_code in (200, 400), reply.text
    event(f"answered {reply.status_code}")
    if reply.status_code == 400:
        assert state(hub) == before
    for path in ("/api/board/view", "/report.csv", "/report.html"):
        assert callers["supervisor"].get(path).status_code == 200


def opening() -> list[Event]:
    """As far as the step where an order is taken up."""
    one = Recorded("crab", demo_kit())
    one.until("order")
    return one.hands.events
