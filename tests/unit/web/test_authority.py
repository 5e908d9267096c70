"""https on the local network: who trusts our authority connects, and it vouches for nothing else."""

from __future__ import annotations

import datetime
import socket
import ssl
import threading
from types import SimpleNamespace

import ifaddr
import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

from foamwright.shop.moments import now
from foamwright.web.authority import (
    RENEWED,
    _certificate,
    _key_pem,
    authority_in,
    certificate_in,
    host_names,
    lan_addresses,
)


@pytest.fixture
def authority(tmp_path):
    return authority_in(tmp_path, now)


def shakes_hands(authority, files, name):
    """Connects over loopback, the way a browser checks: trust only our authority, ask for `name`."""
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(*files)
    client = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    client.load_verify_locations(cadata=authority.pem.decode())
    here, there = socket.socketpair()

    def answer():
        try:
            with server.wrap_socket(there, server_side=True) as secure:
                secure.recv(1)
        except OSError:
            there.close()

    thread = threading.Thread(target=answer)
    thread.start()
    try:
        with client.wrap_socket(here, server_hostname=name) as secure:
            secure.sendall(b"x")
    finally:
        here.close()
        thread.join(10)


@pytest.mark.parametrize("name", ["192.168.7.20", "fd00::2", "workshop.local", "localhost", "127.0.0.1"])
def test_a_device_that_trusts_us_connects(tmp_path, authority, name):
    files = certificate_in(
        tmp_path, authority, ["192.168.7.20", "fd00::2", "workshop.local", "localhost", "127.0.0.1"], now
    )
    shakes_hands(authority, files, name)


def test_another_name_is_not_ours(tmp_path, authority):
    files = certificate_in(tmp_path, authority, ["192.168.7.20"], now)
    with pytest.raises(ssl.SSLCertVerificationError, match="IP address mismatch"):
        shakes_hands(authority, files, "192.168.7.21")


@pytest.mark.parametrize("name", ["bank.example", "8.8.8.8"])
def test_whoever_trusts_it_trusts_it_for_private_networks_only(tmp_path, authority, name):
    """Even somebody who stole the key could not stand in for a bank."""
    key = ec.generate_private_key(ec.SECP256R1())
    stolen = _certificate(authority, key, [name], now)
    (tmp_path / "s.crt").write_bytes(stolen.public_bytes(serialization.Encoding.PEM))
    (tmp_path / "s.key").write_bytes(_key_pem(key))
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
        shakes_hands(authority, (tmp_path / "s.crt", tmp_path / "s.key"), name)


def test_keys_are_for_their_owner_only(tmp_path, authority):
    certificate_in(tmp_path, authority, ["localhost"], now)
    assert {f.stat().st_mode & 0o777 for f in tmp_path.iterdir()} == {0o600}


def test_what_is_still_good_is_kept(tmp_path, authority):
    certificate_in(tmp_path, authority, ["localhost", "192.168.7.20"], now)
    before = (tmp_path / "server.crt").read_bytes()
    again = authority_in(tmp_path, now)
    certificate_in(tmp_path, again, ["192.168.7.20", "localhost"], now)
    assert again.pem == authority.pem
    assert (tmp_path / "server.crt").read_bytes() == before


def test_another_network_or_an_end_that_is_near_makes_it_anew(tmp_path, authority):
    def held():
        return (tmp_path / "server.crt").read_bytes()

    certificate_in(tmp_path, authority, ["192.168.7.20"], now)
    first = held()
    certificate_in(tmp_path, authority, ["10.0.0.5"], now)
    second = held()
    later = lambda: now() + datetime.timedelta(days=397) - RENEWED  # noqa: E731
    certificate_in(tmp_path, authority, ["10.0.0.5"], later)
    assert len({first, second, held()}) == 3


def test_an_authority_that_runs_out_is_made_anew_with_its_certificate(tmp_path, authority):
    certificate_in(tmp_path, authority, ["localhost"], now)
    later = lambda: now() + datetime.timedelta(days=3650)  # noqa: E731
    other = authority_in(tmp_path, later)
    assert other.pem != authority.pem
    certificate_in(tmp_path, other, ["localhost"], later)
    leaf = x509.load_pem_x509_certificates((tmp_path / "server.crt").read_bytes())[0]
    leaf.verify_directly_issued_by(other.certificate)
    assert isinstance(leaf.signature_hash_algorithm, hashes.SHA256)


def test_browsers_take_its_life(tmp_path, authority):
    certificate_in(tmp_path, authority, ["localhost"], now)
    leaf = x509.load_pem_x509_certificates((tmp_path / "server.crt").read_bytes())[0]
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= datetime.timedelta(days=398)


def test_a_network_without_a_way_out_has_the_addresses_of_its_adapters(monkeypatch):
    class NoWayOut(socket.socket):
        def connect(self, address):
            raise OSError("Network is unreachable")

    def adapter(*addresses):
        return SimpleNamespace(ips=[SimpleNamespace(ip=one) for one in addresses])

    monkeypatch.setattr(socket, "socket", NoWayOut)
    monkeypatch.setattr(socket, "getaddrinfo", lambda *_: [])
    cards = [
        adapter("127.0.0.1", ("::1", 0, 0)),
        adapter("10.77.0.1", ("fe80::1", 0, 2), ("fd00::7", 0, 0), "203.0.113.9"),
    ]
    monkeypatch.setattr(ifaddr, "get_adapters", lambda: cards)
    assert lan_addresses() == ("10.77.0.1", "fd00::7")


def test_addresses_of_this_machine_are_private_ones():
    import ipaddress

    for address in lan_addresses():
        assert ipaddress.ip_address(address).is_private
    assert all(name.endswith(".local") for name in host_names())
