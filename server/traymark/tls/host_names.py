"""The names and addresses under which this host is reached, found without any network traffic."""

import ipaddress
import re
import socket
import struct
import sys
from dataclasses import dataclass

Network = ipaddress.IPv4Network | ipaddress.IPv6Network
Address = ipaddress.IPv4Address | ipaddress.IPv6Address

# linux/sockios.h
_SIOCGIFCONF = 0x8912
_SIOCGIFNETMASK = 0x891B
_IFREQ_BYTES = 40
_MOST_INTERFACES = 128
_NAME = re.compile(r"(?!-)[a-z0-9-]{1,63}(?<!-)(\.(?!-)[a-z0-9-]{1,63}(?<!-))*")


@dataclass(frozen=True)
class HostNames:
    """What a certificate of this host has to cover. `networks` are those of the addresses: an address given
    by the shop's router may change from day to day, its network does not."""

    names: tuple[str, ...]
    addresses: tuple[Address, ...]
    networks: tuple[Network, ...]

    @property
    def first_outside(self) -> str:
        """What another device on the network most likely reaches: an address before the name."""
        reachable = [a for a in self.addresses if not a.is_loopback]
        return str(reachable[0]) if reachable else self.names[0]


def find_host_names(extra: tuple[str, ...] = ()) -> HostNames:
    """Host name, its `.local` form, localhost, the extra names, loopback and every IPv4 address of the host."""
    own = socket.gethostname().lower().rstrip(".")
    names: dict[str, None] = {}
    for name in (*extra, own, f"{own.split('.')[0]}.local", "localhost"):
        if _NAME.fullmatch(name.lower()):
            names[name.lower()] = None
    loopback: tuple[Address, ...] = (ipaddress.IPv4Address("127.0.0.1"), ipaddress.IPv6Address("::1"))
    found = _interface_addresses()
    networks: dict[Network, None] = {ipaddress.ip_network(a): None for a in loopback}
    for interface in found:
        networks[interface.network] = None
    addresses = tuple(dict.fromkeys((*loopback, *(i.ip for i in found))))
    return HostNames(tuple(names), addresses, tuple(networks))


def _interface_addresses() -> list[ipaddress.IPv4Interface]:
    """IPv4 addresses of the interfaces with their networks, loopback left out, private ones first."""
    found = _from_kernel() if sys.platform == "linux" else []
    if not found:
        found = _from_route()
    usable = [i for i in dict.fromkeys(found) if not i.ip.is_loopback and not i.ip.is_unspecified]
    return sorted(usable, key=lambda i: (not i.ip.is_private, i.ip.is_link_local))


def _from_kernel() -> list[ipaddress.IPv4Interface]:
    import array
    import fcntl

    found: list[ipaddress.IPv4Interface] = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        room = array.array("B", bytes(_IFREQ_BYTES * _MOST_INTERFACES))
        request = struct.pack("iP", len(room), room.buffer_info()[0])
        try:
            used = struct.unpack("iP", fcntl.ioctl(probe.fileno(), _SIOCGIFCONF, request))[0]
        except OSError:
            return []
        rows = room.tobytes()[:used]
        for start in range(0, used - _IFREQ_BYTES + 1, _IFREQ_BYTES):
            name, address = rows[start : start + 16], socket.inet_ntoa(rows[start + 20 : start + 24])
            try:
                answer = fcntl.ioctl(probe.fileno(), _SIOCGIFNETMASK, name + bytes(_IFREQ_BYTES - 16))
                mask = socket.inet_ntoa(answer[20:24])
                found.append(ipaddress.IPv4Interface(f"{address}/{mask}"))
            except (OSError, ValueError):
                found.append(ipaddress.IPv4Interface(f"{address}/32"))
    return found


def _from_route() -> list[ipaddress.IPv4Interface]:
    """The address that the default route would use. Connecting a datagram socket sends nothing."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # documentation address, RFC 5737
        except OSError:
            return []
        address = str(probe.getsockname()[0])
    # The mask is not known here; private networks of small shops are /24 (common practice, no source).
    return [ipaddress.IPv4Interface(f"{address}/24")]
