"""Names that would break a careless store, through every field and every search."""

import pytest

from intake.domain.answer import Answer, Promise, Speaker
from intake.domain.case import Appliance, Case, Item, NewPractice, Options, Patient, Waiver
from intake.store.columns import clean
from intake.store.rows import NewArrival, NewReply
from tests.store.samples import NAMES, NOW, a_finding, a_practice, a_token, a_verdict, book, save_practices

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
@pytest.mark.sampled(16)
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
        work.documents.add_letter([1], reason=text)
        work.commit()
    row = store.read.case(booked.case_id)
    assert (row.case, row.practice_name) == (case, clean(text))
    assert store.read.arrival(taken.arrival_id).prescription == {"x": text}
    assert store.read.draft(text).content == {text: text}
    assert store.read.practice("P").practice.name == text
    assert store.read.documents_of(booked.jobs[0].number)[1].problem == clean(text)
    assert store.read.open_queries()[0].question == clean(text)
    assert {event.who for event in store.read.history(booked.case_id)} == {clean(text)}
    assert len(store.read.find(text)) in (0, 1)
    assert store.verify_chain().count == 6


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
@pytest.mark.sampled(8)
def test_whatever_a_practice_says_is_kept_and_does_no_harm(store, text):
    said = Answer(kind="promise", says=text, written=text, promise=Promise(by=NOW.date(), way="post"))
    speaker = Speaker(name=text, authority="prescriber", route="telephone")
    book(store, case=a_hostile_case(text), findings=[a_finding(text, "stops", 0, text)])
    key = f"~{text}"
    with store.work(text, NOW) as work:
        work.calls.attempt(key=key, name=text, outcome="spoke", telephone=text, note=text, case_ids=[1])
        letter = work.documents.add_letter([1], reason=text, way="mail", address=text)
        work.documents.mark_tried(letter, text)
        reply = work.replies.add(NewReply(text, "form", text, letter, key, text, {text: text}, b"\x00%PDF"))
        answer_id = work.answers.add(1, said, speaker, counts=True, spoken=True, reply_id=reply.reply_id)
        work.answers.confirm([answer_id], text)
        work.replies.set_state(reply.reply_id, "taken")
        work.commit()
    (ring,) = store.read.ring_rows(key)
    assert (ring.key, ring.practice_name) == (clean(key), clean(text))
    (call,) = store.read.attempts(key)
    assert {call.key[1:], call.practice_name, call.telephone, call.note, call.who} == {clean(text)}
    (answer,) = store.read.answers_of(1)
    assert (answer.answer, answer.speaker, answer.confirmed_how) == (said, clean(text), clean(text))
    assert (store.read.expected(key)[0].expected, store.read.letters_to(key)[0].address) == (clean(text), clean(text))
    kept = store.read.reply_of(text)
    assert (kept.content, kept.problem, store.read.reply_file(kept.reply_id).name) == (
        {text: text},
        clean(text),
        clean(text),
    )
    assert store.read.forgets(key, NOW)[0] == (clean(text), 1)
    assert store.verify_chain().count == len(store.read.history(1)) == 8


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
@pytest.mark.sampled(12)
def test_a_hostile_search_finds_only_what_fits(store, text):
    save_practices(store)
    with store.work("AB", NOW) as work:
        plain = Case(patient=Patient(label="Plain"), practice="MILL")
        work.cases.book(plain, a_verdict(), token=a_token(), names=NAMES)
        work.commit()
    assert store.read.find(text) == ()
    assert store.read.practice(text) is None
    assert len(store.read.find("plain")) == 1
    assert store.read.ring_rows(text) == store.read.attempts(text) == store.read.letters_to(text) == ()


def test_half_a_surrogate_pair_is_kept_as_a_replacement_character():
    assert clean("a\ud800b") == "a\ufffdb"
    assert clean("👩\x00") == "👩\ufffd"
