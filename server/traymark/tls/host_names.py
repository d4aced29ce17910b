"""The names and addresses at which this host is reached, found without any network traffic."""

import ipaddress
import re
import socket
from dataclasses import dataclass

import ifaddr

Network = ipaddress.IPv4Network | ipaddress.IPv6Network
Address = ipaddress.IPv4Address | ipaddress.IPv6Address

_NAME = re.compile(r"(?!-)[a-z0-9-]{1,63}(?<!-)(\.(?!-)[a-z0-9-]{1,63}(?<!-))*")


@dataclass(frozen=True)
class HostNames:
    """What a certificate of this host has to cover. `networks` are those of the addresses: an address from the shop's
    router may change from day to day, its network does not."""

    names: tuple[str, ...]
    addresses: tuple[Address, ...]
    networks: tuple[Network, ...]

    @property
    def first_outside(self) -> str:
        """The most likely way for another device to reach this host: an address before a name."""
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
    """IPv4 addresses of the interfaces with their networks, without loopback, private ones first."""
    found = [
        ipaddress.IPv4Interface(f"{ip.ip}/{ip.network_prefix}")
        for adapter in ifaddr.get_adapters()
        for ip in adapter.ips
        if ip.is_IPv4
    ]
    usable = [i for i in dict.fromkeys(found) if not i.ip.is_loopback and not i.ip.is_unspecified]
    return sorted(usable, key=lambda i: (not i.ip.is_private, i.ip.is_link_local))
