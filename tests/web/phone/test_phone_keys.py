"""The certificate for phones: it stands up to strict checkers that we did not write, and can vouch for nothing else."""

from __future__ import annotations

import datetime
import ipaddress
import os
import shutil
import ssl
import stat
import subprocess
from pathlib import Path

import cv2
import numpy as np
import pytest
import segno
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec

from clothwright.project import ProblemsFound
from clothwright.web.phone import phone_keys as made
from clothwright.web.phone.phone_keys import home_address, phone_keys, private_address, root_as_der
from clothwright.web.phone.phone_serving import PhonesServed, told

NOW = datetime.datetime(2031, 3, 14, 9, 0, tzinfo=datetime.UTC)
HOME = ipaddress.ip_address("192.168.7.20")


def test_openssl_takes_the_chain_in_its_strictest_mode(tmp_path: Path) -> None:
    """`openssl verify -x509_strict` and -verify_ip, by the program itself; the dates are of the day."""
    openssl = shutil.which("openssl")
    if openssl is None:
        pytest.skip("no openssl on this machine")
    keys = phone_keys(HOME, datetime.datetime.now(datetime.UTC))
    strict = [openssl, "verify", "-x509_strict", "-CAfile", str(keys.root)]
    assert subprocess.run([*strict, "-verify_ip", "192.168.7.20", str(keys.server)], check=False).returncode == 0
    assert subprocess.run([*strict, "-verify_ip", "192.168.7.21", str(keys.server)], check=False).returncode != 0


def test_the_root_vouches_for_one_address_and_one_name_and_a_server_for_a_year() -> None:
    """RFC 5280 4.2.1.9 and 4.2.1.10, read back by the library."""
    keys = phone_keys(HOME, NOW)
    root = x509.load_pem_x509_certificate(keys.root.read_bytes())
    only = root.extensions.get_extension_for_class(x509.NameConstraints)
    assert only.critical
    assert only.value.excluded_subtrees is None
    assert {str(one.value) for one in only.value.permitted_subtrees or ()} == {"192.168.7.20/32", keys.name}
    assert root.extensions.get_extension_for_class(x509.BasicConstraints).value.path_length == 0
    leaf = x509.load_pem_x509_certificates(keys.server.read_bytes())[0]
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= datetime.timedelta(days=398)
    leaf.verify_directly_issued_by(root)


def test_openssl_refuses_another_address_that_the_root_would_vouch_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Were the root's key not thrown away, what it signed for another address would still be refused: by its constraints."""
    openssl = shutil.which("openssl")
    if openssl is None:
        pytest.skip("no openssl on this machine")
    kept: list[ec.EllipticCurvePrivateKey] = []
    made_key = ec.generate_private_key

    def keeping(curve: ec.EllipticCurve) -> ec.EllipticCurvePrivateKey:
        kept.append(made_key(curve))
        return kept[-1]

    monkeypatch.setattr(made.ec, "generate_private_key", keeping)
    now = datetime.datetime.now(datetime.UTC)
    keys = phone_keys(HOME, now)
    root = x509.load_pem_x509_certificate(keys.root.read_bytes())
    for address, taken in ((HOME, True), (ipaddress.ip_address("203.0.113.5"), False)):
        other = made.PhoneKeys(keys.root, keys.server, keys.key, address, "bank.example" if not taken else keys.name)
        forged = made._server(root.subject, other, now, made_key(ec.SECP256R1()), kept[0])
        path = tmp_path / "forged.pem"
        path.write_bytes(forged.public_bytes(made.serialization.Encoding.PEM))
        said = subprocess.run(
            [openssl, "verify", "-CAfile", str(keys.root), str(path)], capture_output=True, text=True, check=False
        )
        assert (said.returncode == 0) is taken
        assert taken or "permitted subtree violation" in said.stderr


def test_the_key_of_the_root_is_kept_nowhere_and_the_servers_is_its_owners_alone(data_folder: Path) -> None:
    keys = phone_keys(HOME, NOW)
    assert sorted(path.name for path in (data_folder / "phone-keys").iterdir()) == [
        "root.pem",
        "server-key.pem",
        "server.pem",
    ]
    root = x509.load_pem_x509_certificate(keys.root.read_bytes())
    ssl.create_default_context().load_cert_chain(keys.server, keys.key)
    assert b"PRIVATE" not in keys.root.read_bytes() + keys.server.read_bytes()
    server_key = made.serialization.load_pem_private_key(keys.key.read_bytes(), None)
    assert server_key.public_key() != root.public_key()
    if os.name != "nt":
        assert stat.S_IMODE(keys.key.stat().st_mode) == 0o600
        assert stat.S_IMODE(keys.key.parent.stat().st_mode) == 0o700


def test_keys_stay_until_the_address_changes_or_they_end_soon() -> None:
    first = phone_keys(HOME, NOW).fingerprint
    assert phone_keys(HOME, NOW + datetime.timedelta(days=300)).fingerprint == first
    other = phone_keys(ipaddress.ip_address("192.168.7.21"), NOW).fingerprint
    assert other != first
    assert phone_keys(ipaddress.ip_address("192.168.7.21"), NOW + datetime.timedelta(days=380)).fingerprint != other


def test_the_fingerprint_is_that_of_what_the_phone_takes_in() -> None:
    keys = phone_keys(HOME, NOW)
    root = x509.load_der_x509_certificate(root_as_der(keys))
    assert keys.fingerprint.replace(" ", "") == root.fingerprint(hashes.SHA256()).hex().upper()


@pytest.mark.parametrize("text", ["0.0.0.0", "::", "8.8.8.8", "2600::1", "my-laptop", "192.168.1.300", ""])
def test_phones_are_served_at_a_home_address_and_nowhere_else(text: str) -> None:
    with pytest.raises(ProblemsFound, match=r"192\.168\.1\.20"):
        private_address(text)


@pytest.mark.parametrize("text", ["192.168.1.20", "10.0.0.4", "172.16.3.3", "fd12::4", "169.254.3.1", "127.0.0.1"])
def test_every_kind_of_home_address_is_taken(text: str) -> None:
    """RFC 1918, RFC 4193, RFC 3927."""
    assert str(private_address(text)) == text


def test_the_own_address_is_one_of_a_home_network() -> None:
    try:
        found = home_address()
    except ProblemsFound as why:
        pytest.skip(f"this machine has no home network: {why}")
    assert found.is_private


def test_the_code_that_is_shown_reads_back_as_the_address() -> None:
    """Read by OpenCV's detector, from the half blocks of a terminal and from the drawing of the page."""
    served = PhonesServed(phone_keys(HOME, NOW), 8766, "abcd-efgh-jkmn")
    link = "https://192.168.7.20:8766/phone/enter/?word=abcd-efgh-jkmn&next=%2F"
    assert served.link() == link
    lines = told(served).splitlines()
    drawn = [line for line in lines if line and set(line) <= set("█▀▄ ")]
    halves = {"█": (255, 255), "▀": (255, 0), "▄": (0, 255), " ": (0, 0)}
    dots = np.array([[halves[one][half] for one in line] for line in drawn for half in (0, 1)], np.uint8)
    picture = np.kron(dots, np.ones((8, 8), np.uint8))
    assert cv2.QRCodeDetector().detectAndDecode(picture)[0] == link
    assert segno.make(link, micro=False).matrix == served.code().matrix
    assert "abcd-efgh-jkmn" in "\n".join(lines)
    assert "no other login" in "\n".join(lines)
