"""Lists of practices as spreadsheet programs write them: what parts the cells, letters, formulas, hidden rows."""

import random
import zipfile
from contextlib import suppress

import openpyxl
import pytest
import xlsxwriter

from intake.documents.sheet_file import write_sheet
from intake.domain.directory_columns import names_columns
from intake.inbox import spreadsheets
from intake.inbox.spreadsheets import SheetUnreadable, read_sheet
from intake.inbox.xlsx_lines import HIDDEN

ROWS = (("Name", "Town", "Phone"), ("Łódź Dental", "Brześć", "01632 960101"), ("Quay, Old", "“Quay”", ""))


def text_of(rows, delimiter):
    return "\r\n".join(delimiter.join(f'"{cell}"' if delimiter in cell else cell for cell in row) for row in rows)


def read(path):
    return read_sheet(path, names_columns)


def lines(sheet):
    return [(line.number, line.cells) for line in sheet.lines]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_a_csv_file_is_read_whatever_parts_its_cells_and_however_its_letters_are_written(tmp_path, encoding, delimiter):
    file = tmp_path / "list.txt"
    file.write_bytes(text_of(ROWS, delimiter).encode(encoding))
    assert lines(read(file)) == [(2, ROWS[1]), (3, ROWS[2])]


def test_windows_1252_is_read_where_it_is_no_utf_8(tmp_path):
    file = tmp_path / "list.csv"
    file.write_bytes("Name;Ort\nPraxis Müller – Süd;Köln\n".encode("cp1252"))
    assert lines(read(file)) == [(2, ("Praxis Müller – Süd", "Köln"))]


def test_the_names_of_columns_are_found_under_a_title_and_lines_are_those_of_the_file(tmp_path):
    file = tmp_path / "list.csv"
    file.write_text('sep=;\nOur practices;;\n\nName;Address;Phone\nOak;"1 Row\nOakton";1\n;;\nElm;2 Row;2;9\n', "utf-8")
    sheet = read(file)
    assert sheet.headers == ("Name", "Address", "Phone")
    assert lines(sheet) == [(5, ("Oak", "1 Row\nOakton", "1")), (8, ("Elm", "2 Row", "2"))]
    assert sheet.lines[1].odd == ("This row has more cells than there are columns; the first of them is “9”.",)


def test_numbers_in_an_xlsx_file_keep_what_they_show(tmp_path):
    with xlsxwriter.Workbook(tmp_path / "list.xlsx") as book:
        book.add_worksheet("Notes").write_string(0, 0, "See the next sheet")
        sheet, zeros = book.add_worksheet("Practices"), book.add_format({"num_format": "00000"})
        for column, header in enumerate(("Name", "PLZ", "Phone", "Transit days", "Notes", "Service")):
            sheet.write_string(0, column, header)
        sheet.write_string(1, 0, "Praxis Elbe")
        sheet.write_number(1, 1, 1067, zeros)
        sheet.write_number(1, 2, 1632960101)
        sheet.write_number(1, 3, 2)
        sheet.write_boolean(1, 4, True)
        sheet.write_formula(1, 5, "=B2&C2", None, "Van")
        sheet.set_row(1, None, None, {"hidden": True})
    read_in = read(tmp_path / "list.xlsx")
    assert lines(read_in) == [(2, ("Praxis Elbe", "01067", "1632960101", "2", "yes", "Van"))]
    assert read_in.remarks == ("Only the sheet “Practices” was read.", HIDDEN)


def test_a_formula_without_its_result_makes_its_row_odd_and_is_not_taken_for_nothing(tmp_path):
    book = openpyxl.Workbook()
    for row in (("Name", "Phone"), ("Oak", "=1+1"), ("Elm", "01632 960102")):
        book.active.append(row)
    book.save(tmp_path / "list.xlsx")
    odd, plain = read(tmp_path / "list.xlsx").lines
    assert odd.odd == ("Cell B2 is a formula without its result: open the file, save it, and try again.",)
    assert plain == (3, ("Elm", "01632 960102"), ())


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_a_damaged_file_is_read_or_refused_and_nothing_else(tmp_path, often, ending):
    file, chance = tmp_path / f"list.{ending}", random.Random(6)
    write_sheet(file, "Practices", ROWS[0], [*ROWS[1:]] * 3)
    whole = file.read_bytes()
    for _ in range(often(40)):
        content = bytearray(whole[: chance.choice((len(whole), chance.randrange(1, len(whole))))])
        for _ in range(chance.randrange(4)):
            content[chance.randrange(len(content))] = chance.randrange(256)
        file.write_bytes(content)
        with suppress(SheetUnreadable):
            assert read(file).headers


def a_zip(path, *members):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members:
            archive.writestr(name, content)


def test_what_is_no_spreadsheet_is_refused_with_the_reason(tmp_path, monkeypatch):
    book = (("xl/workbook.xml", "<x"), ("xl/worksheets/sheet1.xml", "<"))
    bomb = (("xl/workbook.xml", ""), ("xl/worksheets/sheet1.xml", b" " * 3_000_000))
    made = {
        "is empty": b"",
        "of an older kind, or has a password": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 old",
        "No row of .* names the columns": b"MARLOW1,Marlowe House\nOXMERE,Oxmere\n",
        "is no CSV file": b"Name,Town\x00\x01",
        "The letters of .* cannot be read": b"Name;Ort\nM\x81\x8dller;\xff\n",
        "far too long; is a quotation mark missing": b'Name,Town\n"Oak,' + b"x" * 200_000,
    }
    for why, content in made.items():
        (tmp_path / "list.csv").write_bytes(content)
        with pytest.raises(SheetUnreadable, match=why):
            read(tmp_path / "list.csv")
    for why, members in {
        "packed, and no XLSX file": (("a.txt", "a"),),
        "or a damaged one": book,
        "far too large": bomb,
    }.items():
        a_zip(tmp_path / "list.xlsx", *members)
        with pytest.raises(SheetUnreadable, match=why):
            read(tmp_path / "list.xlsx")
    with pytest.raises(SheetUnreadable, match="There is no file"):
        read(tmp_path / "none.csv")
    monkeypatch.setattr(spreadsheets, "MOST_ROWS", 1)
    (tmp_path / "list.csv").write_text("Name,Town\nOak,A\nElm,B\n", "utf-8")
    with pytest.raises(SheetUnreadable, match="more than 1 rows"):
        read(tmp_path / "list.csv")
