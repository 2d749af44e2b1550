"""The quoted/actual bar and the waterfall: what is drawn, what is said, what the keys do."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from desktop.look.tokens import DARK, LIGHT, Tokens
from desktop.widgets.quoted_actual_bar import QuotedActualBar, common_scale, describe, paint_quoted_actual
from desktop.widgets.waterfall import WaterfallStep, WaterfallView, spans
from tests.desktop.widgets.gallery import steps


def drawn(quoted: object, actual: object, scale: object, tokens: Tokens = LIGHT) -> QImage:
    image = QImage(213, 14, QImage.Format.Format_RGB32)
    image.fill(QColor(tokens.sheet))
    painter = QPainter(image)
    paint_quoted_actual(painter, QRect(0, 0, 213, 14), quoted, actual, scale, tokens)  # type: ignore[arg-type]
    painter.end()
    return image


def colours(image: QImage, left: int = 0, right: int = 213) -> set[str]:
    return {image.pixelColor(x, y).name() for x in range(left, right) for y in range(image.height())}


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
def test_under_the_quote_is_plain_and_never_ochre(tokens: Tokens) -> None:
    found = colours(drawn(100, 60, 100, tokens))
    assert tokens.under_fill in found
    assert tokens.over_fill not in found


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
def test_what_lies_beyond_the_quote_is_hatched_and_marked(tokens: Tokens) -> None:
    image = drawn(50, 90, 100, tokens)
    beyond = colours(image, 103, 178)
    assert tokens.over_soft in beyond, "the ground between the lines"
    assert tokens.over_fill in colours(image, 182, 200), "the mark behind the end"
    assert tokens.under_fill not in colours(image)
    row = [image.pixelColor(x, 7).lightness() for x in range(110, 170)]
    turns = sum(1 for n in range(1, 59) if (row[n] - row[n - 1]) * (row[n + 1] - row[n]) < 0)
    assert turns >= 8, "reads as hatching without color"


def test_the_spans_are_in_scale() -> None:
    image = drawn(100, 50, 200)
    row = [image.pixelColor(x, 7).name() for x in range(213)]
    filled = [x for x, colour in enumerate(row) if colour == LIGHT.under_fill]
    assert filled[-1] == pytest.approx(50, abs=2)
    outline = [x for x in range(60, 213) if image.pixelColor(x, 7).lightness() < 140]
    assert outline[0] == pytest.approx(100, abs=2)


def test_a_decimal_and_nothing_at_all_can_be_drawn() -> None:
    assert LIGHT.under_fill in colours(drawn(Decimal("2.5"), Decimal("1.25"), None))
    assert LIGHT.over_fill not in colours(drawn(None, None, None))


@pytest.mark.parametrize(
    ("quoted", "actual", "words"),
    [
        (480, 600, "Quoted 480, actual 600, 25% over"),
        (480, 240, "Quoted 480, actual 240, 50% under"),
        (480, 480, "Quoted 480, actual 480, as quoted"),
        (480, None, "Quoted 480, nothing logged yet"),
        (0, 30, "Not quoted, actual 30"),
        (None, None, "Nothing quoted, nothing logged"),
    ],
)
def test_the_bar_says_in_words_what_it_shows(qtbot, quoted, actual, words) -> None:  # type: ignore[no-untyped-def]
    bar = QuotedActualBar()
    qtbot.addWidget(bar)
    bar.set_values(quoted, actual)
    assert bar.accessibleDescription() == words == describe(quoted, actual)


def test_one_scale_shows_every_pair() -> None:
    assert common_scale([(3, 5), (None, 8), (2, None)]) == 8
    assert common_scale([]) == 1


@given(st.integers(-(10**7), 10**7), st.lists(st.integers(-(10**6), 10**6), max_size=12))
def test_each_step_starts_where_the_one_before_ended(first: int, changes: list[int]) -> None:
    rows = [WaterfallStep("quoted", first, "total")]
    rows += [WaterfallStep("step", cents) for cents in changes]
    rows.append(WaterfallStep("actual", first + sum(changes), "total"))
    made = spans(rows)
    assert made[0] == (0, first)
    for before, (start, end), change in zip(made, made[1:-1], changes, strict=False):
        assert start == before[1]
        assert end - start == change
    assert made[-1] == (0, made[-2][1])


@pytest.fixture
def waterfall(qtbot) -> WaterfallView:  # type: ignore[no-untyped-def]
    view = WaterfallView()
    qtbot.addWidget(view)
    view.set_steps(steps())
    view.resize(560, 420)
    view.show()
    return view


def test_arrows_and_enter_open_a_step(qtbot, waterfall: WaterfallView) -> None:  # type: ignore[no-untyped-def]
    waterfall.setCurrentIndex(waterfall.model().index(0, 0))
    qtbot.keyClick(waterfall, Qt.Key.Key_Down)
    with qtbot.waitSignal(waterfall.activated, timeout=500) as caught:
        qtbot.keyClick(waterfall, Qt.Key.Key_Return)
    assert caught.args == ["hours"]


def test_a_step_is_opened_once_and_by_a_double_click_too(qtbot, waterfall: WaterfallView) -> None:  # type: ignore[no-untyped-def]
    opened: list[str] = []
    waterfall.activated.connect(opened.append)
    spot = waterfall.visualRect(waterfall.model().index(3, 0)).center()
    qtbot.mouseClick(waterfall.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    qtbot.mouseDClick(waterfall.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert opened == ["materials"]


def test_new_figures_keep_the_current_step(waterfall: WaterfallView) -> None:
    waterfall.setCurrentIndex(waterfall.model().index(3, 0))
    waterfall.set_steps([steps()[0], *steps()[2:]])
    assert waterfall.current_key() == "materials"


def test_a_screen_reader_hears_label_money_and_note(waterfall: WaterfallView) -> None:
    spoken = waterfall.model().index(1, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "Hours, -$215.00, 3 h 10 more in the crawl, most of it slope correction"


def test_goodwill_is_violet_and_what_hurts_is_ochre(waterfall: WaterfallView) -> None:
    image = waterfall.grab().toImage()

    def row_colours(row: int) -> set[str]:
        rect = waterfall.visualRect(waterfall.model().index(row, 0))
        return {
            image.pixelColor(x, y).name()
            for x in range(rect.left(), rect.right())
            for y in range(rect.top(), rect.bottom())
        }

    assert LIGHT.goodwill_fill in row_colours(6)
    assert LIGHT.over_fill not in row_colours(6)
    assert LIGHT.over_fill in row_colours(1)
    assert LIGHT.under_fill in row_colours(7)
