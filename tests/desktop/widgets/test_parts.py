"""Parts of pages, the finder and the paper view: what they say and what the keys do."""

import io
import os
import stat
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QWidget

from desktop.look.tokens import LIGHT
from desktop.widgets.cards import (
    Card,
    EmptyPage,
    Figure,
    FlowLayout,
    Notice,
    PageHead,
    Saved,
    SearchBox,
    SectionHeader,
    StatePill,
    Toast,
    button,
    panes,
    segments,
    tool_button,
)
from desktop.widgets.palette_dialog import FindAnything, Hit
from desktop.widgets.pdf_view import PaperView
from tests.desktop.widgets.gallery import jobs_table


def words_in(widget: QWidget) -> list[str]:
    return [label.text() for label in widget.findChildren(QLabel) if label.isVisible() and label.text()]


@pytest.fixture
def shown(qtbot):  # type: ignore[no-untyped-def]
    def show(widget: QWidget) -> QWidget:
        qtbot.addWidget(widget)
        with qtbot.waitActive(widget):
            widget.show()
            widget.activateWindow()
        return widget

    return show


def test_a_figure_speaks_label_and_number(shown) -> None:  # type: ignore[no-untyped-def]
    figure = shown(Figure("Actual margin", "$619.25", "21.80% of price", "over"))
    assert figure.accessibleName() == "Actual margin: $619.25"
    figure.set_values("$700.00")
    assert figure.value() == "$700.00"
    assert words_in(figure) == ["Actual margin", "$700.00"]


def test_heads_and_cards_show_what_they_are_given(shown) -> None:  # type: ignore[no-untyped-def]
    assert words_in(shown(PageHead("Jobs", "All of them", [button("New job")]))) == ["Jobs", "All of them"]
    head = shown(SectionHeader("Hours"))
    head.set_words("Hours", "3 days")
    assert words_in(head) == ["Hours", "3 days"]
    card = Card("Survey")
    card.add(QLabel("Low crawl"))
    assert words_in(shown(card)) == ["Survey", "Low crawl"]


def test_an_empty_page_offers_the_first_step_to_the_keyboard(qtbot, shown) -> None:  # type: ignore[no-untyped-def]
    pressed: list[int] = []
    page = shown(EmptyPage("No jobs", "A job starts with a call.", "Add a job", lambda: pressed.append(1)))
    page.action.setFocus()
    qtbot.keyClick(page.action, Qt.Key.Key_Space)
    assert pressed == [1]


def test_a_notice_changes_its_words_and_hides_without_any(shown) -> None:  # type: ignore[no-untyped-def]
    notice = shown(Notice("caution", "Take care.", ("Why", lambda: None)))
    assert [b.text() for b in notice.findChildren(QPushButton) if b.isVisible()] == ["Why"]
    notice.set_words("good", "All is well.")
    assert notice.text() == notice.accessibleName() == "All is well."
    assert not [b for b in notice.findChildren(QPushButton) if b.isVisible()]
    notice.set_words("info", "")
    assert notice.isHidden()


def test_a_pill_is_as_wide_as_its_word(shown) -> None:  # type: ignore[no-untyped-def]
    pill = shown(StatePill("Paid", "good"))
    short = pill.sizeHint().width()
    pill.set_words("Waiting for the test", "plain")
    assert pill.sizeHint().width() > short
    assert pill.accessibleName() == "Waiting for the test"


def test_saved_says_when(shown) -> None:  # type: ignore[no-untyped-def]
    saved = shown(Saved())
    saved.show_saved("21:04")
    assert saved.text() == "Saved 21:04"
    saved.show_problem("Not saved: the disk is full.")
    assert saved.accessibleName().startswith("Not saved")


def test_a_toast_undoes_once_and_never_takes_the_focus(qtbot, shown) -> None:  # type: ignore[no-untyped-def]
    window = QWidget()
    window.resize(900, 500)
    first = QPushButton("First", window)
    shown(window)
    first.setFocus()
    undone: list[int] = []
    toast = Toast(window)
    toast.say("12 ft of pipe removed", ("Undo", lambda: undone.append(1)))
    assert toast.isVisible()
    assert first.hasFocus()
    assert window.rect().contains(toast.geometry())
    qtbot.mouseClick(toast.action_button(), Qt.MouseButton.LeftButton)
    assert undone == [1]
    assert not toast.isVisible()


