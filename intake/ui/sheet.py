"""The one style sheet, made from a palette and the three sizes of text. Lengths are in `em`s of the text, as pixels."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from intake.ui.palette import Palette


def style_sheet(colours: Palette, pixels: Mapping[Any, int], icons: Path, shade: str) -> str:
    """The style sheet of the whole program.

    Args:
        colours: The colours of the scheme.
        pixels: Height of `small`, `text` and `arm` in pixels.
        icons: The folder of icons.
        shade: `light` or `dark`, the second half of an icon's name.
    """
    c, em = colours, pixels["text"]

    def px(ems: float) -> str:
        return f"{max(1, round(ems * em))}px"

    def icon(name: str) -> str:
        return f'url("{(icons / f"{name}-{shade}.svg").as_posix()}")'

    fields = "QLineEdit, QPlainTextEdit, QTextEdit, QAbstractSpinBox, QComboBox"
    focused = ", ".join(f"{field}:focus" for field in fields.split(", "))
    return f"""
QMainWindow, QDialog {{ background: {c.ground}; }}
QLabel[print="small"] {{ font-size: {pixels["small"]}px; }}
QLabel[print="arm"] {{ font-size: {pixels["arm"]}px; }}
QWidget[edge="top"] {{ border-top: 1px solid {c.faint}; }}
QWidget[edge="right"] {{ border-right: 1px solid {c.faint}; }}
QWidget[edge="bottom"] {{ border-bottom: 1px solid {c.faint}; }}
QWidget[edge="left"] {{ border-left: 1px solid {c.faint}; }}
QLabel[bold="true"] {{ font-weight: bold; }}
QLabel[ink="quiet"] {{ color: {c.quiet}; }}
QLabel[ink="held"] {{ color: {c.held}; }}
QLabel[ink="asks"] {{ color: {c.asks}; }}
QLabel[ink="caution"] {{ color: {c.caution}; }}
QLabel[ink="ok"] {{ color: {c.ok}; }}

{fields} {{
    background: {c.surface}; color: {c.ink}; border: 1px solid {c.line}; border-radius: 3px;
    padding: {px(0.35)} {px(0.5)}; selection-background-color: {c.focus}; selection-color: {c.surface};
    placeholder-text-color: {c.quiet};
}}
{focused} {{ border: 2px solid {c.focus}; padding: {_less(px(0.35))} {_less(px(0.5))}; }}
QLineEdit:read-only {{ background: {c.ground}; }}
QLineEdit[wrong="true"] {{ border: 2px solid {c.held}; padding: {_less(px(0.35))} {_less(px(0.5))}; }}
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button {{ width: 0; border: none; }}
QComboBox::drop-down {{ border: none; width: {px(1.6)}; }}
QComboBox::down-arrow {{ image: {icon("down")}; width: {px(0.9)}; height: {px(0.9)}; }}

QPushButton, QToolButton {{
    background: {c.surface}; color: {c.ink}; border: 1px solid {c.line}; border-radius: 3px;
    padding: {px(0.35)} {px(0.9)}; min-height: {px(1.4)}; outline: none;
}}
QPushButton:hover, QToolButton:hover {{ background: {c.chosen}; }}
QPushButton:pressed, QToolButton:pressed {{ background: {c.faint}; }}
QPushButton:focus, QToolButton:focus {{ border: 2px solid {c.focus}; padding: {_less(px(0.35))} {_less(px(0.9))}; }}
QPushButton:disabled, QToolButton:disabled {{ color: {c.quiet}; border-color: {c.faint}; background: {c.ground}; }}
QPushButton[flat="true"] {{ background: transparent; border-color: transparent; }}
QPushButton[flat="true"]:hover {{ background: {c.chosen}; }}
QPushButton[flat="true"]:focus {{ border-color: {c.focus}; }}
QPushButton[compact="true"] {{
    font-size: {pixels["small"]}px; padding: 0 {px(0.4)}; min-height: {px(1.6)}; border-color: {c.faint};
}}
QPushButton[picked="true"] {{
    background: {c.chosen}; border: 2px solid {c.focus}; padding: {_less(px(0.35))} {_less(px(0.9))};
}}
QPushButton[compact="true"][picked="true"] {{ padding: 0 {_less(px(0.4))}; min-height: {_less(_less(px(1.6)))}; }}

