"""How long a ticket takes on paper: at most 15 ms for 95 of 100, each with names of its own; with pictures, 100 ms."""

from dataclasses import replace
from time import process_time

import pytest

from intake.documents.ticket import TicketPicture, draw_ticket
from intake.inbox.mesh.picture import occlusal_picture
from tests.documents.samples import CLEAR, HELD
from tests.scans.arches import arch, scaled


@pytest.mark.benchmark
@pytest.mark.parametrize("ticket", [CLEAR, HELD], ids=["clear", "held"])
def test_a_ticket_is_drawn_within_15_ms(ticket, record_property, allowed):
    draw_ticket(ticket)
    times = []
    for i in range(100):
        other = replace(ticket, number=f"26 {i:06} 76", patient=f"J.T.  {i}", practice=f"Practice {i}")
        begin = process_time()
        draw_ticket(other)
        times.append(process_time() - begin)
    times.sort()
    record_property("p50_ms", round(times[50] * 1000, 1))
    record_property("p95_ms", round(times[94] * 1000, 1))
    assert times[94] <= allowed(0.015)


@pytest.mark.benchmark
def test_a_ticket_with_three_pictures_is_drawn_within_100_ms(record_property, allowed):
    """Each of scans of its own, which are made small for it."""
    mesh, times = arch("upper", 2_000), []
    for i in range(12):
        png = [occlusal_picture(scaled(mesh, 1 + (3 * i + each) / 100), "upper", 1.0) for each in range(3)]
        ticket = replace(HELD, pictures=tuple(TicketPicture("Upper", each) for each in png))
        begin = process_time()
        draw_ticket(ticket)
        times.append(process_time() - begin)
    times.sort()
    record_property("p50_ms", round(times[6] * 1000, 1))
    record_property("p90_ms", round(times[-2] * 1000, 1))
    assert times[-2] <= allowed(0.1)
