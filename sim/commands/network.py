"""Under which addresses this computer is known in its own network, found without sending anything."""

from __future__ import annotations

import io
import re
import socket
from ipaddress import AddressValueError, IPv4Address

from sim.commands.parser import UsageError

# A UDP socket that is connected sends nothing: it only says from which address this computer would send. One
# destination in each range that networks at home and in schools use (RFC 1918), and first one that is documentation's
# (RFC 5737) and so takes the usual way out.
_TOWARDS = ("198.51.100.1", "192.168.0.1", "10.0.0.1", "172.16.0.1")
_ANY_PORT = 9
_NAME = re.compile(r"(?=.{1,253}$)[A-Za-z0-9]([A-Za-z0-9-]{0,62})(\.[A-Za-z0-9]([A-Za-z0-9-]{0,62}))*")


def addresses() -> list[str]:
    """This computer's IPv4 addresses in its networks, the one of the usual way out first; none without a network."""
    return list(dict.fromkeys(found for found in map(_source, _TOWARDS) if _is_seen_by_others(found)))


def checked_host(text: str) -> str:
    """`text` as the address that others open: an IPv4 address or a name. Raises UsageError where it is neither."""
    digits = re.fullmatch(r"[\d.]+", text) is not None
    try:
        fits = str(IPv4Address(text)) == text if digits else _NAME.fullmatch(text) is not None
    except AddressValueError:
        fits = False
    if not fits:
        raise UsageError(f"--host {text[:60]}: must be an IPv4 address such as 192.168.0.20, or a name")
    return text


def code_for_terminal(address: str) -> str:
    """The address as a QR code out of block characters, for a dark terminal."""
    import segno  # here, so that the other commands do not wait for it

    drawn = io.StringIO()
    segno.make(address, micro=False).terminal(out=drawn, border=2, compact=True)
    return drawn.getvalue()


def _source(destination: str) -> str:
    """The address from which this computer would send there; "" where there is no way."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect((destination, _ANY_PORT))
        except OSError:
            return ""
        return str(asked.getsockname()[0])


def _is_seen_by_others(address: str) -> bool:
    if not address:
        return False
    found = IPv4Address(address)
    return not (found.is_loopback or found.is_unspecified or found.is_link_local)
