"""The quote section in use: lines typed in place, the price that follows each key, versions, answers, frozen ones."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QAbstractItemModel, QModelIndex, Qt
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from db import tables
from db.commands import quotes
from db.commands.firm import change_firm
from db.commands.survey import add_radon_test
from db.queries.papers import issued_papers, paper_pdf
from desktop.desk import Desk
from desktop.pages.job_sections.quote import QuoteSection
from desktop.pages.job_sections.quote.line_card import LineCard
from desktop.widgets import young
from domain.money import format_money
from domain.quoting.lines import QuoteDocument
from domain.quoting.price import build_price
from tests.db.quote_company import STARTED, TODAY, QuoteCompany, make_quote_company

Key = Qt.Key


class Evening:
    """The section on the screen with the company behind it."""

    def __init__(self, qtbot: QtBot, shop: QuoteCompany) -> None:
        self.bot, self.shop, self.today = qtbot, shop, TODAY
        self.desk = Desk(shop.company, lambda: self.today)
        self.said: list[str] = []
        self.desk.spoke.connect(lambda text, *_: self.said.append(text))
        self.section = QuoteSection(self.desk)
        self.desk.changed.connect(self.section.refresh)
        qtbot.addWidget(self.section)
        self.section.resize(1240, 620)
        self.section.show()
        qtbot.waitExposed(self.section)
        self.section.activateWindow()
        self.section.show_job(shop.job_id)

    @property
    def document(self) -> QuoteDocument:
        """The quote shown, as stored."""
        return self.shop.document(self.section.editing.quote.id)

    @property
    def total(self) -> str:
        """The total shown."""
        return self.section.panel.total.text()

    def stored_total(self) -> str:
        return format_money(build_price(self.document).together.total_cents)

    def editor(self) -> QLineEdit:
        """The cell being typed into."""
        self.bot.waitUntil(lambda: isinstance(QApplication.focusWidget(), QLineEdit))
        widget = QApplication.focusWidget()
        assert isinstance(widget, QLineEdit)
        return widget

    def type(self, text: str, *keys: Qt.Key) -> None:
        """Type into whatever has the focus."""
        editor = self.editor()
        if text:
            self.bot.keyClicks(editor, text)
        for key in keys:
            self.bot.keyClick(QApplication.focusWidget(), key)

    def fill(self, field: QLineEdit, text: str, *keys: Qt.Key) -> None:
        """Type over a field of a form."""
        field.setFocus()
        field.selectAll()
        self.bot.keyClicks(field, text)
        for key in keys:
            self.bot.keyClick(field, key)

    def edit(self, card: LineCard, row_id: int, key: str, text: str, *keys: Qt.Key) -> None:
        """Type over a cell."""
        name = card._keys.name(row_id)
        card.table.setFocus()
        assert card.table.edit_cell(name, key)
        self.type(text, *keys)

    def tick(self, option_id: int) -> None:
        """Tick an option in the price with the space bar."""
        box = self.section.panel.options.boxes[option_id]
        box.setFocus()
        self.bot.keyClick(box, Key.Key_Space)

    def press(self, button: Any) -> None:
        self.bot.waitUntil(button.isVisible)
        assert button.isEnabled()
        self.bot.mouseClick(button, Qt.MouseButton.LeftButton)


@pytest.fixture
def evening(qtbot: QtBot) -> Iterator[Evening]:
    shop = make_quote_company()
    shop.do(add_radon_test, shop.job_id, "before", "charcoal canister", Decimal("7.1"), STARTED)
    yield Evening(qtbot, shop)
    shop.company.close()


@pytest.fixture
def draft(evening: Evening) -> Evening:
    """An evening with the usual lines already there."""
    evening.shop.start()
    evening.section.refresh()
    return evening


def test_an_empty_job_offers_the_first_step(evening: Evening) -> None:
    assert evening.section.start.isVisible()
    evening.press(evening.section.start.action)
    assert evening.document.labour
    assert evening.total == evening.stored_total()
    assert next(iter(evening.section.versions.buttons.values())).text() == "Version 1  ·  draft"


def test_usual_lines_come_with_one_keystroke(evening: Evening) -> None:
    evening.press(evening.section.start_bare)
    assert evening.document.labour == ()
    evening.bot.keyClick(evening.section, Key.Key_U, Qt.KeyboardModifier.ControlModifier)
    count = len(evening.document.labour)
    assert count > 3
    evening.bot.keyClick(evening.section, Key.Key_U, Qt.KeyboardModifier.ControlModifier)
    assert len(evening.document.labour) == count
    assert "there already" in evening.said[-1]


def test_a_whole_line_of_work_is_typed_without_leaving_the_keyboard(evening: Evening) -> None:
    evening.press(evening.section.start_bare)
    work = evening.section.lines.work
    work.focus_first()
    evening.type("set the fan", Key.Key_Return)  # adds the line and goes to its quantity
    (line,) = evening.document.labour
    assert line.quantity == 1
    evening.type("3", Key.Key_Tab)
    evening.type("2h15", Key.Key_Return)
    (line,) = evening.document.labour
    assert (line.quantity, line.override_minutes, line.minutes) == (3, 135, 135)
    assert line.standard_minutes == 135
    assert evening.total == evening.stored_total()


def test_after_one_line_the_next_is_typed_below_it(evening: Evening) -> None:
    evening.press(evening.section.start_bare)
    card = evening.section.lines.others
    card.focus_first()
    evening.type("permit", Key.Key_Tab)
    evening.type("county permit", Key.Key_Tab)
    evening.type("1", Key.Key_Tab, Key.Key_Tab)
    evening.type("85", Key.Key_Tab)
    evening.type("travel", Key.Key_Tab)
    evening.type("", Key.Key_Tab)
    evening.type("40", Key.Key_Return)
    permit, travel = evening.document.others
    assert (permit.kind, permit.description, permit.unit_cost) == ("permit", "county permit", Decimal(85))
    assert (travel.kind, travel.unit, travel.quantity) == ("travel", "mile", Decimal(40))
    assert travel.unit_cost == evening.shop.rates().mile_cost


def test_material_is_found_by_code_or_by_name_or_is_words_of_ones_own(evening: Evening) -> None:
    evening.press(evening.section.start_bare)
    card = evening.section.lines.materials
    page = evening.section.editing.page
    assert page is not None
    listed = page.picks.items[3].item
    card.focus_first()
    evening.type(listed.code, Key.Key_Return)
    evening.type("10", Key.Key_Tab)
    evening.type("15", Key.Key_Return)
    (line,) = evening.document.materials
    assert (line.item_id, line.net_quantity, line.waste_percent) == (listed.id, 10, 15)
    assert line.quantity == Decimal("11.5")
    card.focus_first()
    evening.type("brass plate", Key.Key_Return)
    assert evening.document.materials[1].description == "brass plate"
    assert "No price yet: brass plate" in evening.section.warning.text()


def test_the_price_follows_each_key_before_anything_is_saved(draft: Evening) -> None:
    line = draft.document.labour[0]
    before = draft.total
    work = draft.section.lines.work
    work.table.setFocus()
    work.table.edit_cell(work._keys.name(line.id), "quantity")
    seen = []
    for letter in "12":
        draft.type(letter)
        seen.append(draft.total)
    assert draft.document.labour[0] == line
    assert len({before, *seen}) == 3 if line.quantity != 1 else len({before, *seen}) == 2
    row = work.model.rows[0]
    assert "12 ×" in work.model.text(row, "why")
    draft.type("", Key.Key_Escape)
    assert draft.total == before
    assert draft.document.labour[0] == line


def test_what_was_typed_is_what_is_saved(draft: Evening) -> None:
    line = draft.document.labour[1]
    draft.edit(draft.section.lines.work, line.id, "quantity", "4", Key.Key_Return)
    assert draft.document.labour[1].quantity == 4
    assert draft.total == draft.stored_total()


def test_what_cannot_be_read_stays_with_the_reason_and_loses_nothing(draft: Evening) -> None:
    line = draft.document.labour[0]
    draft.edit(draft.section.lines.work, line.id, "override", "soonish", Key.Key_Return)
    assert draft.document.labour[0] == line
    table = draft.section.lines.work.table
    (refused,) = table.rows_model().refused_cells()
    assert refused.text == "soonish"
    table.edit_cell(refused.row_id, refused.key)
    assert draft.editor().text() == "soonish"
    draft.editor().selectAll()
    draft.type("50m", Key.Key_Return)
    assert draft.document.labour[0].override_minutes == 50


def test_a_line_is_removed_with_delete_and_comes_back_with_undo(draft: Evening) -> None:
    before = draft.document
    table = draft.section.lines.materials.table
    table.setFocus()
    table.select_id(draft.section.lines.materials._keys.name(before.materials[1].id))
    draft.bot.keyClick(table, Key.Key_Delete)
    assert len(draft.document.materials) == len(before.materials) - 1
    draft.desk.undo()
    assert draft.document == before


def test_lines_move_with_control_and_arrows(draft: Evening) -> None:
    first, second = (line.id for line in draft.document.labour[:2])
    table = draft.section.lines.work.table
    table.setFocus()
    table.select_id(draft.section.lines.work._keys.name(first))
    draft.bot.keyClick(table, Key.Key_Down, Qt.KeyboardModifier.ControlModifier)
    assert [line.id for line in draft.document.labour[:2]] == [second, first]


# Price


def test_margin_and_markup_move_each_other(draft: Evening) -> None:
    panel = draft.section.panel
    panel.margin.setFocus()
    panel.margin.selectAll()
    draft.bot.keyClicks(panel.margin, "50")
    assert panel.markup.value() == 100  # while typing
    assert draft.document.quote.pricing_percent != 50
    draft.bot.keyClick(panel.margin, Key.Key_Return)
    assert (draft.document.quote.pricing, draft.document.quote.pricing_percent) == ("margin", 50)
    draft.fill(panel.markup, "25", Key.Key_Return)
    assert (draft.document.quote.pricing, draft.document.quote.pricing_percent) == ("markup", 25)
    assert panel.margin.value() == 20
    assert draft.total == draft.stored_total()


def test_a_price_typed_over_is_fixed_until_margin_or_markup_is_set_again(draft: Evening) -> None:
    panel = draft.section.panel
    draft.fill(panel.list_price, "1999", Key.Key_Return)
    assert draft.document.quote.pricing == "fixed"
    assert draft.total == "$1,999.00"
    draft.fill(panel.margin, "40", Key.Key_Return)
    assert draft.document.quote.pricing == "margin"
    assert draft.total != "$1,999.00"


def test_a_margin_that_cannot_be_is_refused_beside_the_field(draft: Evening) -> None:
    panel, before = draft.section.panel, draft.document
    draft.fill(panel.margin, "100", Key.Key_Return)
    assert draft.document == before
    assert panel.margin.text().startswith("100")
    assert "100%" in panel.margin.problem()


def test_goodwill_has_its_own_line_and_reason(draft: Evening) -> None:
    panel = draft.section.panel
    draft.fill(panel.goodwill, "40", Key.Key_Return)
    assert draft.document.quote.goodwill_cents == 4000
    assert panel.reason.isEnabled()
    draft.fill(panel.reason, "neighbour", Key.Key_Return)
    assert draft.document.quote.goodwill_reason == "neighbour"
    assert "after goodwill" in panel.expected.text()


def test_tax_treatments_change_what_is_shown(draft: Evening) -> None:
    panel = draft.section.panel
    panel.treatment.reset(None)
    panel.treatment._take("separated")
    draft.fill(panel.tax_percent, "8.875", Key.Key_Return)
    assert draft.document.quote.tax_percent == Decimal("8.875")
    assert panel._amounts["tax"][2].isVisible()
    place = panel.treatment.mapTo(panel, panel.treatment.rect().topLeft())
    assert panel._amounts["purchase_tax"][1].text() == "none"
    panel.treatment._take("lump_sum")
    assert panel._amounts["purchase_tax"][1].text() == "8.875%"
    assert panel.treatment.mapTo(panel, panel.treatment.rect().topLeft()) == place, "a choice of tax moves no field"
    assert not panel._amounts["tax"][2].isVisible()
    assert draft.total == draft.stored_total()


def test_the_owner_sees_what_an_own_hour_earns(draft: Evening) -> None:
    totals = build_price(draft.document).together
    assert totals.owner_hour_cents is not None
    assert format_money(totals.owner_hour_cents) in draft.section.panel.own_hour.text()


# Options


def test_an_option_has_its_own_lines_and_a_tick_in_the_price(draft: Evening) -> None:
    base = draft.total
    draft.press(draft.section.lines.parts.add)
    draft.fill(draft.section.lines.parts.name, "Quieter fan", Key.Key_Return)
    card = draft.section.lines.others
    card.focus_first()
    draft.type("equipment", Key.Key_Tab)
    draft.type("fan", Key.Key_Tab)
    draft.type("1", Key.Key_Tab, Key.Key_Tab)
    draft.type("90", Key.Key_Return)
    (option,) = draft.document.options
    assert option.name == "Quieter fan"
    assert draft.document.others[0].option_id == option.id
    assert draft.total == base
    draft.tick(option.id)
    assert draft.total == format_money(build_price(draft.document).with_options([option.id]).total_cents)


# Versions and answers


def test_a_sent_version_is_kept_as_it_went_out(draft: Evening) -> None:
    draft.press(draft.section.actions.send)
    with draft.desk.read() as conn:
        (row,) = issued_papers(conn)
        kept, pdf = paper_pdf(conn, row.id)
    pages = PdfReader(BytesIO(pdf)).pages
    assert (row.kind, row.job_id, kept.pages) == ("proposal", draft.shop.job_id, len(pages))
    with draft.shop.company.action("Rename") as edit:
        change_firm(edit, name="Quite Another Name")
    with draft.desk.read() as conn:
        assert paper_pdf(conn, row.id)[1] == pdf
    draft.desk.undo()
    draft.desk.undo()
    with draft.desk.read() as conn:
        assert issued_papers(conn) == []


def test_a_sent_version_is_frozen_and_says_so(draft: Evening) -> None:
    draft.press(draft.section.actions.send)
    assert draft.document.quote.sent_on == TODAY
    assert "stays as the customer has it" in draft.section.notice.text()
    assert draft.section.stack.currentWidget() is draft.section.preview
    draft.section.show_view("lines")
    for card in (draft.section.lines.work, draft.section.lines.materials):
        rows = card.model.rows
        assert rows
        assert all(row.id for row in rows)  # no empty row
        assert not any(card.model.can_edit(card.model.index(0, n)) for n in range(len(card.model.columns)))
    assert not draft.section.panel.margin.isEnabled()
    assert not draft.section.panel.goodwill.isEnabled()
    assert all(field.isReadOnly() for field in draft.section.texts.fields.values())
    assert not draft.section.actions.send.isVisible()


def test_revise_makes_the_next_version_and_leaves_the_last(
    draft: Evening, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(young, "READING_MS", 0)
    draft.press(draft.section.actions.send)
    sent = draft.document
    draft.press(draft.section.actions.revise)
    assert draft.document.quote.version == 2
    assert [made.text() for made in draft.section.versions.buttons.values()] == [
        "Version 1  ·  sent Mar 3, 2026", "Version 2  ·  draft"
    ]  # fmt: skip
    draft.section.show_view("lines")
    draft.edit(draft.section.lines.work, draft.document.labour[0].id, "quantity", "5", Key.Key_Return)
    draft.press(draft.section.versions.buttons[sent.quote.id])
    assert draft.document == sent


def test_acceptance_takes_the_ticked_options(draft: Evening) -> None:
    quote_id = draft.section.editing.quote.id
    option_id = draft.shop.do(quotes.add_option, quote_id, "Quieter fan")
    draft.shop.do(quotes.add_other, quote_id, "equipment", Decimal(1), Decimal(90), option_id=option_id)
    draft.section.refresh()
    draft.press(draft.section.actions.send)
    draft.tick(option_id)
    draft.press(draft.section.actions.accept)
    assert draft.document.quote.accepted_on == TODAY
    assert draft.document.options[0].chosen
    assert "with 1 option" in draft.said[-1]
    assert draft.section.actions.order.isVisible()
    draft.desk.undo()
    assert draft.document.quote.accepted_on is None


def test_an_acceptance_is_taken_back_after_it_was_said_what_follows(draft: Evening) -> None:
    draft.press(draft.section.actions.send)
    draft.press(draft.section.actions.accept)
    actions = draft.section.actions
    draft.press(actions.take_back)
    assert draft.document.quote.accepted_on == TODAY, "first it is said"
    assert "counts as sent again" in actions.follows.text()
    (go,) = [one for one in actions.follows.findChildren(QPushButton) if one.text() == "Take it back"]
    draft.press(go)
    assert draft.document.quote.accepted_on is None
    assert actions.accept.isVisible()
    assert not actions.take_back.isVisible()
    assert not actions.follows.isVisible()


def test_declining_asks_for_the_reason_and_keeps_it(draft: Evening) -> None:
    draft.press(draft.section.actions.send)
    draft.press(draft.section.actions.decline)
    assert draft.document.quote.declined_on is None
    assert "few words" in draft.section.actions.reason.problem()
    draft.fill(draft.section.actions.reason, "dearer than another")
    draft.press(draft.section.actions.decline)
    assert draft.document.quote.declined_reason == "dearer than another"
    assert "dearer than another" in draft.section.notice.text()
    assert draft.section.actions.revise.isVisible()


def test_unquoted_work_becomes_a_change_order_at_a_click(draft: Evening) -> None:
    draft.press(draft.section.actions.send)
    draft.press(draft.section.actions.accept)
    with draft.shop.company.action("log") as edit:
        edit.add(
            tables.hours_entry, job_id=draft.shop.job_id, day=TODAY, task_id=draft.shop.first_id(tables.labour_task),
            person_id=draft.shop.first_id(tables.person), minutes=90, rate_cents=6000, overhead_rate_cents=1000,
            unquoted=True,
        )  # fmt: skip
    draft.press(draft.section.actions.order)
    assert draft.document.quote.kind == "change_order"
    assert [line.minutes for line in draft.document.labour] == [90]
    assert "Change order 1" in list(draft.section.versions.buttons.values())[-1].text()


def test_a_deleted_draft_leaves_the_first_step_and_undo(draft: Evening) -> None:
    draft.press(draft.section.actions.delete)
    assert draft.section.start.isVisible()
    draft.desk.undo()
    assert not draft.section.start.isVisible()


def test_prices_changed_since_are_pointed_out_and_taken_over(draft: Evening) -> None:
    assert not draft.section.notice.isVisible()
    line = draft.document.materials[0]
    draft.today = TODAY + timedelta(20)
    with draft.shop.company.action("dearer") as edit:
        edit.add(tables.item_price, item_id=line.item_id, starts_on=draft.today, unit_cost=Decimal("77.77"))
    draft.section.refresh()
    assert "$77.77" in draft.section.notice.text()
    draft.section.refresh_prices()
    assert draft.document.materials[0].unit_cost == Decimal("77.77")
    assert not draft.section.notice.isVisible()


# Texts and paper


def test_texts_save_themselves_and_reach_the_paper(draft: Evening) -> None:
    draft.section.show_view("texts")
    field = draft.section.texts.fields["scope_text"]
    field.setFocus()
    field.selectAll()
    draft.bot.keyClicks(field, "Dig the pit by hand.")
    draft.section.texts.fields["terms_text"].setFocus()
    assert draft.document.quote.scope_text == "Dig the pit by hand."
    draft.section.show_view("preview")
    paper = draft.section.preview.paper
    assert paper is not None
    draft.bot.waitUntil(lambda: paper.page_count() >= 1)


def test_half_typed_words_survive_a_refresh(draft: Evening) -> None:
    panel = draft.section.panel
    panel.goodwill.setFocus()
    draft.bot.keyClicks(panel.goodwill, "12")
    draft.section.refresh()
    assert panel.goodwill.text() == "12"
    draft.bot.keyClick(panel.goodwill, Key.Key_Return)
    assert draft.document.quote.goodwill_cents == 1200


def test_every_field_and_button_has_a_name(draft: Evening) -> None:
    nameless = [
        widget
        for widget in draft.section.findChildren(QLineEdit)
        if widget.isVisible() and not widget.accessibleName() and not widget.objectName().startswith("qt_")
    ]
    assert nameless == []


def test_sending_asks_about_a_missing_result_and_about_what_costs_nothing(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(young, "READING_MS", 0)
    shop = make_quote_company()
    evening = Evening(qtbot, shop)
    evening.section.begin(usual=False)
    evening.shop.do(quotes.add_material, evening.section.editing.quote.id, None, Decimal(1), description="Bolts")
    evening.section.refresh()
    evening.press(evening.section.actions.send)
    asked = evening.section.actions.follows
    assert not evening.document.quote.frozen
    assert "No radon result" in asked.text()
    assert "At $0.00: Bolts" in asked.text()
    evening.press(asked.findChild(QPushButton))
    assert evening.document.quote.frozen
    shop.company.close()


def test_enter_after_a_kind_goes_to_its_price_and_an_amount_never_becomes_a_line(draft: Evening) -> None:
    card = draft.section.lines.others
    before = len(draft.document.others)
    card.focus_first()
    draft.type("elec", Key.Key_Return)
    draft.type("280", Key.Key_Return)
    (line,) = draft.document.others[before:]
    assert (line.kind, line.description, line.unit_cost) == ("subcontractor", "Electrician", 280)
    draft.bot.keyClicks(QApplication.focusWidget(), "3")
    draft.type("00", Key.Key_Return)
    assert len(draft.document.others) == before + 1
    kept = _row_that_says(card.model, "kind", "300")
    assert "is an amount" in kept.data(Qt.ItemDataRole.AccessibleDescriptionRole)


def test_less_than_nothing_is_not_reckoned_with_while_it_is_typed(draft: Evening) -> None:
    shown = draft.total
    line = draft.document.labour[0]
    draft.edit(draft.section.lines.work, line.id, "quantity", "-40")
    assert draft.total == shown


def _row_that_says(model: QAbstractItemModel, column: str, words: str) -> QModelIndex:
    """The one cell of a column that holds these words, kept or waiting."""
    cells = [model.index(row, model.column_of(column)) for row in range(model.rowCount())]
    (found,) = [cell for cell in cells if cell.data() == words]
    return found


@pytest.mark.parametrize("then", [Key.Key_Tab, Key.Key_Return])
def test_a_word_that_fits_several_items_is_never_thrown_away(draft: Evening, then: Qt.Key) -> None:
    card = draft.section.lines.materials
    card.focus_first()
    draft.type("membr", then)
    cell = _row_that_says(card.model, "item", "membr")
    assert "fits" in cell.data(Qt.ItemDataRole.AccessibleDescriptionRole)
    card.table.setFocus()
    card.table.edit_cell(card.model.id_at(cell.row()), "item")
    assert draft.editor().text() == "membr"
