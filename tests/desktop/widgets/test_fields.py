"""Fields: what people type is read, shown back, kept when it cannot be read, and told once."""

from contextlib import suppress
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QDate, Qt
from PySide6.QtWidgets import QCalendarWidget, QLineEdit, QWidget

from desktop.widgets.form import (
    ChoiceField,
    DateField,
    DurationField,
    Form,
    MoneyField,
    NotesField,
    PercentField,
    QuantityField,
    RadonField,
    SwitchField,
    TextField,
)
from domain.dates import format_day, format_day_short, parse_day
from domain.errors import NotUnderstood

TODAY = date(2026, 3, 10)  # a Tuesday


def type_into(qtbot, field: QLineEdit, text: str, key: Qt.Key = Qt.Key.Key_Return) -> None:  # type: ignore[no-untyped-def]
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, key)


FIELDS = [
    (lambda: MoneyField(), "1,234.5", 123450, "$1,234.50"),
    (lambda: QuantityField("ft"), "62 1/2", Decimal("62.500"), "62.5 ft"),
    (lambda: PercentField(), "15", Decimal("15"), "15%"),
    (lambda: DurationField(), "2h15", 135, "2 h 15"),
    (lambda: RadonField(), "148 Bq/m3", Decimal("4"), "4.0 pCi/L"),
    (lambda: TextField(), "  Alder Court ", "Alder Court", "Alder Court"),
    (lambda: DateField(lambda: TODAY), "3/14", date(2026, 3, 14), "Sat, Mar 14, 2026"),
]


@pytest.mark.parametrize(("make", "typed", "value", "shown"), FIELDS)
def test_enter_commits_once_and_shows_it_as_the_program_writes_it(qtbot, make, typed, value, shown) -> None:  # type: ignore[no-untyped-def]
    field = make()
    qtbot.addWidget(field)
    field.show()
    edits: list[object] = []
    field.edited.connect(edits.append)
    type_into(qtbot, field, typed)
    field.commit()
    assert field.value() == value
    assert edits == [value]
    assert field.text() == shown


WRONG = [
    (lambda: MoneyField(), "twelve"),
    (lambda: QuantityField("ft"), "a lot"),
    (lambda: QuantityField("ft"), "-3"),
    (lambda: PercentField(most=Decimal(100)), "120"),
    (lambda: DurationField(), "long"),
    (lambda: RadonField(), "high"),
    (lambda: DateField(lambda: TODAY), "13/45"),
    (lambda: TextField(required=True), "  "),
]


@pytest.mark.parametrize(("make", "typed"), WRONG)
def test_what_cannot_be_read_is_kept_with_a_message(qtbot, make, typed) -> None:  # type: ignore[no-untyped-def]
    field = make()
    qtbot.addWidget(field)
    field.show()
    edits: list[object] = []
    field.edited.connect(edits.append)
    type_into(qtbot, field, typed)
    assert field.text() == typed
    assert len(field.problem()) > 10
    assert field.accessibleDescription() == field.problem()
    assert edits == []


def test_correcting_takes_the_message_away(qtbot) -> None:  # type: ignore[no-untyped-def]
    field = MoneyField()
    qtbot.addWidget(field)
    field.show()
    type_into(qtbot, field, "12x")
    assert field.problem()
    qtbot.keyClick(field, Qt.Key.Key_Backspace)
    assert not field.problem()
    assert field.property("wrong") is False


def test_typed_is_told_on_each_keystroke_that_can_be_read(qtbot) -> None:  # type: ignore[no-untyped-def]
    field = DurationField()
    qtbot.addWidget(field)
    heard: list[object] = []
    field.typed.connect(heard.append)
    qtbot.keyClicks(field, "2h15")
    assert heard[-1] == 135
    assert field.value() is None, "not committed yet"