def test_a_long_toast_stays_inside_a_small_window(shown) -> None:  # type: ignore[no-untyped-def]
    window = QWidget()
    window.resize(420, 300)
    shown(window)
    toast = Toast(window)
    toast.say(
        "A sentence that is a good deal longer than the window it stands in is wide, and goes on",
        ("Undo", print),
    )
    assert window.rect().contains(toast.geometry())


def test_the_search_box_waits_for_a_pause_and_empties_with_escape(qtbot, shown) -> None:  # type: ignore[no-untyped-def]
    box = shown(SearchBox("Search jobs"))
    heard: list[str] = []
    box.searched.connect(heard.append)
    qtbot.keyClicks(box, "quarry")
    assert heard == []
    qtbot.waitUntil(lambda: heard == ["quarry"], timeout=1000)
    qtbot.keyClick(box, Qt.Key.Key_Escape)
    assert heard == ["quarry", ""]
    assert box.text() == ""


def test_arrows_in_the_search_box_move_in_the_table(qtbot, shown) -> None:  # type: ignore[no-untyped-def]
    box, table = SearchBox("Search jobs"), jobs_table()
    shown(table)
    shown(box)
    box.target = table
    table.select_id(1)
    qtbot.keyClick(box, Qt.Key.Key_Down)
    assert table.current_row().id == 2


def test_segments_move_with_the_arrows(qtbot, shown) -> None:  # type: ignore[no-untyped-def]
    heard: list[object] = []
    line = shown(segments([("h", "Hours"), ("m", "Money")], heard.append, "Measure"))
    line.findChildren(QPushButton)[0].setFocus()
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Right)
    assert heard == ["m"]
    assert line.value() == "m"
    line.set_value("h")
    assert heard == ["m"]


def test_an_icon_button_has_a_name(shown) -> None:  # type: ignore[no-untyped-def]
    assert shown(tool_button("undo", "Undo")).accessibleName() == "Undo"


def test_a_flow_goes_on_in_the_next_line(shown) -> None:  # type: ignore[no-untyped-def]
    holder = QWidget()
    flow = FlowLayout(holder, 10)
    parts = [QLabel(f"Part {n}") for n in range(6)]
    for part in parts:
        part.setFixedSize(100, 30)
        flow.addWidget(part)
    holder.resize(340, 200)
    shown(holder)
    assert [p.y() for p in parts] == [0, 0, 0, 40, 40, 40]
    assert flow.heightForWidth(340) == 70
    assert flow.heightForWidth(2000) == 30


def test_panes_cannot_be_pushed_out_of_sight(shown) -> None:  # type: ignore[no-untyped-def]
    pane = panes(QLabel("one"), QLabel("two"), (3, 1))
    pane.resize(800, 200)
    shown(pane)
    pane.setSizes([0, 800])
    assert min(pane.sizes()) > 0


# Find anything.

HITS = [
    Hit("Customer", "Łukasz & Søn", "Quarry Road 207", 1),
    Hit("Job", "Quarry Road 207", "Rework", 2),
    Hit("Page", "Margins", "", "m"),
]


@pytest.fixture
def finder(qtbot, shown):  # type: ignore[no-untyped-def]
    window = QWidget()
    window.resize(900, 600)
    shown(window)
    made = FindAnything(lambda text: [hit for hit in HITS if text.lower() in hit.title.lower()], window)
    made.window_kept = window
    made.open_fresh()
    return made


def test_typing_narrows_and_enter_goes_there(qtbot, finder: FindAnything) -> None:  # type: ignore[no-untyped-def]
    line = finder.findChild(SearchBox)
    qtbot.keyClicks(line, "quar")
    with qtbot.waitSignal(finder.chosen, timeout=1000) as caught:
        qtbot.keyClick(line, Qt.Key.Key_Return)
    assert caught.args == [HITS[1]]
    assert not finder.isVisible()


def test_arrows_choose_among_the_found(qtbot, finder: FindAnything) -> None:  # type: ignore[no-untyped-def]
    line = finder.findChild(SearchBox)
    assert finder.hits() == HITS
    qtbot.keyClick(line, Qt.Key.Key_Down)
    qtbot.keyClick(line, Qt.Key.Key_Down)
    with qtbot.waitSignal(finder.chosen, timeout=1000) as caught:
        qtbot.keyClick(line, Qt.Key.Key_Return)
    assert caught.args[0].key == "m"


