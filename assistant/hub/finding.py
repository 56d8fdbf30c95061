"""The board made known on the local network, and found there, without any address typed."""

import ipaddress
import queue
import socket
import time
from collections.abc import Collection
from contextlib import suppress
from typing import Final

import ifaddr
from zeroconf import ServiceBrowser, ServiceInfo, ServiceListener, Zeroconf

KIND: Final = "_assistant-board._tcp.local."
LOOK_FOR_S: Final = 4.0
ANSWERS_S: Final = 1.0


class Announcement:
    """The board's address on the network, until closed."""

    def __init__(self, clinic: str, port: int, scheme: str, addresses: list[str]) -> None:
        self._zeroconf = Zeroconf()
        self._info = ServiceInfo(
            KIND,
            f"{clinic}.{KIND}",
            port=port,
            addresses=[ipaddress.ip_address(address).packed for address in addresses],
            properties={"scheme": scheme},
        )
        self._zeroconf.register_service(self._info, allow_name_change=True)

    def close(self) -> None:
        self._zeroconf.unregister_service(self._info)
        self._zeroconf.close()


class _Offers(ServiceListener):
    """Boards as they make themselves known: scheme, addresses, port."""

    def __init__(self) -> None:
        self.came: queue.SimpleQueue[tuple[str, list[str], int]] = queue.SimpleQueue()

    def add_service(self, zc: Zeroconf, type_: str, name: str) -> None:
        info = zc.get_service_info(type_, name)
        if info is not None and info.port:
            scheme = (info.properties.get(b"scheme") or b"http").decode()
            self.came.put((scheme, sorted(info.parsed_addresses(), key=_loopback_last), info.port))

    def update_service(self, zc: Zeroconf, type_: str, name: str) -> None:
        self.add_service(zc, type_, name)

    def remove_service(self, zc: Zeroconf, type_: str, name: str) -> None:
        """A board that left before it was asked is no matter."""


def find(within_s: float = LOOK_FOR_S, besides: Collection[str] = ()) -> str | None:
    """The address of the first board that takes a connection, `besides` some; None if none does. Raises
    `OSError` without a network.
    """
    offers, until = _Offers(), time.monotonic() + within_s
    zeroconf = Zeroconf()
    try:
        ServiceBrowser(zeroconf, KIND, offers)
        while (left_s := until - time.monotonic()) > 0:
            scheme, addresses, port = offers.came.get(timeout=left_s)
            for address in addresses:
                url = f"{scheme}://{f'[{address}]' if ':' in address else address}:{port}"
                if url not in besides and _answers(address, port):
                    return url
    except queue.Empty:
        pass  # the time is over
    finally:
        zeroconf.close()
    return None


def _answers(address: str, port: int) -> bool:
    try:
        socket.create_connection((address, port), ANSWERS_S).close()
    except OSError:
        return False
    return True


def _loopback_last(address: str) -> tuple[bool, str]:
    """A board's loopback is good only for a bench on the same computer."""
    return address.startswith("127."), address


def own_addresses() -> list[str]:
    """Addresses of this machine that others may reach, the one towards other networks first, the loopback last."""
    found = {str(one.ip) for adapter in ifaddr.get_adapters() for one in adapter.ips if one.is_IPv4}
    outward = ""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        probe.connect(("192.0.2.1", 9))  # sends nothing; asks which address would be used
        outward = str(probe.getsockname()[0])
    return sorted(found, key=lambda address: (_loopback_last(address)[0], address != outward, address))