def test_a_refresh_leaves_half_typed_text_alone(qtbot) -> None:  # type: ignore[no-untyped-def]
    field = MoneyField()
    qtbot.addWidget(field)
    with qtbot.waitActive(field):
        field.show()
        field.activateWindow()
    field.set_value(500)
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "12")
    field.set_value(500)
    assert field.text() == "12"
    field.reset(700)
    assert field.text() == "$7.00"


def test_a_refresh_leaves_a_refused_text_alone(qtbot) -> None:  # type: ignore[no-untyped-def]
    field = MoneyField()
    qtbot.addWidget(field)
    field.set_value(500)
    type_into(qtbot, field, "lots")
    field.clearFocus()
    field.set_value(500)
    assert field.text() == "lots"
    assert field.problem()


def test_escape_takes_typing_back(qtbot) -> None:  # type: ignore[no-untyped-def]
    field = MoneyField()
    qtbot.addWidget(field)
    field.set_value(500)
    qtbot.keyClicks(field, "9")
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert field.text() == "$5.00"


def test_leaving_a_field_untouched_tells_nobody(qtbot) -> None:  # type: ignore[no-untyped-def]
    field = QuantityField("ft")
    qtbot.addWidget(field)
    edits: list[object] = []
    field.edited.connect(edits.append)
    field.set_value(Decimal("1.5"))
    field.editingFinished.emit()
    assert edits == []


def test_a_changed_unit_is_shown(qtbot) -> None:  # type: ignore[no-untyped-def]
    field = QuantityField("ft")
    qtbot.addWidget(field)
    field.set_value(Decimal(3))
    field.set_unit("each")
    assert field.text() == "3"


def test_up_and_down_move_a_date_by_a_day(qtbot) -> None:  # type: ignore[no-untyped-def]
    field = DateField(lambda: TODAY)
    qtbot.addWidget(field)
    field.show()
    field.set_value(date(2026, 2, 28))
    qtbot.keyClick(field, Qt.Key.Key_Up)
    assert field.value() == date(2026, 3, 1)
    qtbot.keyClick(field, Qt.Key.Key_Down)
    qtbot.keyClick(field, Qt.Key.Key_Down)
    assert field.value() == date(2026, 2, 27)


def test_a_day_is_picked_from_the_calendar_with_keys(qtbot) -> None:  # type: ignore[no-untyped-def]
    field = DateField(lambda: TODAY)
    qtbot.addWidget(field)
    field.show()
    qtbot.keyClick(field, Qt.Key.Key_F4)
    calendar = field.findChild(QCalendarWidget)
    assert calendar is not None
    assert calendar.isVisible()
    assert calendar.selectedDate() == QDate(2026, 3, 10)
    calendar.setSelectedDate(QDate(2026, 3, 20))
    calendar.activated.emit(calendar.selectedDate())
    assert field.value() == date(2026, 3, 20)
    assert not calendar.isVisible()


@pytest.fixture
def choice(qtbot) -> ChoiceField:  # type: ignore[no-untyped-def]
    field = ChoiceField([(1, "Slab"), (2, "Basement"), (3, "Crawl space")])
    qtbot.addWidget(field)
    field.show()
    return field


def test_any_part_of_a_label_is_enough(qtbot, choice: ChoiceField) -> None:  # type: ignore[no-untyped-def]
    edits: list[object] = []
    choice.edited.connect(edits.append)
    qtbot.keyClicks(choice.lineEdit(), "craw")
    choice.commit()
    assert choice.value() == 3
    assert choice.currentText() == "Crawl space"
    assert edits == [3]


def test_words_that_are_no_choice_are_kept_and_refused(qtbot, choice: ChoiceField) -> None:  # type: ignore[no-untyped-def]
    choice.set_value(2)
    choice.lineEdit().selectAll()
    qtbot.keyClicks(choice.lineEdit(), "attic")
    assert not choice.commit()
    assert choice.currentText() == "attic"
    assert choice.problem()
    assert choice.value() == 2


