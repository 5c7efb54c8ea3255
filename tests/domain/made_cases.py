"""Cases of every make, for what must hold of each: appliances, items, scans and what is said of them."""

from datetime import date, datetime

from hypothesis import strategies as st

from intake.domain.case import (
    Appliance,
    Case,
    Item,
    Options,
    Patient,
    Raised,
    SeenScan,
    Spoken,
    Waiver,
)

TYPES = ("occlusal-splint-hard", "occlusal-splint-soft", "vacuum-formed-retainer", "whitening-tray", "repair")
ARCHES = st.sampled_from((None, "upper", "lower", "both"))

appliances = st.builds(
    Appliance,
    type=st.sampled_from(TYPES),
    arch=ARCHES,
    teeth=st.sampled_from(((), ("11",), ("13", "12", "11"))),
    options=st.builds(Options, thickness_mm=st.sampled_from((None, 1.0, 2.0)), shade=st.sampled_from((None, "A2"))),
    notes=st.sampled_from(("", "tight", "loose")),
)
items = st.builds(
    Item,
    item=st.sampled_from(("impression", "model", "scan", "bite-record", "photo", "appliance")),
    arch=ARCHES,
    material=st.sampled_from((None, "alginate", "addition-silicone")),
    source=st.sampled_from((None, "physical", "scan")),
)
scans = st.builds(SeenScan, shows=st.sampled_from((None, "upper", "lower", "bite")), name=st.sampled_from(("a", "b")))
patients = st.builds(
    Patient,
    label=st.sampled_from((None, "J.T.", "Jane Thornley", "K. Whitcombe")),
    reference=st.sampled_from((None, "20418", "20419")),
    found=st.sampled_from((None, "Jane Thornley", "K.W.")),
    under_18=st.sampled_from((None, True, False)),
    allergies=st.sampled_from(((), ("latex",), ("Latex", "nickel"))),
)


@st.composite
def cases(draw, least=1):
    made = tuple(draw(st.lists(appliances, min_size=least, max_size=5)))
    about = st.one_of(st.none(), st.integers(0, len(made) - 1)) if made else st.none()
    waivers = st.builds(Waiver, requirement=st.sampled_from(("shade", "teeth")), appliance=about, by=st.just("Dr X"))
    spoken = st.builds(
        Spoken,
        requirement=st.just("thickness"),
        appliance=about,
        says=st.sampled_from(("1 mm", "2 mm")),
        by=st.just("Dr X"),
        on=st.just(date(2026, 11, 24)),
    )
    raised = st.builds(
        Raised, question=st.sampled_from(("Which?", "Where?")), by=st.just("AB"), at=st.just(datetime(2026, 11, 24, 9))
    )
    return Case(
        practice="MILL",
        patient=draw(patients),
        appliances=made,
        items=tuple(draw(st.lists(items, max_size=6))),
        scans=tuple(draw(st.lists(scans, max_size=3))),
        hygiene=draw(st.sampled_from(("disinfected", "not-disinfected", "unknown", "not-applicable"))),
        appointment=draw(st.sampled_from((None, datetime(2026, 12, 10, 9, 30), date(2026, 12, 11)))),
        notes=draw(st.sampled_from(("", "as rung", "ring first"))),
        waived=tuple(draw(st.lists(waivers, max_size=2))),
        spoken=tuple(draw(st.lists(spoken, max_size=2))),
        raised=tuple(draw(st.lists(raised, max_size=2))),
    )