QCheckBox, QRadioButton {{
    spacing: {px(0.5)}; border: 2px solid transparent; border-radius: 3px; padding: {px(0.2)}; outline: none;
    min-height: {px(1.4)};
}}
QCheckBox:focus, QRadioButton:focus {{ border-color: {c.focus}; }}
QCheckBox::indicator, QRadioButton::indicator, QListView::indicator {{
    width: {px(1)}; height: {px(1)}; background: {c.surface}; border: 1px solid {c.line}; border-radius: 3px;
}}
QRadioButton::indicator {{ border-radius: {em // 2}px; }}
QCheckBox::indicator:checked, QListView::indicator:checked {{ image: {icon("tick")}; border-color: {c.ink}; }}
QRadioButton::indicator:checked {{ image: {icon("dot")}; border-color: {c.ink}; }}

QMenuBar {{ background: {c.ground}; padding: {px(0.15)} {px(0.4)}; }}
QMenuBar::item {{ padding: {px(0.35)} {px(0.65)}; background: transparent; border-radius: 3px; }}
QMenuBar::item:selected {{ background: {c.chosen}; }}
QMenu {{ background: {c.surface}; border: 1px solid {c.line}; padding: {px(0.3)} 0; }}
QMenu::item {{ padding: {px(0.35)} {px(1.6)} {px(0.35)} {px(1.8)}; border: 1px solid transparent; }}
QMenu::item:selected {{ background: {c.chosen}; border-color: {c.focus}; }}
QMenu::item:disabled {{ color: {c.quiet}; }}
QMenu::separator {{ height: 1px; background: {c.faint}; margin: {px(0.3)} 0; }}
QMenu::indicator {{ width: {px(0.9)}; height: {px(0.9)}; left: {px(0.5)}; }}
QMenu::indicator:checked {{ image: {icon("tick")}; }}

QAbstractItemView {{
    background: {c.surface}; color: {c.ink}; border: 1px solid {c.faint}; outline: none; gridline-color: {c.faint};
    selection-background-color: {c.chosen}; selection-color: {c.ink};
}}
QAbstractItemView:focus {{ border: 2px solid {c.focus}; }}
QAbstractItemView[ring="row"]:focus {{ border: 1px solid {c.focus}; }}
QComboBox QAbstractItemView {{ border: 1px solid {c.line}; }}
QHeaderView {{ background: {c.ground}; border: none; }}
QHeaderView::section {{
    background: {c.ground}; color: {c.quiet}; border: none; border-bottom: 1px solid {c.line};
    padding: {px(0.3)} {px(0.5)}; font-weight: normal;
}}
QTableView::item {{ padding: 0 {px(0.5)}; border: none; }}
QTableView::item:selected {{ background: {c.chosen}; color: {c.ink}; }}
QSplitter::handle {{ background: {c.faint}; }}
QSplitter::handle:horizontal {{ margin: 0 {px(0.25)}; }}
QSplitter::handle:vertical {{ margin: {px(0.25)} 0; }}
QScrollArea {{ background: transparent; border: none; }}
QScrollArea > QWidget > QWidget {{ background: transparent; }}
QScrollBar:vertical {{ background: transparent; width: {px(0.8)}; margin: 0; }}
QScrollBar:horizontal {{ background: transparent; height: {px(0.8)}; margin: 0; }}
QScrollBar::handle {{ background: {c.line}; border-radius: 3px; margin: 2px; }}
QScrollBar::handle:vertical {{ min-height: {px(2)}; }}
QScrollBar::handle:horizontal {{ min-width: {px(2)}; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
QToolTip {{
    background: {c.surface}; color: {c.ink}; border: 1px solid {c.line}; padding: {px(0.3)} {px(0.5)};
    font-size: {pixels["small"]}px;
}}
QProgressBar {{ background: {c.surface}; border: 1px solid {c.line}; border-radius: 3px; text-align: center; }}
QProgressBar::chunk {{ background: {c.chosen}; }}
"""


def _less(length: str) -> str:
    """A padding that makes room for a border one pixel thicker, so that nothing moves when the focus comes."""
    return f"{max(0, int(length.removesuffix('px')) - 1)}px"
