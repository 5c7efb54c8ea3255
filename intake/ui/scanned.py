"""What a code from the scanner gun is: a ticket's number, a reply form's, or none of the lab's."""


def refusal(code: str) -> str:
    """Why a code that was scanned is none of the lab's numbers; empty when it is one."""
    from intake.domain.job_number import NumberRefused, read_barcode

    if letter_of(code) is not None:
        return ""
    try:
        read_barcode(code)
    except NumberRefused as refused:
        return str(refused)
    return ""


def letter_of(code: str) -> int | None:
    """The letter whose reply form was scanned; None where it is no reply form's number."""
    from intake.domain.reply_number import ReplyNumberRefused, read_reply_number

    try:
        return read_reply_number(code)
    except ReplyNumberRefused:
        return None
