"""Rules of every make: each circumstance and satisfier with each of its small fields, days, practices, levels."""

from datetime import date

from hypothesis import strategies as st

from intake.domain.condition_parts import KINDS, condition_of
from intake.domain.rulebook import LEVELS, ForPractice, Requirement, about_one_appliance

KIND_IDS = ("occlusal-splint-hard", "occlusal-splint-soft", "whitening-tray", "sports-mouthguard", "repair")
PRACTICES = ("MARLOW1", "HILL2", "QUAY3")


def _picked(part):
    values = [value for value, _ in part.choices]
    match part.kind:
        case "several":
            least = 0 if part.may_be_empty else 1
            return st.lists(st.sampled_from(values), min_size=least, unique=True)
        case "one":
            return st.sampled_from(values)
        case "number":
            return st.integers(1, 40).map(lambda tenths: tenths / 4)
    return st.booleans()


def conditions(role):
    """Any circumstance, or any satisfier."""

    def of_kind(kind):
        values = st.fixed_dictionaries({part.name: _picked(part) for part in kind.parts})
        if kind.key == "out_of_range":
            values = values.filter(lambda picked: picked["least"] <= picked["most"])
        return values.map(lambda picked: condition_of(role, kind.key, picked))

    return st.one_of([of_kind(kind) for kind in KINDS[role]])


@st.composite
def rules(draw):
    when = draw(st.lists(conditions("when"), max_size=3, unique=True))
    met = draw(st.lists(conditions("satisfied_by"), max_size=3, min_size=0 if when else 1, unique=True))
    of_one = any(about_one_appliance(each) for each in (*when, *met))
    kinds = st.lists(st.sampled_from(KIND_IDS), min_size=1, unique=True).map(tuple)
    scopes = st.one_of(kinds, st.just("every")) if of_one else st.one_of(kinds, st.sampled_from(("case", "every")))
    begins, ends = sorted(
        draw(st.tuples(st.dates(date(2020, 1, 1), date(2040, 1, 1)), st.dates(date(2020, 1, 1), date(2040, 1, 1))))
    )
    only_for = tuple(draw(st.lists(st.sampled_from(PRACTICES), unique=True, max_size=2)))
    excepted = draw(st.lists(st.sampled_from(only_for or PRACTICES), unique=True, max_size=2))
    return Requirement(
        id=draw(st.sampled_from(("shade", "bite-record", "of-our-own"))),
        level=draw(st.sampled_from(LEVELS)),
        types=draw(scopes),
        when=when,
        satisfied_by=met,
        question="What shall it be?",
        because=draw(st.sampled_from(("", "It shows.", "A “#” or = stands here."))),
        begins=draw(st.sampled_from((None, begins))),
        ends=draw(st.sampled_from((None, ends))),
        only_for=only_for,
        exceptions=[ForPractice(practice=code, level=draw(st.sampled_from((*LEVELS, "never")))) for code in excepted],
    )
