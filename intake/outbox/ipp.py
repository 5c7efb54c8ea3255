"""Asks a print server for the state of one job: Get-Job-Attributes of the Internet Printing Protocol.

CUPS's own commands do not tell a job that was printed from one that was cancelled. The encoding is that of RFC 8010,
section 3; the operation that of RFC 8011, section 4.3.4.
"""

import http.client
import socket
import struct
from urllib.parse import unquote

_GET_JOB_ATTRIBUTES = 0x0009
_OPERATION_GROUP, _END = b"\x01", b"\x03"
_KEYWORD, _URI, _CHARSET, _LANGUAGE = 0x44, 0x45, 0x47, 0x48  # value tags of RFC 8010, 3.5.2
_NOT_FOUND = 0x0406
_FIRST_VALUE_TAG = 0x10


class JobLost(Exception):
    """The server answered with a status that is neither success nor “not found”."""


def job_state(server: str, queue: str, number: int, timeout: float) -> int | None:
    """The job-state of RFC 8011, 5.3.7 (3 pending to 9 completed) of a job of a queue.

    Args:
        server: `host:port`, or the path of a local socket.
        queue: the queue that the job was handed to.
        number: the job's number there.
        timeout: seconds to wait for the answer.

    Returns:
        The number of the state; None when the server knows no such job of the queue.

    Raises:
        OSError, http.client.HTTPException: the server does not answer.
        JobLost: it answers with an error.
    """
    connection = _LocalConnection(server, timeout) if server.startswith("/") else _connection(server, timeout)
    try:
        connection.request("POST", "/", request(number), {"Content-Type": "application/ipp"})
        answer = connection.getresponse().read()
    finally:
        connection.close()
    if len(answer) < 8:
        raise JobLost("the answer is too short")
    status = struct.unpack_from(">H", answer, 2)[0]
    if status == _NOT_FOUND:
        return None
    if status > 0x00FF:
        raise JobLost(f"the answer has status {status:#06x}")
    found = attributes(answer)
    printer = unquote(found["job-printer-uri"].decode("utf-8")).rsplit("/", 1)[-1]
    return int.from_bytes(found["job-state"], "big") if printer == queue else None


def request(number: int) -> bytes:
    """The request for the state and the queue of a job."""
    head = struct.pack(">BBHI", 2, 0, _GET_JOB_ATTRIBUTES, 1)
    values = (
        (_CHARSET, "attributes-charset", "utf-8"),
        (_LANGUAGE, "attributes-natural-language", "en"),
        (_URI, "job-uri", f"ipp://localhost/jobs/{number}"),
        (_KEYWORD, "requested-attributes", "job-state"),
        (_KEYWORD, "", "job-printer-uri"),
    )
    return head + _OPERATION_GROUP + b"".join(_attribute(*value) for value in values) + _END


def attributes(answer: bytes) -> dict[str, bytes]:
    """The first value of each attribute of an answer, as the bytes that were sent."""
    found: dict[str, bytes] = {}
    at = 8
    while at < len(answer) and answer[at : at + 1] != _END:
        if answer[at] < _FIRST_VALUE_TAG:
            at += 1
            continue
        name, at = _counted(answer, at + 1)
        value, at = _counted(answer, at)
        found.setdefault(name.decode("utf-8"), value)
    return found


def _attribute(tag: int, name: str, value: str) -> bytes:
    encoded = (part.encode("utf-8") for part in (name, value))
    return bytes([tag]) + b"".join(struct.pack(">H", len(part)) + part for part in encoded)


def _counted(answer: bytes, at: int) -> tuple[bytes, int]:
    """The bytes after a two-byte length, and where they end."""
    end = at + 2 + int.from_bytes(answer[at : at + 2], "big")
    return answer[at + 2 : end], end


def _connection(server: str, timeout: float) -> http.client.HTTPConnection:
    host, _, port = server.rpartition(":")
    return http.client.HTTPConnection(host, int(port), timeout=timeout)


class _LocalConnection(http.client.HTTPConnection):
    """HTTP over a local socket, as CUPS listens on its own machine."""

    def __init__(self, path: str, timeout: float) -> None:
        super().__init__("localhost", timeout=timeout)
        self._path = path

    def connect(self) -> None:
        """Connects to the socket's path."""
        self.sock = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
        self.sock.settimeout(self.timeout)
        self.sock.connect(self._path)
