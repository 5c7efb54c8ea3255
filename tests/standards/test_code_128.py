"""Code 128 against its published rules (ISO/IEC 15417; GS1 General Specifications) and another encoder's table.

The patterns are compared with the table in reportlab, which does not come from the encoder that Intake uses.
"""

from itertools import pairwise

import pytest
from reportlab.graphics.barcode import code128 as other

from intake.documents.code_128 import QUIET_MODULES, encode, module_width
from intake.documents.paper import MM

START_B, START_C, STOP = 104, 105, 106
SYMBOLS = {"".join(str(ord(c.lower()) - ord("a") + 1) for c in name): value for value, name in other._patterns.items()}


def symbol_values(payload: str) -> list[int]:
    """The symbol characters of a payload, start and check included, stop left off."""
    symbol = encode(payload)
    edges = [edge for at, wide in symbol.bars for edge in (at, at + wide)]
    widths = "".join(str(b - a) for a, b in pairwise(edges))
    assert SYMBOLS[widths[-7:]] == STOP
    return [SYMBOLS[widths[i : i + 6]] for i in range(0, len(widths) - 7, 6)]


def check(start: int, values: list[int]) -> int:
    """(start + sum of position x value) mod 103: the rule of ISO/IEC 15417, as several pages describe it."""
    return (start + sum(i * v for i, v in enumerate(values, 1))) % 103


def in_set_b(text: str) -> list[int]:
    return [ord(c) - 32 for c in text]


@pytest.mark.parametrize(
    ("start", "text", "total"),
    # The sum for set A as published in a worked example (from memory); the others computed by the rule.
    [(103, "PJJ123C", 54), (START_B, "PJJ123C", 55), (START_B, "HI345678", 26)],
    ids=["PJJ123C in A", "PJJ123C in B", "HI345678 in B"],
)
def test_the_rule_gives_the_worked_check_characters(start, text, total):
    assert check(start, in_set_b(text)) == total


def test_an_even_count_of_digits_is_in_set_c_with_the_worked_check_character():
    # 26 00 01 23: 105 + 26 + 0 + 3 + 92 = 226, mod 103 = 20.
    assert symbol_values("26000123") == [START_C, 26, 0, 1, 23, 20]


def test_letters_are_in_set_b_with_the_worked_check_character():
    assert symbol_values("PJJ123C") == [START_B, *in_set_b("PJJ123C"), 55]


@pytest.mark.parametrize("payload", ["260041237601", "260041237600", "00", "9999999999999999", "HI345678", "A1", "123"])
def test_the_check_character_obeys_the_rule(payload):
    start, *values, last = symbol_values(payload)
    assert last == check(start, values)


@pytest.mark.parametrize(("payload", "characters"), [("26000123", 6), ("260041237601", 8)])
def test_the_width_is_eleven_modules_a_character_and_thirteen_for_stop(payload, characters):
    assert encode(payload).modules == 11 * characters + 13


def test_eight_characters_of_set_b_are_143_modules_wide_with_both_quiet_zones():
    # 35.8 mm at X = 0.25 mm and 47.2 mm at 0.33 mm: computed from the rule above.
    modules = encode("ABCDEFGH").modules + 2 * QUIET_MODULES
    assert modules == 143
    assert modules * 0.25 == pytest.approx(35.8, abs=0.06)
    assert modules * 0.33 == pytest.approx(47.2, abs=0.06)


def test_the_quiet_zone_is_ten_modules():
    # GS1 General Specifications, 5.4.4 (2018).
    assert QUIET_MODULES >= 10


@pytest.mark.parametrize(
    ("dpi", "least", "millimetres", "dots"),
    [(203, 0.25, 0.250, 2), (203, 0.33, 0.375, 3), (300, 0.25, 0.254, 3), (300, 0.33, 0.339, 4), (600, 0.25, 0.254, 6)],
)
def test_the_module_is_whole_printer_dots(dpi, least, millimetres, dots):
    # 25.4 mm / dpi, computed.
    module = module_width(dpi, least * MM)
    assert module * dpi / 72 == pytest.approx(dots)
    assert module / MM == pytest.approx(millimetres, abs=0.0006)


@pytest.mark.parametrize("payload", ["26", "260041237601", "X" * 40])
def test_the_bars_are_at_least_5_mm_and_15_percent_of_the_length_high(payload):
    # ISO/IEC 15417 and earlier AIM texts, from memory.
    symbol, module = encode(payload), module_width(203)
    assert symbol.least_height(module) >= 5 * MM
    assert symbol.least_height(module) >= 0.15 * symbol.modules * module