def test_free_words_are_a_value_where_they_are_allowed(qtbot) -> None:  # type: ignore[no-untyped-def]
    field = ChoiceField([("Flyer", "Flyer")], allow_new=True)
    qtbot.addWidget(field)
    qtbot.keyClicks(field.lineEdit(), "Neighbor")
    assert field.commit()
    assert field.value() == "Neighbor"


def test_new_choices_keep_the_chosen_one(choice: ChoiceField) -> None:
    choice.set_value(3)
    choice.set_choices([(3, "Crawl space"), (4, "Attic")])
    assert choice.currentText() == "Crawl space"
    choice.set_choices([(4, "Attic")])
    assert choice.currentText() == ""


def test_picking_from_the_open_list_is_told_once(qtbot, choice: ChoiceField) -> None:  # type: ignore[no-untyped-def]
    edits: list[object] = []
    choice.edited.connect(edits.append)
    choice.showPopup()
    choice.view().setCurrentIndex(choice.model().index(1, 0))
    qtbot.keyClick(choice.view(), Qt.Key.Key_Return)
    assert choice.value() == 2
    assert edits == [2]


def test_scrolling_a_page_does_not_change_a_choice(qtbot, choice: ChoiceField) -> None:  # type: ignore[no-untyped-def]
    from PySide6.QtCore import QPoint, QPointF
    from PySide6.QtGui import QWheelEvent
    from PySide6.QtWidgets import QApplication

    choice.set_value(1)
    wheel = QWheelEvent(
        QPointF(5, 5),
        QPointF(5, 5),
        QPoint(0, -120),
        QPoint(0, -120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(choice, wheel)
    assert choice.value() == 1
    assert choice.currentText() == "Slab"


def test_the_switch_goes_with_space_and_tells(qtbot) -> None:  # type: ignore[no-untyped-def]
    field = SwitchField()
    qtbot.addWidget(field)
    field.show()
    edits: list[object] = []
    field.edited.connect(edits.append)
    field.set_value(False)
    qtbot.keyClick(field, Qt.Key.Key_Space)
    assert (field.value(), edits) == (True, [True])


def test_notes_commit_when_left_and_tab_leaves_them(qtbot) -> None:  # type: ignore[no-untyped-def]
    form = Form()
    qtbot.addWidget(form)
    notes = form.add("Notes", NotesField())
    other = form.add("Next", TextField())
    with qtbot.waitActive(form):
        form.show()
        form.activateWindow()
    edits: list[object] = []
    notes.edited.connect(edits.append)
    notes.setFocus()
    qtbot.keyClicks(notes, "Wet at the north wall")
    assert edits == []
    qtbot.keyClick(notes, Qt.Key.Key_Tab)
    assert other.hasFocus()
    assert edits == ["Wet at the north wall"]


def test_a_form_names_its_fields_and_shows_their_messages_beneath(qtbot) -> None:  # type: ignore[no-untyped-def]
    form = Form(columns=2)
    qtbot.addWidget(form)
    price = form.add("&Price", MoneyField(required=True))
    day = form.add("Day", DateField(lambda: TODAY))
    form.show()
    assert price.accessibleName() == "Price"
    assert form.label_of(price).buddy() is price
    type_into(qtbot, price, "free")
    assert form.error_of(price) == price.problem() != ""
    assert form.error_of(day) == ""
    assert form.first_problem() is price
    form.clear_errors()
    assert form.error_of(price) == ""
    assert price.text() == "free"


def test_spare_height_goes_below_the_last_field(qtbot) -> None:  # type: ignore[no-untyped-def]
    form = Form()
    qtbot.addWidget(form)
    first, second = form.add("First", TextField()), form.add("Second", TextField())
    form.resize(400, 600)
    form.show()
    assert second.mapTo(form, second.rect().topLeft()).y() - first.geometry().bottom() < 30


def test_a_page_can_refuse_a_value_for_reasons_of_its_own(qtbot) -> None:  # type: ignore[no-untyped-def]
    form = Form()
    qtbot.addWidget(form)
    name = form.add("Name", TextField())
    form.set_error(name, "There is a job type of this name already. Give it another.")
    assert form.error_of(name).startswith("There is a job type")
    assert name.property("wrong") is True


def test_commit_all_stops_at_what_cannot_be_read(qtbot) -> None:  # type: ignore[no-untyped-def]
    form = Form()
    qtbot.addWidget(form)
    good, bad = form.add("Good", MoneyField()), form.add("Bad", MoneyField())
    with qtbot.waitActive(form):
        form.show()
        form.activateWindow()
    qtbot.keyClicks(good, "5")
    qtbot.keyClicks(bad, "five")
    assert not form.commit_all()
    assert good.value() == 500
    assert bad.hasFocus()


def test_tab_goes_through_a_form_in_reading_order(qtbot) -> None:  # type: ignore[no-untyped-def]
    form = Form(columns=2)
    qtbot.addWidget(form)
    fields: list[QWidget] = [form.add(f"Field {n}", TextField()) for n in range(4)]
    with qtbot.waitActive(form):
        form.show()
        form.activateWindow()
    fields[0].setFocus()
    for following in fields[1:]:
        qtbot.keyClick(form.focusWidget(), Qt.Key.Key_Tab)
        assert following.hasFocus()


# Days, as typed.


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("today", TODAY),
        ("+3", date(2026, 3, 13)),
        ("-2w", date(2026, 2, 24)),
        ("tomorrow", date(2026, 3, 11)),
        ("fri", date(2026, 3, 13)),
        ("tue", TODAY),
        ("next tue", date(2026, 3, 17)),
        ("last fri", date(2026, 3, 6)),
        ("3/14", date(2026, 3, 14)),
        ("3-14", date(2026, 3, 14)),
        ("3/14/27", date(2027, 3, 14)),
        ("14 Mar", date(2026, 3, 14)),
        ("14mar", date(2026, 3, 14)),
        ("March 14, 2027", date(2027, 3, 14)),
        ("Mar 14th", date(2026, 3, 14)),
        ("2026-03-14", date(2026, 3, 14)),
        ("Sat, Mar 14, 2026", date(2026, 3, 14)),
        ("Sept 1", date(2026, 9, 1)),
    ],
)
def test_a_day_is_read_in_the_ways_people_write_it(typed: str, day: date) -> None:
    assert parse_day(typed, TODAY) == day


