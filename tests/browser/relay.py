"""A stretch of network between a browser and the server, which can be cut and mended."""

from __future__ import annotations

import contextlib
import socket
import threading
from collections.abc import Iterator


class Relay:
    """Passes connections on to a port of this computer. port: where it listens"""

    def __init__(self, to_port: int) -> None:
        self._to_port, self._whole = to_port, True
        self._open: list[socket.socket] = []
        self._ear = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._ear.getsockname()[1]
        threading.Thread(target=self._listen, daemon=True).start()

    def cut(self) -> None:
        """Break all connections, and let none come about."""
        self._whole = False
        for end in self._open:
            _close(end)
        self._open.clear()

    def mend(self) -> None:
        """Let connections come about again."""
        self._whole = True

    def end(self) -> None:
        """No more of it."""
        self.cut()
        _close(self._ear)

    def _listen(self) -> None:
        with contextlib.suppress(OSError):
            while True:
                self._pass_on(self._ear.accept()[0])

    def _pass_on(self, near: socket.socket) -> None:
        if not self._whole:
            near.close()
            return
        far = socket.create_connection(("127.0.0.1", self._to_port))
        self._open += [near, far]
        for ends in ((near, far), (far, near)):
            threading.Thread(target=_pump, args=ends, daemon=True).start()


def _pump(source: socket.socket, target: socket.socket) -> None:
    with contextlib.suppress(OSError):
        while piece := source.recv(65_536):
            target.sendall(piece)
    _close(target)


def _close(end: socket.socket) -> None:
    with contextlib.suppress(OSError):
        end.shutdown(socket.SHUT_RDWR)
    end.close()


@contextlib.contextmanager
def relay(server: str) -> Iterator[tuple[Relay, str]]:
    """A relay to a server's address, and the address of its near end."""
    found = Relay(int(server.rpartition(":")[2]))
    try:
        yield found, f"http://127.0.0.1:{found.port}"
    finally:
        found.end()
