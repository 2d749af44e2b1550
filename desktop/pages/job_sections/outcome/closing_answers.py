"""What can be said of a quoted line without a log at closing, as it is typed, chosen or pressed."""

from __future__ import annotations

from collections.abc import Sequence

from db.commands.closing import answer_lines, log_as_quoted, log_forgotten
from db.queries.closing import ClosingReview
from desktop.desk import Desk
from desktop.pages.job_sections.log.entering import enter
from domain.closing import AS_QUOTED, LEFT_OUT, TASK, WITHIN, OpenLine, answer_words

_LETTERS = {"w": WITHIN, "n": LEFT_OUT, "none": LEFT_OUT, "0": LEFT_OUT}
REOPEN = "To log it, reopen the job first."


class ClosingAnswers:
    """Writes what is said of the lines of `review`, the one that is shown; each call says why not, None when it did."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.review: ClosingReview | None = None

    @property
    def is_closed(self) -> bool:
        """The job is closed: it can be answered, and nothing more be logged."""
        return self.review is not None and self.review.job.closed_on is not None

    @property
    def not_done_minutes(self) -> int:
        """Quoted for tasks that were answered as not done."""
        return sum(line.minutes for line in self.review.lines if line.answer == LEFT_OUT) if self.review else 0

    def tasks(self) -> dict[int, str]:
        """Names of tasks by id."""
        return self.review.tasks if self.review else {}

    def answer(self, lines: Sequence[OpenLine], answer: str, within: int | None = None) -> str | None:
        """Give these lines one answer; "" takes theirs back."""
        assert self.review is not None
        job_id, keys = self.review.job.id, [line.key for line in lines]
        name = lines[0].name if len(lines) == 1 else f"{len(lines)} lines"
        words = answer_words(lines[0].key.kind, answer) or "no answer"
        return enter(
            self._desk, f"Answer {name}: {words}", lambda edit: answer_lines(edit, job_id, keys, answer, within)
        )

    def log_as_quoted(self, lines: Sequence[OpenLine]) -> str | None:
        """These materials and costs came as quoted: they are logged so."""
        review, today = self.review, self._desk.today()
        assert review is not None
        if self.is_closed:
            return REOPEN
        keys = [line.key for line in lines]
        name = lines[0].name if len(lines) == 1 else f"{len(lines)} lines"
        return enter(
            self._desk, f"Log {name} as quoted",
            lambda edit: log_as_quoted(edit, review.job.id, keys, review.day, today=today),
        )  # fmt: skip

    def typed(self, line: OpenLine, text: str, *, into_answer: bool) -> tuple[str | None, bool]:
        """(why not, or None; whether it was an answer) of what was typed beside a line."""
        words = " ".join(text.casefold().split())
        if answer := _LETTERS.get(words):
            return self.answer([line], answer), True
        if into_answer:
            return self._chosen(line, words)
        if not words:
            return None, False
        review = self.review
        assert review is not None
        return enter(
            self._desk, f"Log {text.strip()} on {line.name}",
            lambda edit: log_forgotten(
                edit, review.job.id, line.key, text, review.day, review.person_id, today=self._desk.today()
            ),
        ), False  # fmt: skip

    def _chosen(self, line: OpenLine, words: str) -> tuple[str | None, bool]:
        choices = [one for one in self.choices(line) if one.casefold() == words] or [
            one for one in self.choices(line) if words and words in one.casefold()
        ]
        if not words:
            return self.answer([line], ""), True
        if len(choices) != 1:
            return f"Choose one: {', '.join(self.choices(line)[:3])} …", False
        if choices[0] == AS_QUOTED.get(line.key.kind):
            return self.log_as_quoted([line]), False
        if choices[0] == answer_words(line.key.kind, LEFT_OUT):
            return self.answer([line], LEFT_OUT), True
        return self.answer([line], WITHIN, self._named().get(choices[0]) if line.key.kind == TASK else None), True

    def choices(self, line: OpenLine) -> list[str]:
        """What can be chosen for a line, in words."""
        general = [answer_words(line.key.kind, WITHIN), answer_words(line.key.kind, LEFT_OUT)]
        if line.key.kind == TASK:
            return [*general, *self._named()]
        return general if self.is_closed else [AS_QUOTED[line.key.kind], *general]

    def _named(self) -> dict[str, int]:
        """"in the time of Seal" with the task's id, those with most time first."""
        review = self.review
        return {f"in the time of {review.tasks[one]}": one for one in review.logged_tasks} if review else {}
