"""The keys by which phones reach this machine privately: a certificate made here, for one address, kept in the data folder.

Two certificates are made at once. The *root* is the one a phone is told to trust. It may vouch for this address and this
machine's own name and for nothing else (its name constraints say so), and its key is thrown away as soon as it has signed the
second: so whoever copies the data folder can at most pretend to be this machine, and never another site. The *server's*
certificate is the one shown to phones. When the address changes, or a year has gone by, both are made anew and the new root
has to be trusted once.

*Source:* RFC 5280 for the certificates (basic and name constraints 4.2.1.9, 4.2.1.10); 398 days at most are what browsers
accept of a server's certificate (from memory).
"""

from __future__ import annotations

import datetime
import ipaddress
import socket
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from clothwright.library.folder import prepared_folder, write_for_owner
from clothwright.project import Problem, ProblemsFound

_DAYS: Final = 397
_RENEW_DAYS: Final = 30
_SLOW_CLOCK: Final = datetime.timedelta(days=1)
Address = ipaddress.IPv4Address | ipaddress.IPv6Address


@dataclass(frozen=True)
class PhoneKeys:
    """Where the keys are kept, and the address and name they are for."""

    root: Path
    server: Path
    key: Path
    address: Address
    name: str

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the root, in groups of four, to compare with what the phone shows."""
        root = x509.load_pem_x509_certificate(self.root.read_bytes())
        said = root.fingerprint(hashes.SHA256()).hex().upper()
        return " ".join(said[at : at + 4] for at in range(0, len(said), 4))


def home_address() -> Address:
    """The address of this machine on its home network; ProblemsFound where it has none or more than can be told.

    Asking the system which way it would send reads its table of routes; nothing is sent.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(("192.0.2.1", 9))
            return private_address(asking.getsockname()[0])
        except OSError:
            raise _problem(
                "this machine is in no network; join the home network, or name its address with --host"
            ) from None


def private_address(text: str) -> Address:
    """An address of a home network; ProblemsFound for a public one, for every one at once, or for what is none."""
    try:
        address = ipaddress.ip_address(text)
    except ValueError:
        raise _problem(f"“{text}” is no address in figures; name this machine's own, as 192.168.1.20") from None
    if address.is_unspecified or not address.is_private:
        raise _problem(f"{address} is no address of a home network; phones are served at home only, as at 192.168.1.20")
    return address


def phone_keys(address: Address, today: datetime.datetime) -> PhoneKeys:
    """The keys for an address, made anew where there are none, they are for another address, or they end soon."""
    folder = prepared_folder() / "phone-keys"
    folder.mkdir(mode=0o700, exist_ok=True)
    keys = PhoneKeys(folder / "root.pem", folder / "server.pem", folder / "server-key.pem", address, own_name())
    if not _still_good(keys, today):
        _make(keys, today)
    return keys


def own_name() -> str:
    """The name by which many home networks know this machine."""
    plain = "".join(
        one for one in socket.gethostname().split(".")[0].lower() if one.isascii() and (one.isalnum() or one == "-")
    )
    return f"{plain.strip('-') or 'clothwright'}.local"


def root_as_der(keys: PhoneKeys) -> bytes:
    """The root as phones take it in."""
    root = x509.load_pem_x509_certificate(keys.root.read_bytes())
    return root.public_bytes(serialization.Encoding.DER)


def _still_good(keys: PhoneKeys, today: datetime.datetime) -> bool:
    if not all(path.is_file() for path in (keys.root, keys.server, keys.key)):
        return False
    server = x509.load_pem_x509_certificates(keys.server.read_bytes())[0]
    names = server.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    ours = keys.address in names.get_values_for_type(x509.IPAddress) and keys.name in names.get_values_for_type(
        x509.DNSName
    )
    return ours and server.not_valid_after_utc - today > datetime.timedelta(days=_RENEW_DAYS)


def _make(keys: PhoneKeys, today: datetime.datetime) -> None:
    root_key, server_key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())
    called = _called(f"Clothwright on {keys.name}, made {today:%Y-%m-%d %H:%M}")
    root = _root(called, keys, today, root_key)
    server = _server(called, keys, today, server_key, root_key)
    pem = serialization.Encoding.PEM
    secret = server_key.private_bytes(pem, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    write_for_owner(keys.key, secret)
    write_for_owner(keys.server, server.public_bytes(pem) + root.public_bytes(pem))
    write_for_owner(keys.root, root.public_bytes(pem))


def _called(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name[:64])])


def _begun(
    subject: x509.Name, issuer: x509.Name, today: datetime.datetime, key: ec.EllipticCurvePublicKey
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(today - _SLOW_CLOCK)
        .not_valid_after(today + datetime.timedelta(days=_DAYS) - _SLOW_CLOCK)
    )


def _root(
    called: x509.Name, keys: PhoneKeys, today: datetime.datetime, key: ec.EllipticCurvePrivateKey
) -> x509.Certificate:
    only = [x509.IPAddress(ipaddress.ip_network(keys.address)), x509.DNSName(keys.name)]
    return (
        _begun(called, called, today, key.public_key())
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs=True), critical=True)
        .add_extension(x509.NameConstraints(permitted_subtrees=only, excluded_subtrees=None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )


def _server(
    issuer: x509.Name,
    keys: PhoneKeys,
    today: datetime.datetime,
    key: ec.EllipticCurvePrivateKey,
    root_key: ec.EllipticCurvePrivateKey,
) -> x509.Certificate:
    names = [x509.IPAddress(keys.address), x509.DNSName(keys.name)]
    return (
        _begun(_called(keys.name), issuer, today, key.public_key())
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(root_key.public_key()), critical=False)
        .sign(root_key, hashes.SHA256())
    )


def _usage(*, signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs,
        crl_sign=signs,
        encipher_only=False,
        decipher_only=False,
    )


def _problem(sentence: str) -> ProblemsFound:
    return ProblemsFound(Problem(("host",), sentence))
