"""A real mail server on loopback for the tests, with TLS and an authority of its own; it keeps what it takes."""

import socket
import ssl
import threading
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field

import trustme
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, AuthResult


@dataclass
class Kept:
    """What the server has taken, and how it answers."""

    messages: list = field(default_factory=list)
    recipients: list = field(default_factory=list)
    refuse: str = ""
    """Its answer to every recipient, such as `550 no such user`; empty when it takes all."""

    async def handle_RCPT(self, server, session, envelope, address, options):  # noqa: N802
        if self.refuse:
            return self.refuse
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):  # noqa: N802
        self.messages.append(envelope.content)
        self.recipients += envelope.rcpt_tos
        return "250 Taken"


@dataclass
class MailServer:
    """Where it listens, and what a client has to trust."""

    kept: Kept
    port: int
    trusted: ssl.SSLContext


class _Controller(Controller):
    def factory(self):
        return SMTP(self.handler, **self.SMTP_kwargs)


def _accept(server, session, envelope, mechanism, data):
    right = (data.login, data.password) == (b"reception", b"sesame")
    return AuthResult(success=right, handled=right)


def _free_port():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return taken.getsockname()[1]


@contextmanager
def mail_server(security="starttls", name="localhost", offer_tls=True):
    """A server on a free port of loopback: by STARTTLS, by TLS from the start, or without any."""
    authority, kept = trustme.CA(), Kept()
    certificate = authority.issue_cert(name)
    server_side = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    certificate.configure_cert(server_side)
    trusted = ssl.create_default_context()
    authority.configure_trust(trusted)
    how = {"ssl_context": server_side} if security == "tls" else {}
    if security == "starttls" and offer_tls:
        how |= {"tls_context": server_side, "require_starttls": True}
    port = _free_port()
    controller = _Controller(
        kept, hostname="127.0.0.1", port=port, authenticator=_accept, auth_require_tls=security != "tls", **how
    )
    controller.start()
    try:
        yield MailServer(kept, port, trusted)
    finally:
        controller.stop()


@contextmanager
def scripted_server(answers, security="tls"):
    """A server that answers each verb as it is told, and hangs up where its answer is None; `.` ends the mail.

    With `starttls` it says what it is told to, and speaks no TLS whatever it said.
    """
    authority = trustme.CA()
    server_side = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    authority.issue_cert("localhost").configure_cert(server_side)
    trusted = ssl.create_default_context()
    authority.configure_trust(trusted)
    usual = {
        "": "220 hello",
        "EHLO": "250-localhost\r\n250 AUTH PLAIN",
        "MAIL": "250 go",
        "RCPT": "250 go",
        "DATA": "354 go",
    }
    script, kept = usual | {".": "250 taken", "QUIT": "221 bye", "RSET": "250 go"} | answers, Kept()
    with socket.create_server(("127.0.0.1", 0)) as listening:

        def answer():
            with suppress(OSError):
                line, _ = listening.accept()
                with line if security == "starttls" else server_side.wrap_socket(line, server_side=True) as spoken:
                    _speak(spoken, script, kept)

        thread = threading.Thread(target=answer)
        thread.start()
        yield MailServer(kept, listening.getsockname()[1], trusted)
        thread.join(timeout=20)


def _speak(line, script, kept):
    spoken, verb = line.makefile("rb"), ""
    while (said := script.get(verb, "250 go")) is not None:
        line.sendall(said.encode() + b"\r\n")
        if verb == "QUIT":
            return
        if verb == "DATA" and said.startswith("354"):
            content = b""
            while not content.endswith(b"\r\n.\r\n"):
                content += spoken.readline()
            kept.messages.append(content)
            verb = "."
            continue
        command = spoken.readline()
        if not command:
            return
        verb = command.decode("latin-1").upper().partition(" ")[0].strip()