def test_nothing_found_is_said_and_enter_does_nothing(qtbot, finder: FindAnything) -> None:  # type: ignore[no-untyped-def]
    line = finder.findChild(SearchBox)
    heard: list[object] = []
    finder.chosen.connect(heard.append)
    qtbot.keyClicks(line, "zzz")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    assert heard == []
    assert finder.isVisible()
    assert any("Nothing found" in words for words in words_in(finder))


def test_escape_closes_the_finder_when_the_line_is_empty(qtbot, finder: FindAnything) -> None:  # type: ignore[no-untyped-def]
    line = finder.findChild(SearchBox)
    qtbot.keyClick(line, Qt.Key.Key_Escape)
    assert not finder.isVisible()


# A paper in the window.


def paper(pages: int = 3) -> bytes:
    from reportlab.pdfgen import canvas

    out = io.BytesIO()
    sheet = canvas.Canvas(out)
    for number in range(pages):
        sheet.setFillColorRGB(0.6, 0, 0)
        sheet.rect(72, 300, 400, 400, fill=1)
        sheet.drawString(72, 750, f"Page {number + 1}")
        sheet.showPage()
    sheet.save()
    return out.getvalue()


@pytest.fixture
def view(shown) -> PaperView:  # type: ignore[no-untyped-def]
    made = PaperView()
    made.resize(700, 800)
    return shown(made)


def test_the_paper_is_drawn_and_counted(qtbot, view: PaperView) -> None:  # type: ignore[no-untyped-def]
    assert view.show_paper(paper(), "Proposal.pdf")
    assert view.page_count() == 3
    assert "Page 1 of 3" in words_in(view)

    def red_is_seen() -> bool:
        image = view.grab().toImage()
        return any(
            image.pixelColor(x, y).name() == "#990000"
            for x in range(100, 600, 20)
            for y in range(100, 700, 20)
        )

    qtbot.waitUntil(red_is_seen, timeout=5000)


def test_zoom_by_keys_makes_it_larger(qtbot, view: PaperView) -> None:  # type: ignore[no-untyped-def]
    view.show_paper(paper())
    view._view.setFocus()
    before = view._fitted_factor()
    qtbot.keyClick(view._view, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)
    assert view._view.zoomFactor() == pytest.approx(before * 1.2, rel=0.02)
    qtbot.keyClick(view._view, Qt.Key.Key_9, Qt.KeyboardModifier.ControlModifier)
    assert view._view.zoomMode() == view._view.ZoomMode.FitToWidth


def test_a_copy_is_saved_whole_and_private(view: PaperView, tmp_path: Path) -> None:
    data = paper()
    view.show_paper(data)
    target = tmp_path / "copy.pdf"
    assert view.save_to(target)
    assert target.read_bytes() == data
    if os.name == "posix":
        assert stat.S_IMODE(target.stat().st_mode) == 0o600


def test_a_folder_that_is_not_there_is_said(qtbot, view: PaperView, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    view.show_paper(paper())
    with qtbot.waitSignal(view.failed, timeout=500) as caught:
        assert not view.save_to(tmp_path / "nowhere" / "copy.pdf")
    assert caught.args[0].startswith("Not saved")


def test_opening_outside_hands_over_a_copy_of_that_name(view: PaperView) -> None:
    data = paper()
    view.show_paper(data, "Proposal 1042.pdf")
    opened: list[Path] = []
    assert view.open_outside(lambda url: opened.append(Path(QUrl(url).toLocalFile())) is None)
    assert opened[0].name == "Proposal 1042.pdf"
    assert opened[0].read_bytes() == data


def test_what_is_no_paper_is_said_and_the_next_one_is_shown(qtbot, view: PaperView) -> None:  # type: ignore[no-untyped-def]
    with qtbot.waitSignal(view.failed, timeout=500):
        assert not view.show_paper(b"not a pdf")
    assert view.show_paper(paper(1))
    assert view.page_count() == 1
    view.clear()
    assert any("Nothing to show yet" in words for words in words_in(view))


def test_placeholders_can_be_read(qtbot) -> None:  # type: ignore[no-untyped-def]
    box = SearchBox("Search")
    qtbot.addWidget(box)
    box.resize(260, 34)
    box.show()
    image = box.grab().toImage()
    inks = {image.pixelColor(x, y).name() for x in range(34, 120) for y in range(6, 28)}
    assert LIGHT.ink_faint in inks
