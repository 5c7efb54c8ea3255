"""How the window looks: fonts, colours and sizes, light or dark, large or small; changed while it runs."""

from collections.abc import Callable
from typing import Literal, cast, get_args

from PySide6.QtCore import QObject, QSettings, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PySide6.QtWidgets import QApplication

from intake.resources import resource
from intake.ui.palette import Palette, read_palettes
from intake.ui.sheet import style_sheet

Scheme = Literal["system", "light", "dark"]
Size = Literal["small", "text", "arm"]

PIXELS: dict[Size, int] = {"small": 13, "text": 15, "arm": 30}
"""Small print, text, and what is read at arm's length, in pixels of the system's own scaling."""
SCALES = (100, 110, 125, 150, 175, 200)
FAMILY = "Intake Sans"


class Look(QObject):
    """The look of the running program; everything that is drawn asks it for colours, fonts and lengths.

    Args:
        app: The application, whose style, font, palette and style sheet follow this look.
        settings: Where the chosen scheme and text scale are kept.
        system_is_dark: Whether the system shows dark windows just now.
        parent: The owner.
    """

    changed = Signal()

    def __init__(
        self,
        app: QApplication,
        settings: QSettings,
        system_is_dark: Callable[[], bool] | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._app = app
        self._settings = settings
        self._system_is_dark = system_is_dark or self._hinted_dark
        kept = str(settings.value("look/scale", SCALES[0]))
        self._scale = int(kept) if kept.isdecimal() and int(kept) in SCALES else SCALES[0]
        self._palettes = read_palettes(resource("look", "palette.toml"))
        for file in sorted(resource("fonts").glob("*.ttf")):
            QFontDatabase.addApplicationFont(str(file))
        app.setStyle("Fusion")
        app.styleHints().colorSchemeChanged.connect(self._on_system_scheme)
        self._apply()

    @property
    def scheme(self) -> Scheme:
        """Light, dark, or as the system has it."""
        kept = self._settings.value("look/scheme", "system")
        return cast("Scheme", kept) if kept in get_args(Scheme) else "system"

    def choose_scheme(self, scheme: Scheme) -> None:
        """Takes a scheme by hand, or follows the system again."""
        self._settings.setValue("look/scheme", scheme)
        self._apply()

    @property
    def shade(self) -> Literal["light", "dark"]:
        """The scheme that shows."""
        if self.scheme != "system":
            return self.scheme
        return "dark" if self._system_is_dark() else "light"

    @property
    def colours(self) -> Palette:
        """The colours of the scheme that shows."""
        return self._palettes[self.shade]

    @property
    def scale(self) -> int:
        """Size of text in per cent, on top of the system's scaling."""
        return self._scale

    def choose_scale(self, scale: int) -> None:
        """Takes a size of text in per cent; one of `SCALES`."""
        if scale in SCALES and scale != self.scale:
            self._scale = scale
            self._settings.setValue("look/scale", scale)
            self._apply()

    @Slot()
    def larger(self) -> None:
        """Takes the next larger text."""
        self.choose_scale(min((s for s in SCALES if s > self.scale), default=SCALES[-1]))

    @Slot()
    def smaller(self) -> None:
        """Takes the next smaller text."""
        self.choose_scale(max((s for s in SCALES if s < self.scale), default=SCALES[0]))

    @Slot()
    def usual_size(self) -> None:
        """Takes the text as it came."""
        self.choose_scale(SCALES[0])

    def px(self, ems: float) -> int:
        """A length in pixels, given in heights of the text, so that it grows with it."""
        return max(1, round(ems * PIXELS["text"] * self.scale / 100))

    def font(self, size: Size = "text", bold: bool = False) -> QFont:
        """One of the three sizes, regular or bold."""
        font = QFont(FAMILY)
        font.setStyleHint(QFont.StyleHint.SansSerif)
        font.setPixelSize(round(PIXELS[size] * self.scale / 100))
        font.setBold(bold)
        return font

    def _hinted_dark(self) -> bool:
        return self._app.styleHints().colorScheme() == Qt.ColorScheme.Dark

    @Slot()
    def _on_system_scheme(self) -> None:
        if self.scheme == "system":
            self._apply()

    def _apply(self) -> None:
        self._app.setPalette(_qt_palette(self.colours))
        self._app.setFont(self.font())
        pixels = {size: round(count * self.scale / 100) for size, count in PIXELS.items()}
        self._app.setStyleSheet(style_sheet(self.colours, pixels, resource("icons"), self.shade))
        self.changed.emit()


def _qt_palette(colours: Palette) -> QPalette:
    roles = {
        QPalette.ColorRole.Window: colours.ground,
        QPalette.ColorRole.WindowText: colours.ink,
        QPalette.ColorRole.Base: colours.surface,
        QPalette.ColorRole.AlternateBase: colours.ground,
        QPalette.ColorRole.Text: colours.ink,
        QPalette.ColorRole.PlaceholderText: colours.quiet,
        QPalette.ColorRole.Button: colours.surface,
        QPalette.ColorRole.ButtonText: colours.ink,
        QPalette.ColorRole.BrightText: colours.held,
        QPalette.ColorRole.Light: colours.surface,
        QPalette.ColorRole.Midlight: colours.faint,
        QPalette.ColorRole.Mid: colours.line,
        QPalette.ColorRole.Dark: colours.line,
        QPalette.ColorRole.Shadow: colours.line,
        QPalette.ColorRole.Highlight: colours.chosen,
        QPalette.ColorRole.HighlightedText: colours.ink,
        QPalette.ColorRole.Accent: colours.focus,
        QPalette.ColorRole.Link: colours.focus,
        QPalette.ColorRole.LinkVisited: colours.focus,
        QPalette.ColorRole.ToolTipBase: colours.surface,
        QPalette.ColorRole.ToolTipText: colours.ink,
    }
    palette = QPalette()
    for role, colour in roles.items():
        palette.setColor(role, QColor(colour))
    for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(colours.quiet))
    return palette
