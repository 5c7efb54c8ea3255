"""Tickets and letters of an invented lab, from the plain to the extreme."""

from dataclasses import replace

from intake.documents.blank_content import Blank, BlankNeeds, BlankOption
from intake.documents.letter import AgreedAnswer, AgreedCase, Letter, LetterCase, LetterQuestion
from intake.documents.ticket import SisterJob, Ticket, TicketAppliance, TicketBench, TicketItem
from intake.domain.blank_fields import blank_number
from intake.domain.reply_number import reply_number

CLEAR = Ticket(
    number="26 004123 76",
    barcode="260041237601",
    category="Splints",
    colour="Blue",
    colour_hex="#1f6fb4",
    practice="Marlow Street Dental Practice",
    practice_code="MARLOW1",
    prescriber="Dr R. Ashdown",
    patient="J.T.  20418",
    must_leave="Tue 8 Dec 2026",
    appointment="Thu 10 Dec 2026, 09:30",
    latest_start="Wed 2 Dec 2026",
    pour_by="Tue 8 Dec 2026, 15:30",
    route=(
        TicketBench("Casting", "Wed 2 Dec"),
        TicketBench("Splints", "Mon 7 Dec"),
        TicketBench("Checking", "Tue 8 Dec"),
    ),
    appliances=(
        TicketAppliance(
            "Hard occlusal splint",
            "upper",
            "16, 15, 25, 26",
            ("Thickness 3 mm", "Bite opening 2.5 mm"),
            "Canine guidance.",
        ),
    ),
    teeth=("16", "15", "25", "26"),
    contents=(
        TicketItem("Impression, upper"),
        TicketItem("Model, lower", "shared with job 26 004124 73"),
        TicketItem("Bite record, centric"),
        TicketItem("Prescription sheet"),
    ),
    sisters=(SisterJob("26 004124 73", "Retainers"),),
    lab="Tern Bay Dental Laboratory",
    arrived="Wed 25 Nov 2026, 08:40",
)
HELD = replace(
    CLEAR,
    held=True,
    missing=("Bite record: no bite record among the 2 items received", "Thickness: not stated"),
    cautions=("Not disinfected: treat as contaminated, disinfect by local procedure before handling.",),
    pour_note="estimated, from the day it arrived",
)
THIRD_COPY = replace(HELD, copy=3, barcode="260041237603", copy_reason="Ticket lost at the casting bench")
FOURTEEN = replace(
    CLEAR,
    appliances=tuple(
        TicketAppliance(
            f"Vacuum-formed retainer {i}",
            "upper" if i % 2 else "lower",
            "13–23" if i % 2 else "33–43",
            ("Thickness 1.5 mm", "Trim line straight, 2 mm above the gingival margin"),
            "Keep the bonded retainer free." if i % 3 == 0 else "",
        )
        for i in range(1, 15)
    ),
)
LONG = replace(
    HELD,
    category="Removable orthodontic and expansion appliances",
    colour="Dark turquoise with stripes",
    practice="Ysbyty Llanfair Pwllgwyngyll a’r Cylch: Canolfan Ddeintyddol Dŵr y Môr, Tŷ Coch, Ŵyr Ŷd",
    practice_code="LLANFAIRPWLL12",
    prescriber="Dr Wawrzyniec Świętosławski-Żółkiewicz, Ελένη Παπαδημητρίου-Αναγνωστοπούλου and Dr Жанна Щербакова",
    patient="Przemysława-Gwenllian Brzęczyszczykiewicz-ap-Llywelyn  REF/2026/000000000000000000000000000000020418",
    contents=(
        TicketItem(
            "Impression, upper, in a perforated tray, alginate, poured on arrival", "shared with job 26 004124 73"
        ),
    )
    * 5,
    lab="Tern Bay Dental Laboratory of Fixed and Removable Appliances, Northern Branch, Second Floor",
)
ODD = replace(
    CLEAR,
    patient="\u2003<b>J.T.</b> & [[[img src='/etc/hosts']]] 😀 漢字 \u0007 e\u0301 \u202e",
    teeth=("55", "54", "61", "36", "46"),
)
BARE = Ticket(
    number="26 004123 76",
    barcode="260041237601",
    category="Whitening",
    colour="White",
    colour_hex="#ffffff",
    practice="Harbour View Dental Surgery",
)
TICKETS = {
    "clear": CLEAR,
    "held": HELD,
    "third copy": THIRD_COPY,
    "fourteen appliances": FOURTEEN,
    "long names": LONG,
    "odd characters": ODD,
    "bare": BARE,
}
USUAL = ("use the lab’s usual", "coming by post on ____", "not needed")
CASE = LetterCase(
    patient="J.T.  20418",
    numbers=("26 004123 76",),
    barcode="260041237600",
    appliances=("Hard occlusal splint, upper",),
    questions=(
        LetterQuestion(
            "Please send a bite record, centric or open, for the upper splint.",
            "No bite record was among the 2 items received; without one the splint cannot be set up.",
            "stops",
            ("coming by post on ____", "scans in occlusion were sent", "not needed"),
        ),
        LetterQuestion(
            "Which thickness shall the splint have?",
            "The prescription names none.",
            "asks",
            ("1 mm", "1.5 mm", "2 mm", "3 mm", *USUAL),
        ),
    ),
    appointment="Thu 10 Dec 2026, 09:30",
    arrived="Wed 25 Nov 2026",
    reply_by="Tue 1 Dec 2026, 12:00",
    otherwise="Otherwise the appointment on Thu 10 Dec 2026 cannot hold; "
    "the earliest that would hold is Mon 14 Dec 2026.",
)
TWO_JOBS = replace(
    CASE,
    patient="M.Ll.  20431",
    numbers=("26 004124 73", "26 004125 70"),
    barcode="260041247300",
    appliances=("Vacuum-formed retainer, lower", "Whitening tray, upper and lower"),
    questions=(
        LetterQuestion(
            "When is the appointment?", "The prescription gives no date.", "asks", ("on ____", "not yet booked")
        ),
    ),
    appointment="",
    reply_by="Mon 30 Nov 2026, 12:00",
    otherwise="Without a date the work takes its turn.",
)
LETTER = Letter(
    number="L-26-0187",
    date="Wed 25 Nov 2026",
    lab="Tern Bay Dental Laboratory",
    lab_address=("4 Slipway Court", "Tern Bay", "ZZ9 9ZZ"),
    telephone="01632 960 144",
    email="desk@ternbay.example.com",
    practice="Marlow Street Dental Practice",
    address=("12 Marlow Street", "Tern Bay", "ZZ9 4AB"),
    subject="Questions on 2 cases that wait",
    opening="Thank you for your work. To make it as you prescribed it, we need to know the following. "
    "Please answer on the slip, by telephone or by email.",
    cases=(CASE, TWO_JOBS),
    slip="Please tick or fill in what holds, sign, and return this page.",
    caution="What is made is for the prescriber to decide. We change nothing on our own judgement, and treat an answer "
    "by telephone as provisional until we have it in writing.",
    closing="With kind regards",
)
FORTY = replace(LETTER, cases=tuple(replace(CASE, patient=f"J.T.  {20000 + i}") for i in range(40)))
STRESSED = replace(
    LETTER,
    practice="Ysbyty Llanfair Pwllgwyngyll a’r Cylch: Canolfan Ddeintyddol Dŵr y Môr",
    address=("Tŷ Coch, Ulica Świętej Jadwigi Śląskiej", "Παπαδημητρίου 4", "Щербакова", "Tern Bay", "ZZ9 4AB"),
    lab="Tern Bay Dental Laboratory of Fixed and Removable Appliances, Northern Branch",
    cases=(
        replace(
            CASE,
            patient="Przemysława-Gwenllian Brzęczyszczykiewicz-ap-Llywelyn 😀 <b>REF</b>/2026/00000000000000020418",
            numbers=("26 004123 76", "26 004124 73", "26 004125 70"),
            questions=CASE.questions * 12,
            appliances=tuple(f"Vacuum-formed retainer {i}, upper" for i in range(14)),
        ),
        TWO_JOBS,
    ),
)
SHADES = ("A1", "A2", "A3", "A3.5", "B1", "BL2", "0M1", "2L1.5")
REPLY_FORM = replace(
    LETTER,
    number="187",
    form=reply_number(187),
    reminder="Reminder 1: our letter of Fri 20 Nov 2026 is still unanswered.",
    agreed_opening="This is what was agreed by word of mouth. Please look through it and confirm it in writing.",
    agreed=(
        AgreedCase(
            "J.T.  20418",
            ("26 004123 76",),
            "260041237600",
            (
                AgreedAnswer(
                    31,
                    "Upper hard occlusal splint, bite opening",
                    "2 mm",
                    "Dr R. Ashdown, the prescriber, by telephone",
                    "Tue 24 Nov 2026",
                ),
                AgreedAnswer(
                    32,
                    "Upper hard occlusal splint, opposing arch",
                    "make it without",
                    "Ms K. Osterby, for the prescriber, by telephone",
                    "Tue 24 Nov 2026",
                ),
            ),
        ),
    ),
    cases=(
        replace(CASE, questions=tuple(replace(q, id=i) for i, q in enumerate(CASE.questions, 41))),
        replace(
            TWO_JOBS,
            questions=(
                LetterQuestion(
                    "Which shade shall the replaced tooth have, and by which guide?",
                    "A tooth is replaced, and its shade shows.",
                    "stops",
                    ("shade ____ by the guide ____",),
                    id=43,
                    menu=SHADES,
                ),
                LetterQuestion(
                    "When is the patient’s appointment?",
                    "Without it nobody can say when the work has to leave.",
                    "asks",
                    ("on ____ at ____", "no appointment yet"),
                    id=44,
                ),
                LetterQuestion("Which colour shall the tray have?", "It is made in several.", "asks", id=45),
            ),
        ),
    ),
)
"""A letter that confirms, reminds and asks, with a form to fill in."""
FORTY_FORMS = replace(
    REPLY_FORM,
    cases=tuple(
        replace(CASE, questions=tuple(replace(q, id=100 * i + n) for n, q in enumerate(CASE.questions, 1)))
        for i in range(1, 41)
    ),
)
HOSTILE = "<b>%s</b> & [[[img src='/etc/hosts']]] (un)balanced ( \\\\ %(name)s {0} 漢字 😀 \u202e \x00 ____"
HOSTILE_FORM = replace(
    REPLY_FORM,
    cases=(
        replace(
            CASE,
            patient=HOSTILE,
            questions=(LetterQuestion(HOSTILE, HOSTILE, "stops", (HOSTILE, "yes"), id=51, menu=(HOSTILE, "A2")),),
        ),
    ),
    agreed=(
        AgreedCase(HOSTILE, ("26 004123 76",), "260041237600", (AgreedAnswer(52, HOSTILE, HOSTILE, HOSTILE, ""),)),
    ),
    agreed_opening=HOSTILE,
    reminder=HOSTILE,
)
LETTERS = {
    "two cases": LETTER,
    "forty cases": FORTY,
    "stressed": STRESSED,
    "form": REPLY_FORM,
    "hostile form": HOSTILE_FORM,
}
BLANK = Blank(
    number=blank_number("MARLOW1"),
    code="MARLOW1",
    practice="Marlow Street Dental Practice",
    address=LETTER.address,
    lab=LETTER.lab,
    lab_address=LETTER.lab_address,
    telephone=LETTER.telephone,
    email=LETTER.email,
    date="Wed 25 Nov 2026",
    types=(("splint", "Hard occlusal splint"), ("retainer", "Vacuum-formed retainer")),
    options=(BlankOption("thickness_mm", "Thickness, mm"), BlankOption("shade", "Shade", SHADES)),
    needs=(
        BlankNeeds(
            "Hard occlusal splint",
            ("which arch", "impression, model or scan of its own arch", "bite record in centric or opened"),
            ("thickness",),
        ),
        BlankNeeds("Vacuum-formed retainer", ("which arch",), (), ("1.0 mm unless stated",)),
    ),
    always=("prescriber", "appointment date"),
    prescribers=("Dr R. Ashdown", "Dr M. Okonjo-Vale"),
    materials=(("alginate", "Alginate"), ("addition-silicone", "Addition silicone")),
    caution=LETTER.caution,
)
