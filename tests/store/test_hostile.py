"""Names that would break a careless store, through every field and every search."""

import pytest

from intake.domain.case import Appliance, Case, Item, NewPractice, Options, Patient, Waiver
from intake.store.columns import clean
from intake.store.rows import NewArrival
from tests.store.samples import NAMES, NOW, a_finding, a_practice, a_token, a_verdict, save_practices

HOSTILE = (
    "'; DROP TABLE jobs; --",
    '" OR "1"="1',
    "Robert'); DELETE FROM events;--",
    "%",
    "_____",
    "100%_\\",
    "\\'; SELECT pg_sleep(9); --",
    "a\x00b",
    ":name %(name)s {0} ${x} ?1",
    "<b>bold</b><img src=x>",
    "=1+1",
    "\u202egnp.exe",
    "Zoë Ω Łukasz 👩🏽‍⚕️",
    "line\r\nbreak\ttab",
    "x" * 20_000,
    "\ufeff\u200b",
)


def a_hostile_case(text):
    return Case(
        practice=NewPractice(name=text, address=(text, text), postcode=text, telephone=text, email=text),
        prescriber=text,
        patient=Patient(label=text, reference=text, allergies=(text,)),
        appliances=(Appliance(type="repair", notes=text, options=Options(shade=text, material=text, colour=text)),),
        items=(Item(item="impression", material=text),),
        notes=text,
        waived=(Waiver(requirement="shade", by=text, note=text),),
    )


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_whatever_is_typed_is_kept_found_and_does_no_harm(store, text):
    case = a_hostile_case(text)
    finding = a_finding(text, "stops", 0, text)
    with store.work(text, NOW) as work:
        booked = work.cases.book(case, a_verdict(findings=[finding]), token=text + a_token(), names={"splints": text})
        taken = work.arrivals.add(NewArrival("post", NOW, text, text, text, {"x": text}, text, text, text))
        work.drafts.keep(text, {text: text})
        work.practices.save(a_practice("P", text, address=(text,), prescribers=(text,)))
        copy = work.documents.next_copy(booked.jobs[0].number, text)
        work.documents.mark_failed(copy.document_id, text)
        work.documents.add_letter([1], text)
        work.commit()
    row = store.read.case(booked.case_id)
    assert (row.case, row.practice_name) == (case, clean(text))
    assert store.read.arrival(taken.arrival_id).prescription == {"x": text}
    assert store.read.draft(text).content == {text: text}
    assert store.read.practice("P").practice.name == text
    assert store.read.documents_of(booked.jobs[0].number)[1].problem == clean(text)
    assert store.read.open_queries()[0].question == clean(text)
    assert store.read.letters_due() == ()
    assert {event.who for event in store.read.history(booked.case_id)} == {clean(text)}
    assert len(store.read.find(text)) in (0, 1)
    assert store.verify_chain().count == 6


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_search_finds_only_what_fits(store, text):
    save_practices(store)
    with store.work("AB", NOW) as work:
        plain = Case(patient=Patient(label="Plain"), practice="MILL")
        work.cases.book(plain, a_verdict(), token=a_token(), names=NAMES)
        work.commit()
    assert store.read.find(text) == ()
    assert store.read.practice(text) is None
    assert len(store.read.find("plain")) == 1


def test_half_a_surrogate_pair_is_kept_as_a_replacement_character():
    assert clean("a\ud800b") == "a\ufffdb"
    assert clean("👩\x00") == "👩\ufffd"
