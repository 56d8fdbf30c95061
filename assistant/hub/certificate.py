"""A certificate of the board's own, made once. Benches pin it when they pair; no authority stands behind it.

It never runs out and begins long ago, because clocks in the field may be years off; what is trusted is the pin.
"""

import hashlib
import ssl
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from assistant.hub.private_file import write_private

CERTIFICATE_FILE: Final = "board.crt"
KEY_FILE: Final = "board.key"
_FROM: Final = datetime(1970, 1, 1, tzinfo=UTC)
_UNTIL: Final = datetime(9999, 12, 31, 23, 59, 59, tzinfo=UTC)


class CertificateError(Exception):
    """The board has no certificate and cannot make one; one sentence."""


@dataclass(frozen=True, slots=True)
class Certificate:
    """Files in PEM."""

    certificate: Path
    key: Path
    fingerprint: str
    """To compare by eye when a bench pairs."""


def fingerprint_of(pem: str) -> str:
    """SHA-256 of a certificate, in groups of four hex digits. Raises `ValueError`."""
    digits = hashlib.sha256(ssl.PEM_cert_to_DER_cert(pem)).hexdigest()
    return " ".join(digits[at : at + 4] for at in range(0, len(digits), 4))


def own_certificate(folder: Path) -> Certificate:
    """The certificate kept in `folder`; made there the first time. Raises `CertificateError`."""
    certificate, key = folder / CERTIFICATE_FILE, folder / KEY_FILE
    try:
        if not (certificate.exists() and key.exists()):
            _make(certificate, key)
        return Certificate(certificate, key, fingerprint_of(certificate.read_text("ascii")))
    except (OSError, ValueError) as error:
        raise CertificateError(f"the board's certificate in {folder} cannot be used: {error}") from error


def _make(certificate: Path, key: Path) -> None:
    try:
        from cryptography import x509
        from cryptography.hazmat.primitives import hashes, serialization
        from cryptography.hazmat.primitives.asymmetric import ec
        from cryptography.x509.oid import NameOID
    except ImportError as error:
        raise CertificateError("TLS needs one package more: pip install 'assistant[tls]'") from error
    secret = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "dispensing board")])
    public = secret.public_key()
    identifier = x509.SubjectKeyIdentifier.from_public_key(public)
    made = (
        x509.CertificateBuilder(name, name, public, x509.random_serial_number(), _FROM, _UNTIL)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(identifier, critical=False)
        .add_extension(x509.SubjectAlternativeName([x509.DNSName("board.invalid")]), critical=False)
        .sign(secret, hashes.SHA256())
    )
    plain = serialization.NoEncryption()
    form = serialization.PrivateFormat.PKCS8
    write_private(key, secret.private_bytes(serialization.Encoding.PEM, form, plain))
    write_private(certificate, made.public_bytes(serialization.Encoding.PEM))
