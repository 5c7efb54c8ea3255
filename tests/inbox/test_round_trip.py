"""A reply form there and back: out by a real mail server, filled in by another program, back in a mail."""

from email import message_from_bytes, policy
from email.message import EmailMessage

from intake.documents.letter import draw_letter
from intake.inbox.message import read_mail
from intake.inbox.reply_form import read_reply
from intake.inbox.sorting import what_is
from intake.outbox.mail import Mail
from intake.outbox.smtp import Smtp
from tests.documents.filling import filled_by_pypdf
from tests.documents.samples import REPLY_FORM
from tests.outbox.mail_server import mail_server

PDF = draw_letter(REPLY_FORM)
PRACTICE, LAB = "desk@marlowe-house.example.com", "reception@lab.example.com"


def test_a_letter_goes_out_comes_back_filled_in_and_is_read():
    with mail_server() as server:
        route = Smtp("localhost", server.port, context=server.trusted)
        route.send(Mail(LAB, PRACTICE, "Letter 187", "Please fill it in.", (("letter-187.pdf", PDF),)))
        (came,) = read_mail(server.kept.messages[0]).attached
        assert (came.name, came.content) == ("letter-187.pdf", PDF)

        filled = filled_by_pypdf(came.content, {"name": "Dr R. Ashdown", "role": "/prescriber", "q43-menu": "A3.5"})
        route.send(Mail(PRACTICE, LAB, "Re: Letter 187", "Here.", (("letter-187 (1).pdf", filled),)))
        returned = server.kept.messages[1]
    assert what_is(returned) == "mail"
    mail = read_mail(returned)
    assert mail.sender == PRACTICE
    assert mail.attached[0].content == filled
    read = read_reply(mail.attached[0].content, mail.attached[0].name, {187: PDF}.get)
    assert (read.kind, read.letter_id, read.name, read.role) == ("form", 187, "Dr R. Ashdown", "prescriber")
    assert read.answers[43].text == "A3.5"


def test_a_mail_that_python_writes_and_this_reads_agrees_with_python_in_every_part():
    """The outside reference is Python's email package under its strict policy."""
    message = EmailMessage(policy=policy.SMTP)
    message["From"], message["Subject"] = f"Łucja <{PRACTICE}>", "Re: “Letter” 187, Łódź"
    message.set_content("Here.")
    message.add_alternative("<p>Here.</p>", subtype="html")
    for name in ("form.pdf", "Łódź (2).pdf", "“odd”; name=.pdf"):
        message.add_attachment(PDF, maintype="application", subtype="pdf", filename=name)
    content = bytes(message)
    strict, read = message_from_bytes(content, policy=policy.strict), read_mail(content)
    assert [(each.name, each.content) for each in read.attached] == [
        (part.get_filename(), part.get_content()) for part in strict.iter_attachments()
    ]
    assert (read.sender, read.subject) == (PRACTICE, strict["Subject"])
