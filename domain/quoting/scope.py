"""What a proposal says will be done: the work that stands on the quote, and what the owner's own words promise beyond.

The owner's words stay as they are. The work below them is listed from the lines of the base, so that it promises what
is quoted and nothing else; options are told where they are offered.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from domain.library import LabourTask
from domain.quoting.lines import QuoteDocument

WORK = "work"
_KINDS = {"permit": "Permit", "subcontractor": "By a subcontractor"}
_SMALL = frozenset((
    "a", "an", "and", "at", "by", "for", "from", "in", "into", "is", "it", "its", "of", "off", "on", "or", "out",
    "over", "the", "there", "to", "up", "what", "with",
))  # fmt: skip
_NEAR = 14
"""So many words may lie between the first and the last word of a task that a sentence names."""


def listed_work(document: QuoteDocument, tasks: Mapping[int, LabourTask]) -> str:
    """The work of the base, a point a task, in the library's order of work; hours on the road and the like are left
    out."""
    there = {line.task_id for line in document.labour if line.option_id is None and line.quantity}
    done = (task for number, task in tasks.items() if number in there and task.role == WORK)
    work = [task.name for task in sorted(done, key=lambda task: (task.position, task.id))]
    rest = (
        ": ".join(part for part in (_KINDS[line.kind], line.description.strip()) if part) for line in document.others
        if line.option_id is None and line.quantity and line.kind in _KINDS
    )  # fmt: skip
    return "\n".join(f"- {words}" for words in dict.fromkeys((*work, *rest)))


def scope_words(document: QuoteDocument, tasks: Mapping[int, LabourTask]) -> str:
    """All of it as it is printed: the owner's words, the work, and the options that were chosen."""
    quote = document.quote
    listed = ""
    if quote.lists_work:
        listed = quote.work_listed if quote.frozen else listed_work(document, tasks)
    chosen = [one.name for one in document.options if one.chosen and quote.accepted_on] if quote.lists_work else []
    options = "\n".join(f"- Option chosen: {name}" for name in chosen)
    return "\n".join(part for part in (quote.scope_text.rstrip(), listed, options) if part)


def not_quoted(text: str, document: QuoteDocument, tasks: Iterable[LabourTask]) -> tuple[str, ...]:
    """Tasks of the library that a text names though the quote has nothing of them, neither in its base nor an option.

    Known by the words of the task's name, nearly all of them close together in one sentence; other words for the same
    work are not found.
    """
    tasks = tuple(tasks)
    there = {line.task_id for line in document.labour if line.quantity}
    quoted = [_stems(task.name) for task in tasks if task.id in there]
    sentences = [_in_order(one) for one in re.split(r"[.;:\n]+", text)]
    found = []
    for task in tasks:
        if task.id in there or task.archived or task.role != WORK:
            continue
        said = next((hit for sentence in sentences if (hit := _named(_stems(task.name), sentence))), frozenset())
        if said and not any(said <= other for other in quoted):
            found.append(task.name)
    return tuple(found)


def not_quoted_words(names: Sequence[str]) -> str:
    """``What we will do names work this quote does not have: Paint pipe. ...``; empty where it names none."""
    if not names:
        return ""
    return (
        f"“What we will do” names work that is not on this quote: {', '.join(names)}. "
        "Your words stay as they are: change them, or put the work on the quote."
    )


def _in_order(text: str) -> list[str]:
    """The words that count, each by its beginning: ``painting`` and ``paint`` are one."""
    return [_stem(word) for word in re.findall(r"[^\W\d_]+", text.casefold()) if word not in _SMALL]


def _stem(word: str) -> str:
    for ending in ("ing", "ed", "es", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            word = word[: -len(ending)]
            break
    return word[:5]


def _stems(text: str) -> frozenset[str]:
    return frozenset(_in_order(text))


def _named(wanted: frozenset[str], sentence: Sequence[str]) -> frozenset[str]:
    """The words of a task found close together in a sentence, where they are enough to name it: all of up to three,
    three in four of more."""
    enough = len(wanted) if len(wanted) <= 3 else -(-len(wanted) * 3 // 4)
    if len(wanted) < 2:
        return frozenset()
    for begin in range(len(sentence)):
        here = wanted.intersection(sentence[begin : begin + _NEAR])
        if sentence[begin] in wanted and len(here) >= enough:
            return here
    return frozenset()
