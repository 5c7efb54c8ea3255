"""E-mails sent through the lab's own mail server, always by TLS with the server's certificate checked."""

import smtplib
import ssl
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

from intake.outbox.mail import Mail, MailRefused, MailTrouble, message_of

TIMEOUT = 20
"""Seconds to wait for the server at each step."""


@dataclass(frozen=True)
class Smtp:
    """A mail server (RFC 5321), reached by TLS from the start or by STARTTLS (RFC 3207, RFC 8314)."""

    server: str
    port: int
    security: Literal["starttls", "tls"] = "starttls"
    user: str = ""
    password: Callable[[], str] = lambda: ""
    """Asked for when it is needed."""
    context: ssl.SSLContext = field(default_factory=ssl.create_default_context)
    """Checks the server's certificate against the system's authorities."""

    def send(self, mail: Mail) -> str:
        """Sends an e-mail; gives the server's name.

        Raises MailTrouble where it may go out later, MailRefused where something has to be put right first.
        """
        message = message_of(mail)
        password = self.password() if self.user else ""
        try:
            with self._connected() as line:
                if self.user:
                    line.login(self.user, password)
                line.send_message(message)
        except smtplib.SMTPResponseException as refused:
            raise self._refusal(refused, mail) from None
        except smtplib.SMTPRecipientsRefused as refused:
            code, said = next(iter(refused.recipients.values()))
            raise self._refusal(smtplib.SMTPResponseException(code, said), mail) from None
        except smtplib.SMTPNotSupportedError:
            raise MailRefused(
                f"{self.server} does not offer an encrypted line or the sign-in that the setup asks for. "
                "Nothing was sent. Check port and security of [mail] in the setup."
            ) from None
        except ssl.SSLCertVerificationError as wrong:
            raise MailRefused(
                f"{self.server} did not prove that it is {self.server} ({wrong.verify_message}). Nothing was sent. "
                "Check the server’s name in the setup; if it is right, ask whoever looks after the mail server."
            ) from None
        except (OSError, smtplib.SMTPException) as trouble:
            raise MailTrouble(f"{self.server} cannot be reached or broke off: {trouble}. It is tried again.") from None
        return self.server

    def _connected(self) -> smtplib.SMTP:
        if self.security == "tls":
            return smtplib.SMTP_SSL(self.server, self.port, timeout=TIMEOUT, context=self.context)
        line = smtplib.SMTP(self.server, self.port, timeout=TIMEOUT)
        try:
            line.starttls(context=self.context)  # raises where the server, or somebody between, does not offer it
        except BaseException:
            line.close()
            raise
        return line

    def _refusal(self, refused: smtplib.SMTPResponseException, mail: Mail) -> MailRefused | MailTrouble:
        """A permanent refusal (5xx) or one that passes (4xx), in a sentence (RFC 5321 4.2.1)."""
        said = refused.smtp_error
        words = said.decode("utf-8", "replace") if isinstance(said, bytes) else str(said)
        told = f"{self.server} refused the mail to {mail.to}: {refused.smtp_code} {' '.join(words.split())}"
        if isinstance(refused, smtplib.SMTPAuthenticationError):
            return MailRefused(f"{self.server} refused the sign-in of {self.user}. Enter the password again.")
        return MailTrouble(f"{told}. It is tried again.") if refused.smtp_code < 500 else MailRefused(f"{told}.")
