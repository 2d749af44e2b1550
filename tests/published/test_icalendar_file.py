"""The calendar file against RFC 5545, read back by another library (vobject) than the one that writes it.

Source: RFC 5545, section 3.1 (content lines: CR LF, at most 75 octets, folded by CR LF and one space; read in a
stored copy of the section). Sections 3.3.5 (floating time), 3.6.1 (the end of a whole day is the day after), 3.8.1.11
(status), 3.8.4.7 (UID) and 3.8.7.4 (sequence) are from memory; that another library understands the file is tested.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import vobject
from hypothesis import given, settings
from hypothesis import strategies as st

from desktop.books.calendar_file import calendar_bytes
from domain.calendar.visits import VISIT_KINDS, PlannedVisit, Visit, moment

MADE = datetime(2026, 5, 14, 20, 0, tzinfo=UTC)
letters = st.characters(blacklist_categories=("Cs", "Cc"), blacklist_characters="\u2028\u2029")
words = st.text(letters, max_size=120).map(lambda text: " ".join(text.split()))


@st.composite
def planned_visits(draw: st.DrawFn, number: int = 1) -> PlannedVisit:
    start = draw(st.none() | st.integers(0, 1380))
    day = draw(st.dates(date(2000, 1, 1), date(2199, 12, 30)))
    visit = Visit(
        number, 7, draw(st.sampled_from(VISIT_KINDS)), "", day, start, draw(st.integers(1, 60)),
        draw(st.integers(0, 200)), draw(words), None, draw(st.integers(0, 1)), draw(words), None,
        draw(st.none() | st.just(day)), f"{number}@riserbook.invalid", draw(st.integers(0, 99)),
    )  # fmt: skip
    return PlannedVisit(visit, "26-014", draw(words), draw(words), draw(words), "(207) 555-0143")


@settings(max_examples=60, deadline=None)
@given(planned_visits())
def test_another_library_reads_what_was_written(planned: PlannedVisit) -> None:
    told = calendar_bytes([planned], MADE, "Heron Hill Radon")
    event = vobject.readOne(told.decode("utf-8")).vevent
    visit = planned.visit
    assert event.uid.value == visit.uid
    assert int(event.sequence.value) == visit.sequence
    assert event.status.value == ("CONFIRMED" if visit.cancelled_on is None else "CANCELLED")
    assert event.summary.value.startswith(planned.words.strip()[:20])
    if planned.place:
        assert event.location.value == planned.place
    if visit.starts_at is None:
        assert (event.dtstart.value, event.dtend.value) == (visit.day, visit.day + timedelta(days=1))
    else:
        assert event.dtstart.value == moment(visit.day, visit.starts_at)
        assert event.dtstart.value.tzinfo is None
        assert event.dtend.value - event.dtstart.value == timedelta(minutes=visit.minutes)
    assert event.dtstamp.value == MADE


@settings(max_examples=60, deadline=None)
@given(planned_visits())
def test_lines_end_and_fold_as_section_3_1_asks(planned: PlannedVisit) -> None:
    told = calendar_bytes([planned], MADE, "Heron Hill Radon")
    assert told.endswith(b"\r\n")
    assert b"\n" not in told.replace(b"\r\n", b"")
    for line in told.split(b"\r\n"):
        assert len(line) <= 75
        line.decode("utf-8")  # no character is cut in two
    unfolded = told.decode("utf-8").replace("\r\n ", "").split("\r\n")
    assert unfolded[0] == "BEGIN:VCALENDAR"
    assert "VERSION:2.0" in unfolded
    assert sum(line.startswith("PRODID:") for line in unfolded) == 1
    assert sum(line.startswith("UID:") for line in unfolded) == 1
    assert sum(line.startswith("DTSTAMP:") and line.endswith("Z") for line in unfolded) == 1


def test_a_second_file_of_a_moved_visit_is_the_same_event_further_on() -> None:
    before = Visit(1, 7, "work", "", date(2026, 5, 18), 480, 60, 0, "", None, 1, "", None, None, "a@b.invalid", 0)
    after = Visit(1, 7, "work", "", date(2026, 5, 19), 540, 60, 0, "", None, 1, "", None, None, "a@b.invalid", 1)
    first, second = (
        vobject.readOne(calendar_bytes([PlannedVisit(one)], MADE, "x").decode()).vevent for one in (before, after)
    )
    assert first.uid.value == second.uid.value
    assert int(second.sequence.value) > int(first.sequence.value)
    assert second.dtstart.value == datetime(2026, 5, 19, 9)


def test_own_time_of_others_does_not_block_the_owner() -> None:
    day = date(2026, 5, 18)
    visit = Visit(1, 7, "electrician", "", day, 480, 60, 0, "Volt & Vine", None, 0, "", None, None, "u", 0)
    told = calendar_bytes([PlannedVisit(visit, customer="Ada; Quill, Ltd")], MADE, "x")
    event = vobject.readOne(told.decode()).vevent
    assert event.transp.value == "TRANSPARENT"
    assert event.summary.value == "Electrician · Ada; Quill, Ltd (Volt & Vine)"
