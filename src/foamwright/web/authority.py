"""Our own certificate authority for https on a local network: made on first use, for private addresses."""

from __future__ import annotations

import ipaddress
import os
import socket
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import ifaddr
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from foamwright.shop.moments import Clock

AUTHORITY_LIFE = timedelta(days=3650)
CERTIFICATE_LIFE = timedelta(days=397)
"""Browsers refuse longer ones (CA/Browser Forum baseline requirements: 398 days)."""

RENEWED = timedelta(days=30)
"""A certificate that ends sooner is made anew at the next start."""

PRIVATE_NETWORKS = (
    "127.0.0.0/8",
    "10.0.0.0/8",
    "172.16.0.0/12",
    "192.168.0.0/16",
    "169.254.0.0/16",
    "::1/128",
    "fc00::/7",
    "fe80::/10",
)
"""RFC 1918, RFC 3927, RFC 4193, RFC 4291: addresses that only a local network routes."""

_BEFORE = timedelta(days=1)


@dataclass(frozen=True, eq=False)
class Authority:
    """Our authority: its certificate and its key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def pem(self) -> bytes:
        """Its certificate, for devices to trust."""
        return self.certificate.public_bytes(serialization.Encoding.PEM)


def authority_in(folder: Path, clock: Clock) -> Authority:
    """Return the authority kept in a folder, made if there is none or it has run out."""
    certificate_file, key_file = folder / "authority.crt", folder / "authority.key"
    if certificate_file.exists() and key_file.exists():
        certificate = x509.load_pem_x509_certificate(certificate_file.read_bytes())
        key = serialization.load_pem_private_key(key_file.read_bytes(), None)
        if (
            isinstance(key, ec.EllipticCurvePrivateKey)
            and certificate.not_valid_after_utc > clock() + RENEWED
        ):
            return Authority(certificate, key)
    authority = _new_authority(clock)
    _write_private(key_file, _key_pem(authority.key))
    _write_private(certificate_file, authority.pem)
    return authority


def certificate_in(
    folder: Path, authority: Authority, names: Iterable[str], clock: Clock
) -> tuple[Path, Path]:
    """Return the files of a certificate for names and addresses, and of its key; made anew if need be."""
    wanted = sorted(set(names))
    certificate_file, key_file = folder / "server.crt", folder / "server.key"
    if not _still_good(certificate_file, authority, wanted, clock):
        key = ec.generate_private_key(ec.SECP256R1())
        certificate = _certificate(authority, key, wanted, clock)
        _write_private(key_file, _key_pem(key))
        _write_private(certificate_file, certificate.public_bytes(serialization.Encoding.PEM) + authority.pem)
    return certificate_file, key_file


def lan_addresses() -> tuple[str, ...]:
    """Return this machine's addresses on local networks, the one it reaches others by first.

    A network without a way out (a router of one's own, a telephone that shares its link with nobody) has no
    such one: there the addresses are those of the network adapters.
    """
    found: list[str] = []
    for family, elsewhere in ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1")):
        # Connecting a datagram socket sends nothing; it only asks the routing table (RFC 5737, RFC 3849).
        with socket.socket(family, socket.SOCK_DGRAM) as asking:
            try:
                asking.connect((elsewhere, 9))
                found.append(asking.getsockname()[0])
            except OSError:
                continue
    try:
        told = socket.getaddrinfo(socket.gethostname(), None)
    except OSError:
        told = []
    found += [str(one[4][0]).partition("%")[0] for one in told]
    for adapter in ifaddr.get_adapters():
        # IPv4 is a text, IPv6 an address with its flow and scope.
        found += [one.ip if isinstance(one.ip, str) else one.ip[0] for one in adapter.ips]
    # No browser takes an IPv6 address that is only true of one cable.
    found = [one for one in found if not one.casefold().startswith("fe80:")]
    return tuple(one for one in dict.fromkeys(found) if _is_private(one))


def host_names() -> tuple[str, ...]:
    """Return the names by which this machine goes on a local network."""
    name = socket.gethostname().partition(".")[0].casefold()
    return (f"{name}.local",) if name and name != "localhost" else ()


def _is_private(address: str) -> bool:
    one = ipaddress.ip_address(address)
    networks = [ipaddress.ip_network(network) for network in PRIVATE_NETWORKS]
    return not one.is_loopback and any(one in n for n in networks if n.version == one.version)


def _new_authority(clock: Clock) -> Authority:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name(
        [x509.NameAttribute(NameOID.COMMON_NAME, f"foamwright shop on {socket.gethostname()}"[:64])]
    )
    permitted: list[x509.GeneralName] = [x509.DNSName("local"), x509.DNSName("localhost")]
    permitted += [x509.IPAddress(ipaddress.ip_network(network)) for network in PRIVATE_NETWORKS]
    builder = _builder(name, name, key.public_key(), clock, AUTHORITY_LIFE)
    usage = x509.KeyUsage(
        digital_signature=False,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=True,
        crl_sign=True,
        encipher_only=False,
        decipher_only=False,
    )
    builder = (
        builder.add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        # Whoever trusts it trusts it for a local network, and for nothing else.
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
    )
    return Authority(builder.sign(key, hashes.SHA256()), key)


def _certificate(
    authority: Authority, key: ec.EllipticCurvePrivateKey, names: list[str], clock: Clock
) -> x509.Certificate:
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "foamwright shop")])
    builder = _builder(subject, authority.certificate.subject, key.public_key(), clock, CERTIFICATE_LIFE)
    ours = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key())
    builder = (
        builder.add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.SubjectAlternativeName([_general_name(name) for name in names]), critical=False)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(ours, critical=False)
    )
    return builder.sign(authority.key, hashes.SHA256())


def _builder(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey, clock: Clock, life: timedelta
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(clock() - _BEFORE)
        .not_valid_after(clock() + life - _BEFORE)
    )


def _general_name(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def _still_good(file: Path, authority: Authority, names: list[str], clock: Clock) -> bool:
    if not file.exists() or not file.with_suffix(".key").exists():
        return False
    certificate = x509.load_pem_x509_certificates(file.read_bytes())[0]
    held = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    # x509.IPAddress compares by its address, so the names themselves are compared.
    same = {str(one.value) for one in held} == set(names)
    ours = certificate.issuer == authority.certificate.subject
    try:
        certificate.verify_directly_issued_by(authority.certificate)
    except Exception:
        return False
    return same and ours and certificate.not_valid_after_utc > clock() + RENEWED


def _key_pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def _write_private(path: Path, content: bytes) -> None:
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    with os.fdopen(os.open(beside, os.O_CREAT | os.O_TRUNC | os.O_WRONLY, 0o600), "wb") as stream:
        stream.write(content)
    beside.replace(path)
