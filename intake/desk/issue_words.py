"""What became of tickets and letters, in sentences for the desk."""

from collections.abc import Sequence

from intake.desk.book_in import Booked
from intake.desk.issue import Issued, title_of
from intake.domain.job_number import read_number
from intake.domain.wording import listed


def issued_words(issued: Sequence[Issued]) -> str:
    """What was accepted: “Ticket 26 000001 08: accepted by tickets as job 12.”; empty when nothing was."""
    sent = [each for each in issued if each.sent]
    if not sent:
        return ""
    queues = listed(list(dict.fromkeys(str(each.queue) for each in sent)))
    if len(sent) > 3:
        return f"{len(sent)} documents were accepted by {queues}."
    return " ".join(f"{title_of(each.document)}: accepted by {each.queue} as job {each.queue_job}." for each in sent)


def problem_words(issued: Sequence[Issued]) -> str:
    """What keeps documents from being printed, each problem once; empty when nothing does."""
    kept_back = [each for each in issued if each.problem]
    if not kept_back:
        return ""
    titles = [title_of(each.document) for each in kept_back]
    who = listed(titles) if len(titles) <= 3 else f"{len(titles)} documents"
    verb = "waits" if len(titles) == 1 else "wait"
    return f"{who} {verb} for the printer. {' '.join(dict.fromkeys(str(each.problem) for each in kept_back))}"


def booked_words(booked: Booked, issued: Sequence[Issued]) -> str:
    """A booking with what became of its tickets, so that the number stays to be read."""
    jobs = [f"{read_number(job.number).shown}, {job.category_name}, {job.box_colour} box" for job in booked.jobs]
    accepted = [f"{each.queue} as job {each.queue_job}" for each in issued if each.sent]
    if not accepted:
        return f"Booked in: {'; '.join(jobs)}."
    ticket = "its ticket was" if len(accepted) == 1 else "their tickets were"
    return f"Booked in: {'; '.join(jobs)}; {ticket} accepted by {listed(accepted)}."
