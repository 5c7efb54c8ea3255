"""What one desk changes is kept when another desk puts a setup in force meanwhile."""

from hypothesis import given
from hypothesis import strategies as st

from intake.setup.editing import SetupText
from intake.setup.merging import carry_over

BEFORE = """\
name = "Ours"

[ticket]
size = "A6" # small

[[categories]]
id = "one"

[[categories]]
id = "two"
"""
PLACES = [("name",), ("email",), ("ticket", "size"), ("ticket", "dpi"), ("letter", "closing")]
CHANGES = st.dictionaries(st.sampled_from(PLACES), st.sampled_from(["a", "b", 3, None]), max_size=4)


def with_changes(changes):
    text = SetupText(BEFORE)
    for place, value in changes.items():
        text.put(place, value)
    return text


@given(CHANGES, CHANGES)
def test_both_desks_changes_stand_and_where_both_changed_the_same_it_is_told(mine, theirs):
    merged = with_changes(theirs)
    both = carry_over(SetupText(BEFORE), with_changes(mine), merged)
    before = SetupText(BEFORE)
    changed = {place: value for place, value in mine.items() if value != before.get(place)}
    for place in PLACES:
        assert merged.get(place) == (changed[place] if place in changed else theirs.get(place, before.get(place)))
    assert {place[:1] for place in both} <= {place[:1] for place in set(mine) & set(theirs)}


def test_a_list_is_one_value_and_remarks_stay():
    mine, theirs = SetupText(BEFORE), SetupText(BEFORE)
    mine.put(("categories", 0, "id"), "first")
    theirs.put(("ticket", "size"), "A5")
    assert carry_over(SetupText(BEFORE), mine, theirs) == ()
    assert str(theirs) == BEFORE.replace('id = "one"', 'id = "first"').replace('"A6" #', '"A5" #')
    theirs.add(("categories",), {"id": "three"})
    assert carry_over(SetupText(BEFORE), mine, theirs) == (("categories",),)
    assert [each["id"] for each in theirs.get(("categories",))] == ["first", "two"]
