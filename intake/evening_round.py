"""The demo's evening: boxes go to the benches, one comes back with a question, and the day is closed."""

from datetime import date

from intake.desk.boxes import put_in_box
from intake.desk.closing import close_day, left_over
from intake.desk.code_sheets import print_bench_codes, print_stickers
from intake.desk.day_sheet import print_day_sheet
from intake.desk.desk import Desk
from intake.desk.hand_over import HandedOver, bring_back, hand_over
from intake.desk.issue import Issued, issue_all
from intake.desk.pour_list import print_pour_list
from intake.domain.scan_codes import ScanCode
from intake.domain.wording import counted
from intake.store.rows import JobRow

QUESTION = "The upper cast shows a cleft that the prescription does not mention. Is it to be covered?"
STICKERS_FOR = "MARLOW1"
TOMORROW = 2
"""So many jobs that need not start yet stay at reception until tomorrow."""


def hand_the_boxes_over(desk: Desk) -> tuple[list[str], tuple[int, ...]]:
    """Hands what is clear over to its first bench; gives what is to be told, and the tickets that wait."""
    clear = [desk.store.read.job(row.number) for row in desk.store.read.to_hand_over(date.max)[:-TOMORROW]]
    answers = [_hand_over(desk, job) for job in clear if job is not None]
    gone = [each for each in answers if each.yes]
    said = [f"{counted(len(gone), 'job')} handed over."]
    said += [f"Job {each.shown} stays: {each.said} {each.way_on}".rstrip() for each in answers if not each.yes]
    tickets: tuple[int, ...] = ()
    if gone:
        came = bring_back(desk, ScanCode("ticket", gone[0].number), "question", QUESTION)
        said.append(f"Job {came.shown}: {came.said}")
        tickets = came.tickets
    if desk.lab.boxes is not None:
        for number, each in enumerate(gone[1:4], start=desk.lab.boxes.first):
            put_in_box(desk, number, ScanCode("ticket", each.number))
    return said, tickets


def _hand_over(desk: Desk, job: JobRow) -> HandedOver:
    bench = desk.lab.category_by_id[job.category].route[0].bench
    return hand_over(desk, bench, ScanCode("ticket", job.number, job.copy))


def print_the_sheets(desk: Desk) -> tuple[Issued, ...]:
    """Prints the sheets of the day: the benches' codes, a practice's stickers, the pour list and the day sheet."""
    asked = (print_pour_list(desk), print_day_sheet(desk, desk.now().date()))
    return (print_bench_codes(desk), print_stickers(desk, STICKERS_FOR), *issue_all(desk, asked))


def close_the_day(desk: Desk) -> list[str]:
    """Closes the day with the usual reason for each thing that is left over; gives what is to be told."""
    left = left_over(desk)
    closed = close_day(desk, {each.key: each.usual[0] for each in left})
    return [*(f"{each.what}: {each.about}: {each.usual[0]}." for each in left), closed.says]
