"""E-mails sent through the lab's own mail server, always by TLS with the server's certificate checked."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from intake.outbox.mail import Mail, MailRefused, MailTrouble, message_of

if TYPE_CHECKING:
    import smtplib
    import ssl

TIMEOUT = 20
"""Seconds to wait for a server to come to the line."""
PATIENCE = 60
"""Seconds to wait for each of its answers: a server looks through a mail before it says that it takes it."""
GOODBYE = 5
"""Seconds to wait for its goodbye, when the mail is taken."""


@dataclass(frozen=True)
class Smtp:
    """A mail server (RFC 5321), reached by TLS from the start or by STARTTLS (RFC 3207, RFC 8314)."""

    server: str
    port: int
    security: Literal["starttls", "tls"] = "starttls"
    user: str = ""
    password: Callable[[], str] = lambda: ""
    """Asked for when it is needed."""
    context: "ssl.SSLContext | None" = None
    """What the server's certificate is checked against; None for the system's own authorities."""

    def send(self, mail: Mail) -> str:
        """Sends an e-mail; gives the server's name.

        Raises MailTrouble where it may go out later, MailRefused where something has to be put right first.
        """
        message = message_of(mail)
        password = self.password() if self.user else ""
        try:
            line = self._connected()
            try:
                _wait(line, PATIENCE)
                if self.user:
                    line.login(self.user, password)
                line.send_message(message)
                _hang_up(line)
            finally:
                line.close()
        except (OSError, UnicodeError) as problem:
            raise self._told(problem, mail) from None
        return self.server

    def _connected(self) -> "smtplib.SMTP":
        import smtplib  # slow to import, and not needed at the start
        import ssl

        context = self.context or ssl.create_default_context()
        if self.security == "tls":
            return smtplib.SMTP_SSL(self.server, self.port, timeout=TIMEOUT, context=context)
        line = smtplib.SMTP(self.server, self.port, timeout=TIMEOUT)
        try:
            line.starttls(context=context)  # raises where the server, or somebody between, does not offer it
        except BaseException:
            line.close()
            raise
        return line

    def _told(self, problem: OSError | UnicodeError, mail: Mail) -> MailRefused | MailTrouble:
        """What went wrong in a sentence: whether it passes, or what has to be put right."""
        import smtplib
        import ssl

        match problem:
            case smtplib.SMTPRecipientsRefused(recipients=recipients):
                code, said = next(iter(recipients.values()))
                return self._refusal(code, said, f"the mail to {mail.to}")
            case smtplib.SMTPAuthenticationError(smtp_code=code) if code >= 500:
                return MailRefused(f"{self.server} refused the sign-in of {self.user}. Enter the password again.")
            case smtplib.SMTPResponseException(smtp_code=code, smtp_error=said):
                return self._refusal(code, said, f"the mail to {mail.to}")
            case smtplib.SMTPNotSupportedError():
                return self._check(
                    f"{self.server} does not offer an encrypted line, or no sign-in that the setup asks for"
                )
            case ssl.SSLCertVerificationError(verify_message=why):
                return MailRefused(
                    f"{self.server} did not prove that it is {self.server} ({why}). Nothing was sent. Check the "
                    "server’s name in the setup; if it is right, ask whoever looks after the mail server."
                )
            case ssl.SSLError() if not isinstance(problem, ssl.SSLEOFError):
                return self._check(f"{self.server} does not begin an encrypted line the way the setup says")
            case UnicodeError():
                return self._check("The server’s name, the account or its password has a letter that mail cannot carry")
        return MailTrouble(f"{self.server} cannot be reached or broke off: {problem}. It is tried again.")

    def _refusal(self, code: int, said: bytes | str, what: str) -> MailRefused | MailTrouble:
        """A permanent refusal (5xx) or one that passes (4xx): RFC 5321, 4.2.1."""
        words = said.decode("utf-8", "replace") if isinstance(said, bytes) else said
        told = f"{self.server} refused {what}: {code} {' '.join(words.split())}"
        return MailTrouble(f"{told}. It is tried again.") if code < 500 else MailRefused(f"{told}.")

    @staticmethod
    def _check(told: str) -> MailRefused:
        return MailRefused(f"{told}. Nothing was sent. Check server, port and security of [mail] in the setup.")


def _hang_up(line: "smtplib.SMTP") -> None:
    """Says goodbye. The mail is taken by now: whatever the server answers, it is not sent again."""
    with suppress(OSError):
        _wait(line, GOODBYE)
        line.quit()


def _wait(line: "smtplib.SMTP", seconds: int) -> None:
    if line.sock is not None:
        line.sock.settimeout(seconds)
