"""A setup's text changed entry by entry: what is not meant stays, and what comes in is written as the file is."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.setup.editing import SetupText

SMALL = """\
name = "Ours"  # on every ticket
shades = [
    "A1", "A2",
]

[ticket]
size = "A6"
# queue = "labels"    # by its exact name

# Kinds of work.

[[categories]]
id = "one"
box = { colour = "Blue", hex = "#1f6fb4" }
route = [{ bench = "Casting", days = 1 }]

# Of the second.
[[categories]]
id = "two"
route = [
    { bench = "Casting" },
]

# The last ones.

[[categories]]
id = "three"

# Benches come next.

[[benches]]
name = "Casting"
"""
ONE, TWO, THREE = ({"id": name} for name in ("one", "two", "three"))


def changed(how, text=SMALL):
    setup = SetupText(text)
    how(setup)
    again = SetupText(str(setup))
    assert again.get(()) == tomllib.loads(str(setup))
    return str(setup)


def after(how, old, new):
    """That a change does exactly this to the text."""
    assert SMALL.count(old) == 1
    assert changed(how) == SMALL.replace(old, new)


def test_a_value_is_changed_and_its_remark_stays():
    after(lambda text: text.put(("name",), "Others"), 'name = "Ours"', 'name = "Others"')
    after(lambda text: text.put(("categories", 0, "box", "hex"), "#000000"), "#1f6fb4", "#000000")


def test_a_new_value_goes_under_the_remark_that_shows_it_or_under_the_last_line():
    shown = '# queue = "labels"    # by its exact name\n'
    after(lambda text: text.put(("ticket", "queue"), "zebra"), shown, f'{shown}queue = "zebra"\n')
    after(lambda text: text.put(("ticket", "dpi"), 300), 'size = "A6"\n', 'size = "A6"\ndpi = 300\n')
    after(
        lambda text: text.put(("email",), "a@example.com"),
        '    "A1", "A2",\n]\n',
        '    "A1", "A2",\n]\nemail = "a@example.com"\n',
    )


def test_what_stands_in_one_line_keeps_its_spaces():
    route = '[{ bench = "Casting", days = 1 }]'
    more = '[{ bench = "Casting", days = 1 }, { bench = "Wire", days = 2 }]'
    after(lambda text: text.add(("categories", 0, "route"), {"bench": "Wire", "days": 2}), route, more)
    tidy = 'route = [{ bench = "Casting", days = 1, note = "x" }]'
    after(lambda text: text.put(("categories", 0, "route", 0, "note"), "x"), f"route = {route}", tidy)
    after(lambda text: text.take_out(("categories", 0, "route", 0, "days")), ", days = 1", "")
    lines = '    { bench = "Casting" },\n'
    after(
        lambda text: text.add(("categories", 1, "route"), {"bench": "Wire"}),
        lines,
        f'{lines}    {{ bench = "Wire" }},\n',
    )


def test_a_new_entry_is_parted_by_empty_lines_and_comes_before_what_follows_the_list():
    end = 'id = "three"\n'
    after(lambda text: text.add(("categories",), {"id": "four"}), end, f'{end}\n[[categories]]\nid = "four"\n')
    first = "# Kinds of work.\n\n"
    after(lambda text: text.add(("categories",), {"id": "nil"}, 0), first, f'{first}[[categories]]\nid = "nil"\n\n')
    second = "# Of the second.\n"
    after(lambda text: text.add(("categories",), {"id": "x"}, 1), second, f'[[categories]]\nid = "x"\n\n{second}')


def test_an_entry_goes_with_the_remark_right_above_it_and_headings_stay():
    second = SMALL[SMALL.index("# Of the second") : SMALL.index("# The last ones")]
    after(lambda text: text.take_out(("categories", 1)), second, "")
    after(lambda text: text.take_out(("categories", 2)), '[[categories]]\nid = "three"\n\n', "")
    moved = changed(lambda text: text.move(("categories", 1), 2))
    assert moved.endswith(
        f'[[categories]]\nid = "three"\n\n{second}# Benches come next.\n\n[[benches]]\nname = "Casting"\n'
    )
    assert changed(lambda text: text.move(("categories", 2), 1), moved) != moved
    assert "# Kinds of work.\n\n# Of the second.\n[[categories]]" in changed(
        lambda text: text.move(("categories", 1), 0)
    )


def test_a_table_that_was_not_there_is_made_at_the_end_and_goes_again():
    made = changed(lambda text: text.put(("boxes",), {"first": 1, "last": 400}))
    assert made == f"{SMALL}\n[boxes]\nfirst = 1\nlast = 400\n"
    assert changed(lambda text: text.put(("boxes", "last"), 9)) == f"{SMALL}\n[boxes]\nlast = 9\n"
    assert changed(lambda text: text.take_out(("boxes",)), made).rstrip() == SMALL.rstrip()
    assert changed(lambda text: text.add(("rules",), {"id": "x"})) == f'{SMALL}\n[[rules]]\nid = "x"\n'
    assert changed(lambda text: text.add(("rules",), {"id": "x"}), f"rules = []\n{SMALL}").endswith(
        '\n\n[[rules]]\nid = "x"\n'
    )


def test_what_is_taken_out_leaves_the_heading_of_what_follows():
    text = f'[calendar]\nzone = "Europe/London"\n\n{SMALL}'.replace('name = "Ours"', 'country = "GB"', 1)
    assert "# Kinds of work.\n" in changed(lambda text: text.take_out(("ticket",)), text)
    assert "# Benches come next.\n" in changed(lambda text: text.take_out(("categories",)))


def test_a_list_of_tables_is_put_in_the_place_of_another_and_what_stays_keeps_its_remarks():
    setup = SetupText(SMALL)
    setup.put(("categories",), [setup.get(("categories", 0)), TWO | {"name": "Two"}])
    assert setup.get(("categories",)) == [SetupText(SMALL).get(("categories", 0)), TWO | {"name": "Two"}]
    assert "# Of the second.\n[[categories]]" in str(setup)


@pytest.mark.parametrize("text", ["", "a = 1", "\ufeffa = 1\n"])
def test_a_text_without_a_last_line_end_can_be_added_to(text):
    setup = SetupText(text)
    setup.put(("b",), 2)
    setup.put(("c", "d"), 3)
    assert tomllib.loads(str(setup)).items() >= {"b": 2, "c": {"d": 3}}.items()


@given(st.lists(st.tuples(st.sampled_from(["add", "take", "move"]), st.integers(0, 9), st.integers(0, 9)), max_size=8))
def test_whatever_becomes_of_a_list_no_heading_is_lost_and_the_file_stays_one(steps):
    setup, wanted = SetupText(SMALL), list(SetupText(SMALL).get(("categories",)))
    for number, (deed, at, to) in enumerate(steps):
        if deed == "add":
            setup.add(("categories",), {"id": str(number)}, at % (len(wanted) + 1))
            wanted.insert(at % (len(wanted) + 1), {"id": str(number)})
        elif len(wanted) > 1:
            place = ("categories", at % len(wanted))
            if deed == "take":
                setup.take_out(place)
                del wanted[place[1]]
            else:
                setup.move(place, to % len(wanted))
                wanted.insert(to % len(wanted), wanted.pop(place[1]))
    text = str(setup)
    assert tomllib.loads(text)["categories"] == wanted
    assert all(text.count(heading) == 1 for heading in ("# Kinds of work.", "# The last ones.", "# Benches come next."))
    assert text.index("# Benches come next.") > text.rindex("[[categories]]")
    assert "\n\n\n" not in text
    assert text.count("\n\n[[") + text.count("# Of the second.\n[[") == len(wanted) + 1


@given(
    st.sampled_from([("name",), ("ticket", "size"), ("categories", 0, "id"), ("categories", 0, "box", "colour")]),
    st.text(st.characters(codec="utf-8", exclude_characters="\x00")),
)
def test_whatever_text_is_put_stands_there_and_no_other_line_changes(place, value):
    setup = SetupText(SMALL)
    setup.put(place, value)
    assert SetupText(str(setup)).get(place) == value
    assert sum(a != b for a, b in zip(SMALL.split("\n"), str(setup).split("\n"), strict=True)) <= 1


def test_what_was_put_in_can_be_taken_out_again():
    for place, value in ((("ticket", "dpi"), 300), (("boxes", "first"), 1), (("categories", 0, "name"), "One")):
        setup = SetupText(SMALL)
        setup.put(place, value)
        assert setup.take_out(place) == value
        assert setup.get(place) is None
