"""A line to a mail server by IMAP (RFC 3501; RFC 9051 is its newer form), encrypted before anything is said on it.

Python's own `imaplib` speaks the protocol, and no further library: it lets a caller override how bytes are read and
sent, and that is where every bound is. Whoever builds on top of it reads as much as a server likes to send.
"""

import imaplib
import re
import socket
import ssl
import threading
import time
from base64 import b64encode
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from queue import Empty, SimpleQueue
from typing import Any, Literal, TypeVar

Security = Literal["tls", "starttls"]
Socket = TypeVar("Socket", bound=socket.socket)
TIMEOUT = 20
"""Seconds to wait for a server to come to the line."""
LONGEST_ANSWER = 1_800
"""Seconds that one answer may take from its first byte to its last."""
LONGEST_LINE = 8_000_000
"""Bytes; the numbers of a million messages are in one line."""
MOST_BESIDE = 16_000_000
"""Bytes of an answer beside the message that was asked for."""
GOODBYE = 5
"""Seconds to wait for the server's goodbye."""
_TICK = 0.25
"""Seconds after which it is asked whether to stop."""


class Stopped(Exception):
    """The caller wants to stop."""


class SaysTooMuch(Exception):
    """A server sends more than can be an answer."""


class NotEncrypted(Exception):
    """A server offers no encrypted line."""


class ImapLine(imaplib.IMAP4):
    """One line to a server. Nothing is read without bound of bytes and time, and `stop` is heard while it is waited.

    Raises what `imaplib` and `socket` raise, and the exceptions above.
    """

    def __init__(
        self,
        server: str,
        port: int,
        security: Security,
        context: ssl.SSLContext,
        *,
        most: int,
        patience: float,
        stop: Callable[[], bool],
    ) -> None:
        self._security, self._context = security, context
        self._most, self._patience, self._stop = most, patience, stop
        self._ahead, self._read = bytearray(), 0
        self._deadline = time.monotonic() + LONGEST_ANSWER
        super().__init__(server, port, TIMEOUT)

    def open(self, host: str = "", port: int = 993, timeout: float | None = None) -> None:
        """Connects by TLS; by STARTTLS (RFC 3501, 6.2.1), the two lines before it are all that is in the clear.

        `imaplib` hears of the line only when it is encrypted. What came before is forgotten: somebody between may
        have said it.
        """
        self.host, self.port = host, port
        self.sock = _unless(self._stop, partial(socket.create_connection, (host, port), timeout))
        self.sock.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)  # imaplib sends some commands in two pieces
        try:
            if self._security == "starttls":
                self._ask_for_tls()
            self.sock.settimeout(timeout)
            wrap = partial(self._context.wrap_socket, self.sock, server_hostname=host)
            self.sock = _unless(self._stop, wrap)
        except BaseException:
            self.sock.close()
            raise

    def _ask_for_tls(self) -> None:
        greeting = self.readline()
        if greeting.upper().startswith(b"* BYE"):
            raise self.abort(greeting.decode("utf-8", "replace"))
        if not greeting.upper().startswith(b"* OK"):  # PREAUTH as well: signed in before it is encrypted
            raise NotEncrypted
        self.send(b"s STARTTLS\r\n")
        while (answer := self.readline()).startswith(b"*"):
            pass
        if not answer.upper().startswith(b"S OK"):
            raise NotEncrypted
        self._ahead = bytearray(b"* OK\r\n")

    def send(self, data: Any) -> None:
        """Sends a command, or a part of one; the answer to it begins to count."""
        self._read, self._deadline = 0, time.monotonic() + LONGEST_ANSWER
        self.sock.settimeout(self._patience)
        self.sock.sendall(data)

    def read(self, size: int) -> bytes:
        """Exactly so many bytes."""
        if size > self._most + MOST_BESIDE:
            raise SaysTooMuch
        while len(self._ahead) < size:
            self._hear()
        return self._taken(size)

    def readline(self) -> bytes:
        """One line with its end."""
        looked = 0
        while (end := self._ahead.find(b"\n", looked)) < 0:
            looked = len(self._ahead)
            if looked > LONGEST_LINE:
                raise SaysTooMuch
            self._hear()
        return self._taken(end + 1)

    def _taken(self, size: int) -> bytes:
        with memoryview(self._ahead) as ahead, ahead[:size] as part:  # a message is copied once, not twice
            taken = bytes(part)
        del self._ahead[:size]
        return taken

    def _hear(self) -> None:
        """Waits for some bytes more."""
        silent_until = time.monotonic() + self._patience
        self.sock.settimeout(min(_TICK, self._patience))
        while True:
            if self._stop():
                raise Stopped
            if time.monotonic() > min(silent_until, self._deadline):
                raise TimeoutError
            with suppress(TimeoutError):
                heard = self.sock.recv(1 << 16)
                break
        if not heard:
            raise self.abort("the line was cut")
        self._ahead += heard
        self._read += len(heard)
        if self._read > self._most + MOST_BESIDE:
            raise SaysTooMuch

    def shutdown(self) -> None:
        """Hangs up without a word."""
        with suppress(OSError):
            self.sock.shutdown(socket.SHUT_RDWR)
        self.sock.close()

    def say_goodbye(self) -> None:
        """Hangs up; whatever the server answers, all is done by now."""
        self._patience = GOODBYE
        with suppress(imaplib.IMAP4.error, OSError, Stopped, SaysTooMuch):
            self.logout()
        self.shutdown()


def _unless(stop: Callable[[], bool], opens: Callable[[], Socket]) -> Socket:
    """A socket that is opened. Raises Stopped as soon as the caller wants to stop, and leaves the opening to itself.

    A server is looked for, and agrees on a cipher, inside calls that nothing interrupts before their time is over.
    """
    opened: SimpleQueue[Socket | Exception] = SimpleQueue()
    left = threading.Event()

    def run() -> None:
        try:
            opened.put(opens())
        except Exception as problem:  # whatever it was, it belongs to who waits
            opened.put(problem)
        if left.is_set():
            close()

    def close() -> None:
        with suppress(Empty):
            found = opened.get_nowait()
            if not isinstance(found, Exception):
                found.close()

    threading.Thread(target=run, daemon=True, name="intake mailbox").start()
    while True:
        if stop():
            left.set()
            close()
            raise Stopped
        with suppress(Empty):
            found = opened.get(timeout=_TICK)
            if isinstance(found, Exception):
                raise found
            return found


def quoted(text: str) -> str:
    """A quoted string of the protocol (RFC 3501, 9)."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def folder_name(name: str) -> str:
    """The name of a folder as the protocol writes it: quoted, in its own kind of UTF-7 (RFC 3501, 5.1.3)."""
    return quoted(re.sub("[^ -~]+", _in_utf_7, name.replace("&", "&-")))


def _in_utf_7(found: re.Match[str]) -> str:
    return f"&{b64encode(found[0].encode('utf-16-be')).decode().rstrip('=').replace('/', ',')}-"
