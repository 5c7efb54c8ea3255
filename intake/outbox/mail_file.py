"""E-mails written as drafts: files that any mail program opens ready to be sent by a person."""

from dataclasses import dataclass
from pathlib import Path

from intake.outbox.mail import Mail, MailTrouble, message_of


@dataclass(frozen=True)
class DraftFolder:
    """A folder of drafts, one `.eml` file each."""

    folder: Path

    def send(self, mail: Mail) -> str:
        """Writes a draft; gives its file's name. Raises MailTrouble where the folder cannot be written to."""
        message = message_of(mail)
        message["X-Unsent"] = "1"  # what mail programs take for a message that is still to be sent
        name = mail.attachments[0][0].removesuffix(".pdf") if mail.attachments else "message"
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            return self._written(name, bytes(message)).name
        except OSError as error:
            why = error.strerror or str(error)
            raise MailTrouble(f"The draft cannot be written to {self.folder}: {why}.") from None

    def _written(self, name: str, content: bytes) -> Path:
        """Under a name that no draft has yet: what a person may have open is not overwritten."""
        path, number = self.folder / f"{name}.eml", 2
        while True:
            try:
                with path.open("xb") as file:
                    file.write(content)
            except FileExistsError:
                path, number = self.folder / f"{name} ({number}).eml", number + 1
            else:
                return path
