"""A real mail server by IMAP on loopback for the tests, with an authority of its own, and lines that are cut.

The server is pymap, which keeps its messages in memory. It speaks STARTTLS; for TLS from the start, an ordinary
TLS end stands before it, as many servers have one.
"""

import imaplib
import re
import socket
import ssl
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass

import pytest
import trustme

from intake.inbox.mailbox import Mailbox

USER, PASSWORD = "reception", "sésame"
PROGRAM = """
from pymap.main import main
from pysasl.hashing import BuiltinHash
BuiltinHash.__init__.__kwdefaults__["rounds"] = 1_000  # of 500,000: nobody guesses this password
main()
"""


@dataclass
class ImapServer:
    """Where it listens, and what a client has to trust."""

    port: int
    tls_port: int
    trusted: ssl.SSLContext
    presented: ssl.SSLContext

    def mailbox(self, folder, *, security="tls", **more):
        port = self.tls_port if security == "tls" else self.port
        return Mailbox(**{"server": "localhost", "user": USER, "port": port, "security": security, "folder": folder,
                          "context": self.trusted} | more)  # fmt: skip

    @contextmanager
    def signed_in(self):
        """Another client of the same account: who delivers, looks and tidies up."""
        with imaplib.IMAP4("localhost", self.port, timeout=20) as line:
            line.starttls(self.trusted)
            line.sock.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            line.authenticate("PLAIN", lambda _: f"\0{USER}\0{PASSWORD}".encode())
            yield line

    def deliver(self, folder, messages):
        """Puts messages into a folder, which is made if there is none."""
        with self.signed_in() as line:
            line.create(f'"{folder}"')
            for message in messages:
                assert line.append(f'"{folder}"', None, None, message)[0] == "OK"

    def uids(self, folder):
        with self.signed_in() as line:
            line.select(f'"{folder}"', readonly=True)
            return [int(uid) for uid in line.uid("SEARCH", "ALL")[1][0].split()]

    def flags(self, folder):
        """What is noted of each message: a look at it would be noted as seen."""
        with self.signed_in() as line:
            line.select(f'"{folder}"', readonly=True)
            return [each for each in line.uid("FETCH", "1:*", "(FLAGS)")[1] if each]

    def remove(self, folder):
        with self.signed_in() as line:
            assert line.delete(f'"{folder}"')[0] == "OK"


@pytest.fixture(scope="session")
def imap_server(tmp_path_factory):
    """A server on a free port of loopback, gone again at the end."""
    folder = tmp_path_factory.mktemp("imap")
    authority = trustme.CA()
    certificate = authority.issue_cert("localhost")
    certificate.private_key_pem.write_to_path(folder / "key.pem")
    for pem in certificate.cert_chain_pems:
        pem.write_to_path(folder / "cert.pem", append=True)
    trusted, presented = ssl.create_default_context(), ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    authority.configure_trust(trusted)
    certificate.configure_cert(presented)
    port = _free_port()
    command = [
        sys.executable,
        "-c",
        PROGRAM,
        "--host",
        "127.0.0.1",
        "--port",
        str(port),
        "--cert",
        str(folder / "cert.pem"),
    ]
    command += ["--key", str(folder / "key.pem"), "--no-service", "admin", "--no-service", "sieve"]
    command += ["dict", "--demo-user", USER, "--demo-password", PASSWORD]
    with ExitStack() as stack, (folder / "log").open("wb") as log:
        process = stack.enter_context(subprocess.Popen(command, stdout=log, stderr=log))
        stack.callback(process.terminate)
        _wait_for(port, process, folder / "log")
        tls_port = stack.enter_context(relayed(port, front=presented))
        yield ImapServer(port, tls_port, trusted, presented)


@contextmanager
def relayed(port, *, front=None, most: Callable[[], int | None] = lambda: None):
    """A port that passes on what another one says, and cuts each line after so many bytes of it.

    Args:
        port: Where the server is.
        front: What to speak TLS by toward the client; None to pass on what comes.
        most: Bytes from the server after which a line is cut, asked for each line; None for no cut.
    """
    with socket.create_server(("127.0.0.1", 0)) as listening, ExitStack() as lines:
        threads = [threading.Thread(target=_accept, args=(listening, port, front, most, lines))]
        threads[0].start()
        try:
            yield listening.getsockname()[1]
        finally:
            with suppress(OSError):
                listening.shutdown(socket.SHUT_RDWR)
            lines.close()
            threads[0].join(timeout=20)