def test_a_day_without_a_year_is_the_nearest_one() -> None:
    assert parse_day("1/5", date(2026, 12, 20)) == date(2027, 1, 5)
    assert parse_day("12/28", date(2027, 1, 3)) == date(2026, 12, 28)
    assert parse_day("2/29", date(2027, 6, 1)) == date(2028, 2, 29)


@pytest.mark.parametrize(
    "typed", ["", "   ", "13/45", "2/30", "2025-02-29", "soon", "Marble 3", "1/2/3/4", "9999-01-01"]
)
def test_what_is_no_day_is_refused_in_words(typed: str) -> None:
    with pytest.raises(NotUnderstood) as caught:
        parse_day(typed, TODAY)
    assert str(caught.value).endswith(".")
    assert caught.value.typed == typed


@given(st.dates(date(1900, 1, 1), date(2199, 12, 31)), st.dates(date(1950, 1, 1), date(2150, 12, 31)))
def test_a_day_that_was_written_is_read_back(day: date, today: date) -> None:
    assert parse_day(format_day(day), today) == day
    assert parse_day(format_day_short(day), today) == day
    assert parse_day(day.isoformat(), today) == day


@given(st.text(max_size=20))
def test_any_text_is_a_day_or_kindly_refused(text: str) -> None:
    with suppress(NotUnderstood):
        assert isinstance(parse_day(text, TODAY), date)
