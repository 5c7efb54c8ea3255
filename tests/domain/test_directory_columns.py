"""The columns of a lab's own spreadsheet, matched by what they are called."""

import pytest

from intake.domain.directory_columns import NAMES, columns_of, names_columns, one_line_each


@pytest.mark.parametrize(
    ("headers", "fields"),
    [
        ("Practice;Post code;Tel. No.;E-Mail Address;Dentists", "name postcode telephone email prescribers"),
        ("Account No|Surgery name|Street|Town|County|ZIP", "code name address address address postcode"),
        ("Kundennummer;Praxis;Straße;Ort;PLZ;Telefon", "code name address address postcode telephone"),
        ("nom du cabinet;adresse;code postal;ville;téléphone", "name address postcode address telephone"),
        (
            "Name,Address Line 1,Address Line 2,Prescriber 1,Prescriber 2",
            "name address address prescribers prescribers",
        ),
        ("Practice,Practice name,Fax,Phone,Mobile", "- name - telephone -"),
    ],
    ids=["UK", "customer list", "German", "French", "numbered", "the likelier column of two"],
)
def test_columns_are_known_by_the_names_that_lists_give_them(headers, fields):
    parted = next(headers.split(sign) for sign in ";|," if sign in headers)
    assert columns_of(parted) == tuple(None if field == "-" else field for field in fields.split())


def test_the_names_that_are_written_are_those_that_are_read():
    assert columns_of(tuple(NAMES.values())) == tuple(NAMES)


def test_a_row_of_a_practice_is_no_row_of_names():
    assert not names_columns(("MARLOW1", "Marlowe House", "12 Chandler Row", "XQ1 2AB"))
    assert not names_columns(("Name", "", ""))
    assert names_columns(("Name", "Town")) == 2


def test_a_comma_parts_an_address_only_where_it_stands_in_one_column():
    assert one_line_each(("Name", "Address"), ("name", "address")) == frozenset()
    assert one_line_each(("Name", "Address 1"), ("name", "address")) == {"address"}
    assert one_line_each(("Street", "Town"), ("address", "address")) == {"address"}