def _accept(listening, port, front, most, lines):
    with suppress(OSError):
        while True:
            client, _ = listening.accept()
            thread = threading.Thread(target=_relay, args=(client, port, front, most()))
            thread.start()
            lines.callback(thread.join, 20)
            lines.callback(_hang_up, client)


def _relay(client, port, front, most):
    with suppress(OSError), socket.create_connection(("127.0.0.1", port)) as server, client:
        for each in (client, server):
            each.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        spoken = front.wrap_socket(client, server_side=True) if front else client
        with spoken:
            asking = threading.Thread(target=_pass_on, args=(spoken, server, None))
            asking.start()
            _pass_on(server, spoken, most)
            _hang_up(spoken)
            asking.join(timeout=20)


def _pass_on(source, target, most):
    """Passes bytes on until there are none, or so many; then the other side is hung up on."""
    with suppress(OSError):
        while most is None or most > 0:
            piece = source.recv(65_536 if most is None else min(most, 65_536))
            if not piece:
                break
            target.sendall(piece)
            most = None if most is None else most - len(piece)
    _hang_up(target)
    _hang_up(source)


def _hang_up(line):
    with suppress(OSError):
        line.shutdown(socket.SHUT_RDWR)


@contextmanager
def scripted_imap_server(answers, shown, *, security="tls"):
    """A server that says what it is told to, for what no honest one would say. Gives its port and what it heard.

    Args:
        answers: By the beginning of a command ("" for the greeting, "PASSWORD" for what follows AUTHENTICATE): the
            lines to say, `TAG` standing for the command's tag; None to hang up; a function is handed the line.
        shown: The certificate that it shows, as a context.
        security: "tls" to speak TLS from the start, "starttls" to begin without.
    """
    script, heard = USUAL | answers, []
    with socket.create_server(("127.0.0.1", 0)) as listening:

        def answer():
            with suppress(OSError):
                line, _ = listening.accept()
                with line if security == "starttls" else shown.wrap_socket(line, server_side=True) as spoken:
                    speak(spoken, script, heard)

        thread = threading.Thread(target=answer)
        thread.start()
        yield listening.getsockname()[1], heard
        _hang_up(listening)
        thread.join(timeout=20)


USUAL = {
    "": "* OK hello",
    "CAPABILITY": "* CAPABILITY IMAP4rev1 AUTH=PLAIN MOVE\r\nTAG OK",
    "AUTHENTICATE": "+ ",
    "PASSWORD": "TAG OK in",
    "EXAMINE": "* 1 EXISTS\r\n* OK [UIDVALIDITY 7] v\r\nTAG OK [READ-ONLY] open",
    "SELECT": "* 1 EXISTS\r\n* OK [UIDVALIDITY 7] v\r\nTAG OK [READ-WRITE] open",
    "STATUS": "* STATUS x (MESSAGES 0)\r\nTAG OK",
    "UID SEARCH": "* SEARCH 5\r\nTAG OK",
    "UID FETCH 5 (RFC822.SIZE": "* 1 FETCH (UID 5 RFC822.SIZE 5)\r\nTAG OK",
    "UID FETCH 5 (BODY": "* 1 FETCH (UID 5 BODY[]<0> {5}\r\nhello)\r\nTAG OK",
    "LOGOUT": "* BYE\r\nTAG OK",
}
"""What a scripted server says unless it is told otherwise: one message of five bytes, whose UID is 5."""


def speak(line, script, heard):
    asked, command, tag = line.makefile("rb"), "", ""
    while True:
        keys = [key for key in script if command.startswith(key) and bool(key) == bool(command)]
        said = script[max(keys, key=len)] if keys else "TAG BAD what?"
        if said is None:
            return
        if callable(said):
            said(line)
            return
        whole = re.sub(r"TAG OK$", "TAG OK done", said, flags=re.MULTILINE).replace("TAG", tag)
        line.sendall(whole.encode("latin-1") + b"\r\n" * bool(whole))
        if command == "LOGOUT" or not (words := asked.readline().decode("latin-1").strip()):
            return
        heard.append(words)
        tag, command = (tag, "PASSWORD") if said == "+ " else (words.partition(" ")[0], words.partition(" ")[2])


def _free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def _wait_for(port, process, log):
    deadline = time.monotonic() + 20
    while time.monotonic() < deadline:
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        assert process.poll() is None, log.read_text()
        time.sleep(0.02)
    pytest.fail("the mail server did not start within 20 seconds")
