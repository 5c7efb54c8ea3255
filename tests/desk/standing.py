"""How a case stands, so that undoing can be held to bring back exactly that."""

from intake.desk.hand_over import hand_over
from intake.domain.scan_codes import ScanCode


def stands(desk, case_id):
    """Everything of a case but its version and its copies of tickets."""
    read = desk.store.read
    row = read.case(case_id)
    queries = [query for query in read.queries_of(case_id) if query.state == "open"]
    return {
        "state": row.state,
        "case": row.case,
        "jobs": [(job.number, job.state, job.appliances) for job in read.jobs_of(case_id)],
        "asked": sorted((q.requirement, q.appliance or 0, q.letters, q.expected, q.job) for q in queries),
        "arrivals": [(arrival.arrival_id, arrival.state) for arrival in read.arrivals_of_case(case_id)],
        "links": [link.link_id for link in read.links_of(case_id)],
    }


def handed_over(desk, number):
    """Hands the box of a job over to the first bench of its route."""
    job = desk.store.read.job(number)
    bench = desk.lab.category_by_id[job.category].route[0].bench
    answer = hand_over(desk, bench, ScanCode("ticket", number, job.copy))
    assert answer.yes, answer.said
