"""What became of tickets and letters, in sentences for the desk."""

from collections.abc import Sequence

from intake.desk.book_in import Booked
from intake.desk.issue import Issued, title_of
from intake.domain.job_number import read_number
from intake.domain.wording import listed

FEW = 3
"""So many documents or jobs are named one by one; more are counted, so that the news stays short."""


def issued_words(issued: Sequence[Issued]) -> str:
    """What was accepted: “Ticket 26 000001 08: accepted by tickets as job 12.”; empty when nothing was."""
    sent = [each for each in issued if each.sent]
    if not sent:
        return ""
    queues = listed(list(dict.fromkeys(str(each.queue) for each in sent)))
    if len(sent) > FEW:
        return f"{len(sent)} documents were accepted by {queues}."
    return " ".join(f"{title_of(each.document)}: {_accepted(each)}." for each in sent)


def problem_words(issued: Sequence[Issued]) -> str:
    """What keeps documents from being printed, each problem once; empty when nothing does."""
    on_paper = [each for each in issued if each.problem and each.document.way == "print"]
    by_mail = [each for each in issued if each.problem and each.document.way != "print"]
    return " ".join(filter(None, (_kept_back(on_paper, "for the printer"), _kept_back(by_mail, "to go by e-mail"))))


def _accepted(each: Issued) -> str:
    """Who took a document."""
    if each.document.way == "mail":
        return f"sent by e-mail to {each.document.address}"
    if each.document.way == "draft":
        return f"kept as the draft {each.queue}, to be sent from a mail program"
    return f"accepted by {each.queue} as job {each.queue_job}"


def _kept_back(kept_back: Sequence[Issued], what_for: str) -> str:
    if not kept_back:
        return ""
    titles = [title_of(each.document) for each in kept_back]
    who = listed(titles) if len(titles) <= FEW else f"{len(titles)} documents"
    verb = "waits" if len(titles) == 1 else "wait"
    return f"{who} {verb} {what_for}. {' '.join(dict.fromkeys(str(each.problem) for each in kept_back))}"


def booked_words(booked: Booked, issued: Sequence[Issued]) -> str:
    """A booking with what became of its tickets, so that the number stays to be read."""
    sent = [each for each in issued if each.sent]
    if not sent:
        return f"Booked in: {_jobs(booked)}."
    ticket = "its ticket was" if len(sent) == 1 else "their tickets were"
    queues = listed(list(dict.fromkeys(str(each.queue) for each in sent)))
    by = listed([f"{each.queue} as job {each.queue_job}" for each in sent]) if len(sent) <= FEW else queues
    return f"Booked in: {_jobs(booked)}; {ticket} accepted by {by}."


def _jobs(booked: Booked) -> str:
    """Each job with its box, and HOLD where it waits; of many jobs how many they are, and the first number."""
    if len(booked.jobs) > FEW:
        held = sum(job.state == "held" for job in booked.jobs)
        return f"{len(booked.jobs)} jobs, {held} of them on HOLD, from {read_number(booked.jobs[0].number).shown} on"
    return "; ".join(
        f"{read_number(job.number).shown}, {job.category_name}, {job.box_colour} box"
        + (": HOLD" if job.state == "held" else "")
        for job in booked.jobs
    )
