"""The parts of a page, from one place.

    label(text, role="body", tone="", wrap=False); set_tone(widget, tone)
    PageHead(title, subtitle="", actions=[...])         .set_words(title, subtitle) .add_action(widget)
    SectionHeader(title, note="", actions=[...])        .set_words(title, note) .add_action(widget)
    Card(title="", note="")                             .add(widget or layout, stretch=0) .add_action(widget) .body
    Figure(label, value, note="", tone="")              .set_values(value, note, tone)
    EmptyPage(title, text, action_label, callback, icon_name)     .action is the button
    SearchBox(placeholder)                              .searched(str) .target = table to move in .flush()
    Notice(kind, text, ("Label", callback) or None)     .set_words(kind, text, action); empty text hides it
    StatePill(text, tone)                               .set_words(text, tone)
    Saved()                                             .show_saved("21:04") .show_problem(text)
    Toast(window)                                       .say(text, ("Undo", callback) or None, tone="good")
    button(text, on_click, kind, icon_name, tip); tool_button(icon, name, on_click); segments(choices, on_choice, name)
    on_keys(button, "Ctrl+N")
    FlowLayout(spacing=12); scroll_page(widget); panes(a, b, shares, orientation); column(*parts); row(*parts)

Kinds of a notice: info, good, caution, error.
Tones of a pill: plain, info, good, under, over, caution, goodwill, error.
"""

from desktop.widgets.buttons import Segments, button, on_keys, segments, tool_button
from desktop.widgets.flow import FlowLayout, Splitter, column, flowing, panes, row, scroll_page
from desktop.widgets.notices import Notice, Saved, StatePill, Toast
from desktop.widgets.page_parts import Card, EmptyPage, Figure, PageHead, SearchBox, SectionHeader, label, set_tone

__all__ = [
    "Card",
    "EmptyPage",
    "Figure",
    "FlowLayout",
    "Notice",
    "PageHead",
    "Saved",
    "SearchBox",
    "SectionHeader",
    "Segments",
    "Splitter",
    "StatePill",
    "Toast",
    "button",
    "column",
    "flowing",
    "label",
    "on_keys",
    "panes",
    "row",
    "scroll_page",
    "segments",
    "set_tone",
    "tool_button",
]
