"""Letters by e-mail: to the directory's address only, sent or as a draft, tried again when the line was down."""

from datetime import timedelta

from intake.desk.desk import Desk
from intake.domain.lab import Lab
from intake.domain.languages import spoken
from intake.domain.practice import Practice
from intake.errors import IntakeError
from intake.outbox.mail import Mail, MailRefused
from intake.outbox.passwords import keep_password, password_of
from intake.store.rows import DocumentRow


class AddressMissing(IntakeError):
    """There is no address that an e-mail may go to."""


class NoMail(IntakeError):
    """This desk has no way to send e-mail."""


def address_of(practice: Practice | None) -> str:
    """The address of a practice in the directory; no other is ever written to. Raises AddressMissing."""
    if practice is None:
        raise AddressMissing(
            "This practice is not in the directory, and e-mail goes to addresses of the directory only. "
            "Enter the practice first, or write by post."
        )
    if not practice.email.strip():
        raise AddressMissing(f"The directory has no e-mail address of {practice.name}. Enter it, or write by post.")
    return practice.email.strip()


def send(desk: Desk, document: DocumentRow, pdf: bytes) -> str:
    """Sends a document by e-mail, or writes the draft of one; gives what took it.

    Raises AddressMissing where the directory's address is another one by now, and MailTrouble or MailRefused.
    """
    row = desk.store.read.practice(document.practice_code) if document.practice_code else None
    address = address_of(row.practice if row else None)
    if address != document.address:
        raise AddressMissing(
            f"The address of {document.practice_name} in the directory is {address} now, no longer {document.address}. "
            "Write the letter again, so that it goes to the right place."
        )
    route = desk.mail_drafts if document.way == "draft" else desk.mail
    if route is None:
        raise NoMail("The lab setup names no mail server. Fill in [mail] there, or write drafts or by post.")
    return route.send(mail_of(desk, document, pdf))


def mail_of(desk: Desk, document: DocumentRow, pdf: bytes) -> Mail:
    """The e-mail that carries a document: its subject and the file's name have numbers, never a patient."""
    row = desk.store.read.practice(document.practice_code) if document.practice_code else None
    lab = spoken(desk.lab, row.practice.language if row else None)
    cases = {query.case_id for query in desk.store.read.queries_in(document.document_id)}
    subject, text = mail_words(
        lab, document.practice_name, document.document_id, len(cases) if document.kind == "letter" else None
    )
    return Mail(
        sender=lab.mail.sender or lab.email,
        to=document.address,
        subject=subject,
        text=text,
        attachments=((f"{document.kind}-{document.document_id}.pdf", pdf),),
        message_id=_message_id(document, lab.mail.sender or lab.email),
    )


def mail_words(lab: Lab, practice: str, number: int, cases: int | None) -> tuple[str, str]:
    """The subject and the text of an e-mail with a letter about so many cases, or with blank forms where None."""
    texts = lab.letter
    filled = {"practice": practice, "lab": lab.name, "count": str(cases or ""), "number": str(number)}
    sign = "\n".join(filter(None, (texts.closing.format_map(filled), lab.name, lab.telephone)))
    subject, text = (texts.mail_subject, texts.mail) if cases is not None else (texts.forms_subject, texts.forms_mail)
    said = (practice, text.format_map(filled), texts.caution.format_map(filled), sign)
    return subject.format_map(filled), "\n\n".join(said) + "\n"


def _message_id(document: DocumentRow, sender: str) -> str:
    """The same for every try, so that a mail that was taken before the line dropped is told for the same."""
    domain = sender.rpartition("@")[2].strip("> ")
    return f"{document.kind}-{document.document_id}.{document.created:%Y%m%d%H%M%S}@{domain or 'localhost'}"


def password_problem(desk: Desk) -> str:
    """Why nothing can be sent with the password of the mail account; empty where there is one, or none is needed."""
    mail = desk.lab.mail
    if not (mail.server and mail.user):
        return ""
    try:
        password_of(mail.user)
    except MailRefused as problem:
        return str(problem)
    return ""


def keep_mail_password(desk: Desk, password: str) -> None:
    """Keeps the password of the lab's mail account in the system's keyring. Raises MailRefused where there is none."""
    keep_password(desk.lab.mail.user, password)


def due_again(desk: Desk) -> tuple[int, ...]:
    """The mails that failed and are to be tried again by now."""
    wait, now = timedelta(minutes=desk.lab.mail.retry_minutes), desk.now()
    return tuple(
        row.document_id
        for row in desk.store.read.documents_waiting()
        if row.way == "mail" and row.state == "failed" and row.tried is not None and row.tried + wait <= now
    )
