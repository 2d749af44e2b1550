"""Closing a job out: full radon tests, readings, checklist, defects offered and answered for, exposure, undo."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from db import tables
from db.commands.attachments import add_attachment
from db.commands.checklist import (
    add_own_point,
    answer_point,
    answer_points,
    change_point,
    clear_answer,
    hide_point,
    photo_of_answer,
    remove_own_point,
)
from db.commands.closeout import note_closeout
from db.commands.defects import answer_defect, change_defect, forget_offer, note_defect, offer_defects
from db.commands.exposure import change_exposure, log_exposure
from db.commands.jobs import delete_job, mark_installed, open_job
from db.commands.log_hours import log_hours
from db.commands.quotes.life import accept_quote, decline_quote, delete_draft, send_quote, start_quote
from db.commands.quotes.lines import add_labour
from db.commands.standards import set_own_standard
from db.commands.survey import add_photo, add_radon_test, change_radon_test, remove_photo
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.photo_folder import photo_folder
from db.queries.closeout import CloseoutPage, closeout_page, handover
from db.queries.firm import day_rates, firm
from db.queries.quotes import quote_document
from db.records import columns_of, fetch_one
from domain.closeout import records
from domain.closeout.handover import label_words, missing_parts
from domain.closeout.timing import CHARCOAL, CONTINUOUS
from domain.papers import words_of
from domain.quoting.price import build_price
from tests.db.whole_firm import png
from tests.small_company import TODAY, OneJob, add_one_job, empty_company, statements

PNG = png()
FAN_DAY = date(2026, 5, 8)


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    made = empty_company(tmp_path / "Heron Hill.riserbook")
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def page_of(company: Company, job_id: int) -> CloseoutPage:
    with company.read() as conn:
        return closeout_page(conn, job_id, TODAY)


@pytest.mark.parametrize(
    ("table", "record"),
    [
        (tables.closeout, records.Closeout),
        (tables.check_point, records.OwnPoint),
        (tables.check_answer, records.CheckAnswer),
        (tables.defect, records.Defect),
        (tables.exposure, records.Exposure),
        (tables.attachment, records.Attachment),
    ],
)
def test_records_and_tables_have_the_same_fields(table, record) -> None:  # type: ignore[no-untyped-def]
    assert [column.name for column in columns_of(table, record)] == [column.name for column in table.columns]


# Radon tests


def add_test(company: Company, job_id: int, **values: object) -> int:
    usual: dict[str, object] = {
        "purpose": "after", "device": CHARCOAL, "result": Decimal("1.4"), "started_on": date(2026, 5, 10),
        "ended_on": date(2026, 5, 12), "started_minute": 600, "ended_minute": 600, "closed_house": "yes",
        "placed_by": "Ada Quill", "serial": "K-118", "today": TODAY,
    }  # fmt: skip
    with company.action("Test") as edit:
        return add_radon_test(edit, job_id, **{**usual, **values})  # type: ignore[arg-type]


def install(company: Company, job_id: int, minute: int | None = 600) -> None:
    with company.action("Fan on") as edit:
        mark_installed(edit, job_id, FAN_DAY)
        if minute is not None:
            note_closeout(edit, job_id, fan_on_minute=minute)


def test_a_full_test_says_whether_its_timing_meets_the_rules(company: Company, kept: OneJob) -> None:
    install(company, kept.job_id)
    add_test(company, kept.job_id)
    add_test(company, kept.job_id, purpose="before", result=Decimal(7), started_on=date(2026, 5, 1),
             ended_on=date(2026, 5, 4))  # fmt: skip
    seen = page_of(company, kept.job_id).facts
    assert [one.timing.met for one in seen.tests] == [True, True]
    assert seen.tests[1].record.serial == "K-118"
    assert seen.reduction is not None
    assert seen.reduction.percent == 80
    assert seen.retest_on == date(2028, 5, 12)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"ended_on": date(2026, 5, 9)}, "before it began"),
        ({"ended_on": date(2026, 5, 10), "ended_minute": 600}, "before it began at 10 am"),
        ({"ended_on": date(2026, 5, 15)}, "has not come yet"),
        ({"started_on": date(2026, 5, 7)}, "before the fan was on"),
        ({"started_on": FAN_DAY, "started_minute": 599}, "before the fan was on at 10 am"),
        ({"started_on": None}, "no day"),
        ({"started_minute": 1440}, "between 0:00 and 23:59"),
        ({"closed_house": "maybe"}, "yes, no, or not known"),
        ({"attachment_id": 99}, "no longer there"),
        ({"result": Decimal(0)}, "more than nothing"),
    ],
)
def test_a_test_that_cannot_be_is_refused_and_nothing_is_kept(
    company: Company, kept: OneJob, values: dict[str, object], words: str
) -> None:
    install(company, kept.job_id)
    with pytest.raises(Refused, match=words):
        add_test(company, kept.job_id, **values)
    assert page_of(company, kept.job_id).facts.tests == ()


def test_a_test_can_be_changed_field_by_field_within_the_same_rules(company: Company, kept: OneJob) -> None:
    install(company, kept.job_id)
    test_id = add_test(company, kept.job_id, closed_house="", device=CONTINUOUS)
    with company.action("Change") as edit:
        change_radon_test(edit, test_id, closed_house="yes", today=TODAY)
    with pytest.raises(Refused, match="before the fan"), company.action("Change") as edit:
        change_radon_test(edit, test_id, started_on=date(2026, 5, 1), today=TODAY)
    (seen,) = page_of(company, kept.job_id).facts.tests
    assert seen.timing.met is True


def test_an_owners_own_waiting_time_counts(company: Company, kept: OneJob) -> None:
    install(company, kept.job_id)
    add_test(company, kept.job_id, started_on=date(2026, 5, 9), ended_on=date(2026, 5, 12))
    assert page_of(company, kept.job_id).facts.tests[0].timing.met is True
    with company.action("Own value") as edit:
        set_own_standard(edit, "after_fan_hours", date(2026, 1, 1), Decimal(48), source="the county")
    seen = page_of(company, kept.job_id).facts.tests[0].timing
    assert seen.met is False
    assert any("the county" in check.source for check in seen.checks)


# Readings


def test_readings_are_noted_one_by_one_and_undone_together(company: Company, kept: OneJob) -> None:
    for values in ({"fan": "inline fan"}, {"fan_watts": Decimal(62)}, {"suction": Decimal("1.15")}):
        with company.action("Note") as edit:
            note_closeout(edit, kept.job_id, **values)
    system = page_of(company, kept.job_id).facts.kept
    assert (system.fan, system.fan_watts, system.suction) == ("inline fan", 62, Decimal("1.15"))
    for _ in range(3):
        company.undo()
    assert page_of(company, kept.job_id).facts.system is None


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"fan_watts": Decimal(-1)}, "less than nothing"),
        ({"fan_watts": Decimal(6200)}, "more than 2000 W"),
        ({"suction": Decimal(115)}, "decimal point"),
        ({"level_promised": Decimal(0)}, "no level is promised"),
        ({"fan_on_minute": 1500}, "between 0:00"),
        ({"read_on": date(2026, 5, 7)}, "before the fan was on"),
        ({"read_on": date(2026, 5, 20)}, "has not come yet"),
        ({"warranty_until": date(2025, 5, 8)}, "before the work"),
        ({"retest_on": date(2025, 5, 8)}, "before the work"),
    ],
)
def test_readings_that_cannot_be_are_refused(
    company: Company, kept: OneJob, values: dict[str, object], words: str
) -> None:
    install(company, kept.job_id, None)
    with pytest.raises(Refused, match=words), company.action("Note") as edit:
        note_closeout(edit, kept.job_id, today=TODAY, **values)
    assert page_of(company, kept.job_id).facts.system is None


def test_the_time_the_fan_was_on_needs_its_day(company: Company, kept: OneJob) -> None:
    with pytest.raises(Refused, match="Set that day first"), company.action("Note") as edit:
        note_closeout(edit, kept.job_id, fan_on_minute=600)


# The checklist


def test_an_answer_keeps_what_it_was_given_to(company: Company, kept: OneJob) -> None:
    row = next(one for one in page_of(company, kept.job_id).facts.rows if one.point.key == "discharge_opening")
    with company.action("Answer") as edit:
        answer_point(edit, kept.job_id, row.point, "ok", TODAY, note=" by tape ")
        set_own_standard(edit, "discharge_above_opening_ft", date(2026, 1, 1), Decimal(4), source="the county")
    again = next(one for one in page_of(company, kept.job_id).facts.rows if one.point.key == "discharge_opening")
    assert again.answer is not None
    assert (again.answer.answer, again.answer.note) == ("ok", "by tape")
    assert "2 ft" in again.wording
    assert "4 ft" in again.point.wording
    with company.action("Again") as edit:
        answer_point(edit, kept.job_id, again.point, "not_ok", TODAY)
        with pytest.raises(Refused, match="not applicable"):
            answer_point(edit, kept.job_id, again.point, "fine", TODAY)
    last = next(one for one in page_of(company, kept.job_id).facts.rows if one.point.key == "discharge_opening")
    assert last.answer is not None
    assert (last.answer.answer, last.answer.note) == ("not_ok", "by tape")
    assert "4 ft" in last.wording
    with company.action("Take back") as edit:
        clear_answer(edit, kept.job_id, "discharge_opening")
    assert all(one.answer is None for one in page_of(company, kept.job_id).facts.rows)


def test_the_rest_is_answered_at_once_and_what_was_answered_stays(company: Company, kept: OneJob) -> None:
    rows = page_of(company, kept.job_id).facts.rows
    with company.action("Answer") as edit:
        answer_point(edit, kept.job_id, rows[0].point, "not_ok", TODAY)
    with company.action("The rest") as edit:
        assert answer_points(edit, kept.job_id, [row.point for row in rows], "ok", TODAY) == len(rows) - 1
    answers = [row.answer.answer for row in page_of(company, kept.job_id).facts.rows if row.answer]
    assert answers.count("ok") == len(rows) - 1
    assert answers[0] == "not_ok"


def test_the_owner_adds_hides_and_takes_back_points(company: Company, kept: OneJob) -> None:
    with company.action("Points") as edit:
        own = add_own_point(edit, "before", "Dog in the yard asked about", job_type_id=2)
        other = add_own_point(edit, "after", "Only for new systems", job_type_id=1)
        hide_point(edit, "slope")
        change_point(edit, "clean", wording="Swept twice")
        assert own != other
        with pytest.raises(Refused, match="Type what is to be checked"):
            add_own_point(edit, "after", " ")
        with pytest.raises(Refused, match="before, during or after"):
            add_own_point(edit, "later", "x")
        with pytest.raises(Refused, match="no longer there"):
            change_point(edit, "own-77", wording="x")
    points = {row.point.key: row.point for row in page_of(company, kept.job_id).facts.rows}
    assert points["own-1"].wording == "Dog in the yard asked about"
    assert "own-2" not in points
    assert "slope" not in points
    assert points["clean"].wording == "Swept twice"
    with company.action("Answer, then take the point away") as edit:
        answer_point(edit, kept.job_id, points["own-1"], "ok", TODAY)
        remove_own_point(edit, "own-1")
        remove_own_point(edit, "own-2")
        remove_own_point(edit, "clean")
        hide_point(edit, "slope", False)
        add_own_point(edit, "after", "A newer point")
    rows = {row.point.key: row for row in page_of(company, kept.job_id).facts.rows}
    assert rows["own-1"].wording == "Dog in the yard asked about"  # a number once answered is not given again
    assert "slope" in rows
    assert rows["clean"].wording != "Swept twice"


def test_a_photo_belongs_to_its_job_and_leaves_what_it_stood_beside(
    company: Company, kept: OneJob, tmp_path: Path
) -> None:
    other = add_one_job(company, "Bo Fern")
    picture = tmp_path / "outlet.png"
    picture.write_bytes(PNG)
    folder = photo_folder(company.path)
    row = page_of(company, kept.job_id).facts.rows[0]
    with company.action("Photos") as edit:
        mine = add_photo(edit, kept.job_id, picture, folder, TODAY)
        theirs = add_photo(edit, other.job_id, picture, folder, TODAY)
        answer_id = answer_point(edit, kept.job_id, row.point, "ok", TODAY, photo_id=mine)
        defect_id = note_defect(edit, kept.job_id, "Cap on the outlet", TODAY, photo_id=mine)
        with pytest.raises(Refused, match="does not belong"):
            photo_of_answer(edit, answer_id, theirs)
        with pytest.raises(Refused, match="does not belong"):
            change_defect(edit, defect_id, photo_id=theirs)
    with company.action("Remove") as edit:
        remove_photo(edit, mine)
    facts = page_of(company, kept.job_id).facts
    assert facts.photos == ()
    assert facts.defects[0].photo_id is None
    company.undo()
    assert page_of(company, kept.job_id).facts.defects[0].photo_id == mine


# Defects


def with_defects(company: Company, job_id: int) -> list[int]:
    with company.action("Defects") as edit:
        return [
            note_defect(edit, job_id, "Water stands in the run", TODAY, place="crawl space",
                        rule="pipe slopes back to the suction point", price_cents=42000, today=TODAY),
            note_defect(edit, job_id, "Fan in the basement", TODAY, price_cents=55000),
            note_defect(edit, job_id, "Gas flue rusted through", TODAY),
        ]  # fmt: skip


def test_defects_are_offered_in_the_draft_at_their_price(company: Company, kept: OneJob) -> None:
    first, second, third = with_defects(company, kept.job_id)
    with company.action("Draft") as edit:
        rates, settings = day_rates(edit.conn, TODAY), firm(edit.conn)
        quote_id = start_quote(edit, kept.job_id, TODAY, rates, settings)
    with company.read() as conn:
        before = build_price(quote_document(conn, quote_id)).together.net_price_cents
        rounding = quote_document(conn, quote_id).quote.rounding_cents
    with company.action("Offer") as edit:
        assert offer_defects(edit, kept.job_id, [first, second], TODAY) == quote_id
    with company.read() as conn:
        document = quote_document(conn, quote_id)
    offered = build_price(document).together.net_price_cents - before
    assert abs(offered - 97000) <= rounding
    assert "- Put right: Water stands in the run (crawl space)" in document.quote.scope_text
    assert [one.quote_id for one in page_of(company, kept.job_id).facts.defects] == [quote_id, quote_id, None]
    for ids, words in (([first], "stands in a quote already"), ([third], "no price yet"), ([], "No defect is chosen")):
        with pytest.raises(Refused, match=words), company.action("Offer") as edit:
            offer_defects(edit, kept.job_id, ids, TODAY)
    with company.action("Line taken off") as edit:
        forget_offer(edit, first)
        offer_defects(edit, kept.job_id, [first], TODAY)
    with company.action("Delete") as edit:
        delete_draft(edit, quote_id)
    assert all(one.quote_id is None for one in page_of(company, kept.job_id).facts.defects)
    company.undo()
    assert page_of(company, kept.job_id).facts.defects[0].quote_id == quote_id


def test_after_acceptance_defects_go_into_a_change_order_and_a_declined_one_frees_them(
    company: Company, kept: OneJob
) -> None:
    first, *_ = with_defects(company, kept.job_id)
    with company.action("Quote") as edit:
        rates, settings = day_rates(edit.conn, TODAY), firm(edit.conn)
        proposal = start_quote(edit, kept.job_id, TODAY, rates, settings)
        add_labour(edit, proposal, 6, Decimal(1))
        send_quote(edit, proposal, TODAY)
        accept_quote(edit, proposal, TODAY)
    with company.action("Offer") as edit:
        order = offer_defects(edit, kept.job_id, [first], TODAY)
    with company.read() as conn:
        kind = quote_document(conn, order).quote.kind
    assert kind == "change_order"
    with company.action("Declined") as edit:
        send_quote(edit, order, TODAY)
        decline_quote(edit, order, TODAY, "later")
    with company.action("Offer again") as edit:
        assert offer_defects(edit, kept.job_id, [first], TODAY) != order


def test_defects_are_answered_for_with_a_reason_where_they_stay(company: Company, kept: OneJob) -> None:
    first, second, third = with_defects(company, kept.job_id)
    with company.action("Answer") as edit:
        answer_defect(edit, first, "put_right", TODAY)
        answer_defect(edit, second, "left_by_customer", TODAY, "wants to wait for the spring")
        with pytest.raises(Refused, match="in a few words"):
            answer_defect(edit, third, "not_ours", TODAY)
        with pytest.raises(Refused, match="cannot be answered for before"):
            answer_defect(edit, third, "put_right", date(2026, 5, 13))
        with pytest.raises(Refused, match="open, put right"):
            answer_defect(edit, third, "gone", TODAY)
    assert [one.outcome for one in page_of(company, kept.job_id).facts.defects] == [
        "put_right", "left_by_customer", "open",
    ]  # fmt: skip
    with pytest.raises(Refused, match="answered for already"), company.action("Offer") as edit:
        offer_defects(edit, kept.job_id, [first], TODAY)
    with company.action("Open again") as edit:
        answer_defect(edit, second, "open", TODAY)
    assert page_of(company, kept.job_id).facts.defects[1].answered_on is None


# Exposure


def test_exposure_is_logged_offered_and_summed(company: Company, kept: OneJob) -> None:
    add_test(company, kept.job_id, purpose="before", result=Decimal(20), started_on=date(2026, 5, 1),
             ended_on=date(2026, 5, 4))  # fmt: skip
    with company.read() as conn:
        tasks = {row.name: row.id for row in conn.execute(tables.labour_task.select())}
    with company.action("Hours") as edit:
        log_hours(edit, kept.job_id, date(2026, 5, 8), tasks["Run pipe in crawl space"], 1, 300)
        log_hours(edit, kept.job_id, date(2026, 5, 8), tasks["Dig out the old suction point"], 1, 180)
        log_hours(edit, kept.job_id, date(2026, 5, 8), tasks["Paint pipe"], 1, 60)
    page = page_of(company, kept.job_id)
    (offer,) = page.offered
    assert (offer.minutes, offer.person_id, page.offered_level) == (480, 1, 20)
    with company.action("Exposure") as edit:
        entry = log_exposure(edit, 1, offer.day, offer.minutes, Decimal(20), job_id=kept.job_id, today=TODAY)
    page = page_of(company, kept.job_id)
    assert page.offered == []
    assert page.sums[0].wlm == Decimal("0.00941")  # SGM-SF s. 11.3: 8 h x 20 pCi/L / 100 / 170
    with company.action("Half") as edit:
        change_exposure(edit, entry, equilibrium_percent=Decimal(50))
    assert page_of(company, kept.job_id).sums[0].wlm == Decimal("0.00471")


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"minutes": 0}, "more than nothing"),
        ({"minutes": 1441}, "at most a day"),
        ({"level": Decimal(0)}, "more than nothing"),
        ({"equilibrium_percent": Decimal(101)}, "at most 100"),
        ({"day": date(2026, 5, 15)}, "has not come"),
    ],
)
def test_exposure_that_cannot_be_is_refused(company: Company, values: dict[str, object], words: str) -> None:
    usual: dict[str, object] = {"day": TODAY, "minutes": 60, "level": Decimal(5), "today": TODAY}
    with pytest.raises(Refused, match=words), company.action("Exposure") as edit:
        log_exposure(edit, 1, **{**usual, **values})  # type: ignore[arg-type]


def test_nobody_breathes_more_than_a_day_in_a_day(company: Company) -> None:
    with company.action("Exposure") as edit:
        log_exposure(edit, 1, TODAY, 1000, Decimal(5))
    with pytest.raises(Refused, match="on that one day"), company.action("Exposure") as edit:
        log_exposure(edit, 1, TODAY, 600, Decimal(5))


# Handing over


def test_what_is_missing_is_said_and_what_is_there_is_not(company: Company, kept: OneJob) -> None:
    with company.read() as conn:
        empty = {one.part for one in missing_parts(handover(conn, kept.job_id, TODAY))}
    assert "a radon test after the work" in empty
    assert "the suction when the fan was started" in empty
    install(company, kept.job_id)
    add_test(company, kept.job_id)
    with company.action("Note") as edit:
        note_closeout(edit, kept.job_id, suction=Decimal("1.15"), indicator="U-tube gauge")
    with company.read() as conn:
        facts = handover(conn, kept.job_id, TODAY)
    parts = {one.part for one in missing_parts(facts)}
    assert not {"a radon test after the work", "the suction when the fan was started"} & parts
    assert "a radon test before the work" in parts
    words = label_words(replace(facts, firm=replace(facts.firm, licence_number="RM-204")),
                        words_of("label", "call", facts.texts)).all_words  # fmt: skip
    for part in ("Installed May 8, 2026", "U-tube gauge", "1.15 in. w.c.", "RM-204", "every 2 years", "May 12, 2028"):
        assert part in words


def test_a_job_with_something_to_hand_over_is_not_deleted(company: Company, kept: OneJob) -> None:
    with company.action("Defect") as edit:
        note_defect(edit, kept.job_id, "No indicator", TODAY)
    with pytest.raises(Refused, match="would be lost"), company.action("Delete") as edit:
        delete_job(edit, kept.job_id)


def test_the_page_takes_the_same_statements_however_much_there_is(company: Company, kept: OneJob) -> None:
    with company.action("Second job") as edit:
        other = open_job(edit, kept.customer_id, kept.property_id, 2, 1, "", date(2026, 5, 4))
    few = statements(company, lambda conn: closeout_page(conn, other, TODAY))
    install(company, kept.job_id)
    for n in range(4):
        add_test(company, kept.job_id, serial=str(n))
    with_defects(company, kept.job_id)
    rows = page_of(company, kept.job_id).facts.rows
    with company.action("All") as edit:
        answer_points(edit, kept.job_id, [row.point for row in rows], "ok", TODAY)
        for n in range(5):
            log_exposure(edit, 1, date(2026, 5, 4 + n), 60, Decimal(5), job_id=kept.job_id)
    assert statements(company, lambda conn: closeout_page(conn, kept.job_id, TODAY)) == few


def test_a_report_is_put_to_a_test(company: Company, kept: OneJob, tmp_path: Path) -> None:
    paper = tmp_path / "report.pdf"
    paper.write_bytes(b"%PDF-1.4 a report")
    test_id = add_test(company, kept.job_id)
    with company.action("Report") as edit:
        report = add_attachment(edit, paper, photo_folder(company.path), TODAY)
        change_radon_test(edit, test_id, attachment_id=report)
    (seen,) = page_of(company, kept.job_id).facts.tests
    assert seen.report == "report.pdf"
    with company.read() as conn:
        stored = fetch_one(conn, records.Attachment, tables.attachment, report)
    assert (photo_folder(company.path) / stored.file_name).read_bytes() == paper.read_bytes()
