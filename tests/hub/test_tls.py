"""TLS with the board's own certificate: pinned when a bench pairs, and nothing else trusted after."""

import stat
from pathlib import Path

import pytest
from served import record, send, served

from assistant.hub import certificate as made
from assistant.hub.certificate import CertificateError, fingerprint_of, own_certificate
from assistant.hub.client import HubClient, HubError

pytest.importorskip("cryptography")


def test_a_bench_pins_the_certificate_and_works_over_it(tmp_path: Path) -> None:
    certificate = own_certificate(tmp_path)
    with served(tmp_path / "hub.db", certificate=certificate) as hub:
        pairing = hub.paired("heron")
        assert fingerprint_of(pairing.certificate) == certificate.fingerprint
        with HubClient(pairing) as client:
            assert send(client, record("01-smooth-pair"), hub.hub.mark).next == 42


def test_another_board_at_the_same_address_is_not_trusted(tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    with served(tmp_path / "a.db", certificate=own_certificate(tmp_path)) as hub:
        pairing = hub.paired("heron")
        port = int(hub.address.rpartition(":")[2])
    other = own_certificate(tmp_path / "other")
    with (
        served(tmp_path / "a.db", port=port, certificate=other) as hub,
        HubClient(pairing) as client,
        pytest.raises(HubError, match="certificate verify failed"),
    ):
        send(client, record("01-smooth-pair"), hub.hub.mark)


def test_the_certificate_stays_the_same_and_its_key_is_for_nobody_else(tmp_path: Path) -> None:
    first = own_certificate(tmp_path)
    assert own_certificate(tmp_path) == first
    assert stat.S_IMODE(first.key.stat().st_mode) == 0o600
    assert len(first.fingerprint.split()) == 16


def test_a_spoilt_certificate_is_said_in_a_sentence(tmp_path: Path) -> None:
    first = own_certificate(tmp_path)
    first.certificate.write_text("not a certificate")
    with pytest.raises(CertificateError, match="cannot be used"):
        own_certificate(tmp_path)


def test_without_the_extra_package_it_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(__import__("sys").modules, "cryptography", None)
    with pytest.raises(CertificateError, match=r"assistant\[tls\]"):
        made.own_certificate(tmp_path)
