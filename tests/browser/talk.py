"""What a page and its server say to each other: who waits for an answer knows whether it has come."""

from __future__ import annotations

from weakref import WeakKeyDictionary

from playwright.sync_api import Page, WebSocket
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

# A run that ends so has an answer; one that ended early for a newer request has not.
_ANSWERS = (ForwardMsg.FINISHED_SUCCESSFULLY, ForwardMsg.FINISHED_FRAGMENT_RUN_SUCCESSFULLY)
# Serves as a frame of a text socket, which is not Streamlit's.
Frame = bytes | str


class Talk:
    """Requests to run the page, and whether the last one is answered."""

    def __init__(self, page: Page) -> None:
        self.asked = 0
        self.waiting = False
        page.on("websocket", self._join)

    def _join(self, socket: WebSocket) -> None:
        socket.on("framesent", self._sent)
        socket.on("framereceived", self._received)
        socket.on("close", self._closed)

    def _sent(self, frame: Frame) -> None:
        if isinstance(frame, bytes) and BackMsg.FromString(frame).WhichOneof("type") == "rerun_script":
            self.asked += 1
            self.waiting = True

    def _received(self, frame: Frame) -> None:
        if not isinstance(frame, bytes):
            return
        message = ForwardMsg.FromString(frame)
        kind = message.WhichOneof("type")
        if kind == "new_session":
            self.waiting = True
        elif kind == "script_finished":
            self.waiting = message.script_finished not in _ANSWERS

    def _closed(self, _socket: WebSocket) -> None:
        self.waiting = False  # nobody will answer; a new connection asks anew


_talks: WeakKeyDictionary[Page, Talk] = WeakKeyDictionary()


def listen(page: Page) -> None:
    """Hear what this page says from its next address on."""
    if page not in _talks:
        _talks[page] = Talk(page)


def talk(page: Page) -> Talk | None:
    """What is heard of this page; None where it opened before anybody listened."""
    return _talks.get(page)
