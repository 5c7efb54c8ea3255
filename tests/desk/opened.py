"""Parcels as the tests open them, and their cases booked by the form as at the desk."""

from dataclasses import replace

from intake.desk.book_in import save_form
from intake.desk.open_form import arrival_form
from intake.desk.parcels import NewContent, NewParcel, open_parcel
from intake.domain.form import read_form

LABEL = "RA 4731 2482 9 GB"
"""A UPU S10 number: 47312482 has the check digit 9 in UPU's own example."""
CASE, PART, REPAIR = NewContent("case"), NewContent("part"), NewContent("repair")
PRESCRIBED = {
    "prescriber": "Dr R. Ashdown",
    "patient.label": "J.T.",
    "patient.reference": "20418",
    "appliances[0]": "hard splint upper 3 mm",
    "items": "upper as imp today 8:00; lower as imp today 8:00; centric bite",
    "appointment": "10 dec",
}
"""What the desk types of a prescription that is complete."""


def parcel(desk, *contents, label=LABEL, practice="MARLOW1", **said):
    """A parcel that was opened."""
    return open_parcel(desk, NewParcel(label=label, practice=practice, contents=contents or (CASE,), **said))


def form_of(desk, arrival_id, **typed):
    """The form of something in a parcel, as it opens, with what is typed to it; names as in the form."""
    half = arrival_form(desk, arrival_id)
    half = replace(half, typed={**half.typed, **typed})
    return half, read_form(half.typed, desk.lab, desk.practices(), desk.now(), half.kept)


def booked(desk, arrival_id, **typed):
    """Something in a parcel, booked in by its form."""
    half, form = form_of(desk, arrival_id, **(PRESCRIBED | typed))
    assert form.wrong == (), [form.said[place].text for place in form.wrong]
    return save_form(desk, half, form)
