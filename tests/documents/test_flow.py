import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.documents.blocks import Block
from intake.documents.flow import Group, TooMuch, paginate


def block(height, space=0):
    return Block(height, lambda pen, x, top: None, space)


def group(name, *heights, **more):
    return Group(name, tuple(block(h) for h in heights), **more)


def heights(pages):
    return [[placed.height for _, placed in page] for page in pages]


def test_a_group_that_fits_on_the_next_page_is_not_parted():
    assert heights(paginate([group("a", 60), group("b", 30, 31)], 100, 100)) == [[60], [30, 31]]


def test_a_group_higher_than_a_page_goes_on_under_its_heading():
    pages = paginate([group("a", *[30] * 6, again=(block(10),))], 100, 100)
    assert heights(pages) == [[30, 30, 30], [10, 30, 30, 30]]


def test_the_last_lines_of_a_parted_group_stay_together():
    pages = paginate([group("a", *[30] * 4)], 100, 100)
    assert heights(pages) == [[30, 30], [30, 30]]


def test_a_divider_is_left_out_at_the_top_of_a_page():
    second = group("b", 50, divider=(block(1),))
    assert heights(paginate([group("a", 40), second], 100, 100)) == [[40, 1, 50]]
    assert heights(paginate([group("a", 60), second], 100, 100)) == [[60], [50]]


def test_what_is_higher_than_any_page_is_named():
    with pytest.raises(TooMuch) as refusal:
        paginate([group("a", 10), group("the logo", 120)], 100, 100)
    assert refusal.value.group == "the logo"


def test_what_needs_a_page_too_many_is_named():
    with pytest.raises(TooMuch) as refusal:
        paginate([group("a", 60), group("b", 60), group("the route", 60)], 100, 100, most=2)
    assert refusal.value.group == "the route"


@given(st.lists(st.lists(st.floats(1, 50), min_size=1, max_size=8), max_size=8))
def test_every_block_stands_once_in_order_and_none_on_another(groups):
    made = [group(str(i), *sizes) for i, sizes in enumerate(groups)]
    pages = paginate(made, 150, 200)
    assert [b for page in pages for _, b in page] == [b for g in made for b in g.blocks]
    for room, page in zip([150] + [200] * len(pages), pages, strict=False):
        tops = [top for top, _ in page]
        ends = [top + b.height for top, b in page]
        assert all(end <= top + 1e-6 for end, top in zip(ends, tops[1:], strict=False))
        assert all(end <= room + 1e-6 for end in ends)
