"""The look: contrast of every pair in use, live change between light and dark, icons.

Source: Web Content Accessibility Guidelines (WCAG) 2.2, success criteria 1.4.3 (text at least 4.5:1) and 1.4.11
(parts of controls and graphics at least 3:1), and its definitions of relative luminance and contrast ratio.
The formula and the thresholds below are written from memory.
"""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QWidget

from desktop.look import stylesheet as stylesheet_module
from desktop.look import theme
from desktop.look.fonts import font
from desktop.look.icons import icon, names
from desktop.look.stylesheet import stylesheet
from desktop.look.theme import apply_theme, current_tokens, theme_changed
from desktop.look.tokens import DARK, LIGHT, MARK_PAIRS, TEXT_PAIRS, Tokens
from desktop.widgets.buttons import button


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_ratio_itself_is_right_at_both_ends() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == pytest.approx(1)


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("ink", "ground"), TEXT_PAIRS)
def test_text_can_be_read(tokens: Tokens, ink: str, ground: str) -> None:
    assert contrast(getattr(tokens, ink), getattr(tokens, ground)) >= 4.5


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("mark", "ground"), MARK_PAIRS)
def test_edges_and_bars_can_be_seen(tokens: Tokens, mark: str, ground: str) -> None:
    assert contrast(getattr(tokens, mark), getattr(tokens, ground)) >= 3


def test_both_sets_fill_every_token_with_a_colour() -> None:
    for tokens in (LIGHT, DARK):
        for name in tokens.__slots__:
            value = getattr(tokens, name)
            if isinstance(value, str) and name != "name":
                assert QColor(value).isValid(), name


def test_the_stylesheet_knows_no_colour_of_its_own() -> None:
    shared = {c for c in stylesheet(LIGHT).split() if c.startswith("#")} & {
        c for c in stylesheet(DARK).split() if c.startswith("#")
    }
    assert not shared


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
def test_the_tick_of_a_check_box_has_the_colour_of_its_theme(tokens: Tokens) -> None:
    drawn = (Path(stylesheet_module.__file__).parent / "marks" / f"tick-{tokens.name}.svg").read_text()
    assert f'stroke="{tokens.on_accent}"' in drawn


def test_choosing_dark_changes_palette_stylesheet_and_tells(qapp: QApplication) -> None:
    told: list[Tokens] = []
    theme_changed.connect(told.append)
    apply_theme(qapp, "dark")
    theme_changed.disconnect(told.append)
    assert current_tokens() is DARK
    assert told == [DARK]
    assert DARK.paper in qapp.styleSheet()
    assert qapp.palette().color(QPalette.ColorRole.Window).name() == DARK.paper


def test_with_system_the_system_is_followed_live(qapp: QApplication, monkeypatch: pytest.MonkeyPatch) -> None:
    apply_theme(qapp, "system")
    monkeypatch.setattr(theme, "_system_tokens", lambda: DARK)
    QGuiApplication.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert current_tokens() is DARK
    monkeypatch.setattr(theme, "_system_tokens", lambda: LIGHT)
    QGuiApplication.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Light)
    assert current_tokens() is LIGHT


def test_a_choice_of_ones_own_is_not_overruled_by_the_system(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    apply_theme(qapp, "light")
    monkeypatch.setattr(theme, "_system_tokens", lambda: DARK)
    QGuiApplication.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert current_tokens() is LIGHT


def inks_of(name: str) -> set[str]:
    image = icon(name, 24).pixmap(24, 24).toImage()
    pixels = (image.pixelColor(x, y) for x in range(24) for y in range(24))
    return {QColor(p.red(), p.green(), p.blue()).name() for p in pixels if p.alpha() == 255}


@pytest.mark.parametrize("name", names())
def test_every_icon_draws_something_in_the_colour_of_the_moment(name: str, qapp: QApplication) -> None:
    assert LIGHT.ink_soft in inks_of(name)
    apply_theme(qapp, "dark")
    assert DARK.ink_soft in inks_of(name)


def test_a_button_that_is_shown_gets_its_icon_in_the_new_colours(qtbot, qapp: QApplication) -> None:  # type: ignore[no-untyped-def]
    shown = button("Undo", icon_name="undo")
    qtbot.addWidget(shown)
    shown.show()

    def inks() -> set[str]:
        image = shown.icon().pixmap(21, 16).toImage()
        pixels = (image.pixelColor(x, y) for x in range(image.width()) for y in range(image.height()))
        return {QColor(p.red(), p.green(), p.blue()).name() for p in pixels if p.alpha() == 255}

    assert LIGHT.ink_soft in inks()
    apply_theme(qapp, "dark")
    assert DARK.ink_soft in inks()
    assert LIGHT.ink_soft not in inks()


def test_an_icon_nobody_drew_is_refused() -> None:
    with pytest.raises(KeyError):
        icon("no such icon")


def test_figures_of_every_role_have_one_width(qtbot) -> None:  # type: ignore[no-untyped-def]
    from PySide6.QtGui import QFontMetricsF

    widget = QWidget()
    qtbot.addWidget(widget)
    for role in ("body", "strong", "small", "section", "figure"):
        metrics = QFontMetricsF(font(role))  # type: ignore[arg-type]
        assert len({metrics.horizontalAdvance(str(digit) * 8) for digit in range(10)}) == 1, role
