"""What the store's tests book: small cases and verdicts with sane defaults."""

from datetime import date, datetime
from itertools import count

from intake.domain.answer import Answer, Promise, Speaker
from intake.domain.case import Appliance, Case, Item, Options, Patient
from intake.domain.lab import Box
from intake.domain.practice import Practice
from intake.domain.verdict import BenchDate, Deadlines, Finding, JobVerdict, PourBy, Verdict

NOW = datetime(2026, 11, 25, 9, 30)
NAMES = {"splints": "Splints", "retainers": "Retainers", "whitening": "Whitening"}
BOXES = {"splints": ("Blue", "#1f6fb4"), "retainers": ("Green", "#2e8b57"), "whitening": ("White", "#f4f4f4")}
TYPES = {"splints": "occlusal-splint-hard", "retainers": "vacuum-formed-retainer", "whitening": "whitening-tray"}
DATES = Deadlines(
    route=(BenchDate(bench="Casting", by=date(2026, 12, 2)), BenchDate(bench="Checking", by=date(2026, 12, 8))),
    start=date(2026, 11, 25),
    latest_start=date(2026, 12, 2),
    must_leave=date(2026, 12, 8),
    with_practice=date(2026, 12, 9),
    appointment=date(2026, 12, 10),
    reply_by=datetime(2026, 12, 1, 12),
    outlook="comfortable",
    spare_days=5,
    earliest_appointment=None,
)
_tokens = count(1)


def a_practice(code="MILL", name="Mill Lane Dental", **said):
    return Practice(code=code, name=name, **({"prescribers": ("Dr R. Ashdown", "Dr Ł. Brzęk")} | said))


def a_case(*categories, practice="MILL", label="J.T.", reference="20418", shade="A2", notes="", **said):
    appliances = (
        Appliance(type=TYPES[category], arch="upper", teeth=("16",), options=Options(shade=shade))
        for category in categories or ("splints",)
    )
    items = (
        Item(item="impression", arch="upper", material="addition-silicone", taken=datetime(2026, 11, 24, 15, 30)),
        Item(item="bite-record", kind="centric"),
        Item(item="model", arch="lower"),
    )
    patient = Patient(label=label, reference=reference)
    given = {"prescriber": "Dr R. Ashdown", "appliances": tuple(appliances), "items": items, "notes": notes}
    given |= {"appointment": datetime(2026, 12, 10, 9, 30), "arrived": datetime(2026, 11, 25, 8, 40)}
    return Case(practice=practice, patient=patient, **(given | said))


def a_finding(requirement="thickness", level="asks", appliance=0, question="How thick shall it be?"):
    said = {"question": question, "because": "Nothing was given.", "place": "appliances[0].options.thickness_mm"}
    return Finding(requirement=requirement, level=level, appliance=appliance, **said)


def a_verdict(*categories, findings=(), dates=DATES, state=None):
    findings = tuple(findings)
    held = state or ("held" if any(f.level == "stops" for f in findings) else "clear")
    jobs = tuple(
        JobVerdict(
            category=category,
            appliances=(index,),
            state=held,
            box=Box(colour=BOXES[category][0], hex=BOXES[category][1]),
            deadlines=dates,
        )
        for index, category in enumerate(categories or ("splints",))
    )
    by = datetime(2026, 12, 8, 15, 30)
    pour_by = PourBy(item=0, by=by, usual=by, not_before=None, estimated=None)
    return Verdict(state=held, jobs=jobs, findings=findings, pour_by=pour_by)


def a_token():
    return f"token-{next(_tokens)}"


def book(store, *categories, findings=(), case=None, at=NOW, who="AB", arrival_id=None):
    """Books one case of these categories and commits."""
    with store.work(who, at) as work:
        booked = work.cases.book(
            case or a_case(*categories),
            a_verdict(*categories, findings=findings),
            token=a_token(),
            names=NAMES,
            arrival_id=arrival_id,
        )
        work.commit()
    return booked


def save_practices(store, *practices):
    with store.work("AB", NOW) as work:
        for practice in practices or (a_practice(),):
            work.practices.save(practice)
        work.commit()


OSTERBY = Speaker(name="Ms Osterby", authority="on-behalf", route="telephone")


def an_answer(kind="value", says="2 mm", written="2", **said):
    """A value, or whatever else was said."""
    if kind == "promise":
        said.setdefault("promise", Promise(by=date(2026, 11, 27), way="post", items=("bite-record",)))
    return Answer(kind=kind, says=says, written=written, **said)


def does(store, act, at=NOW, who="CD"):
    """One act in a unit of work, committed."""
    with store.work(who, at) as work:
        result = act(work)
        work.commit()
    return result


def answer(store, query_id, given=None, speaker=OSTERBY, *, counts=True, spoken=False, at=NOW, reply_id=None):
    """Keeps one answer."""
    given, said = given or an_answer(), {"counts": counts, "spoken": spoken, "reply_id": reply_id}
    return does(store, lambda work: work.answers.add(query_id, given, speaker, **said), at)


def amend(store, case_id, *findings, answered=(), case=None, at=NOW):
    """Judges a case anew, with these findings left."""
    row, verdict = store.read.case(case_id), a_verdict(findings=findings)
    return does(
        store,
        lambda work: work.cases.amend(case_id, row.version, case or row.case, verdict, names=NAMES, answered=answered),
        at,
    )
