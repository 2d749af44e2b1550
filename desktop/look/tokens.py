"""Every colour, space, radius and size of the program, for light and for dark.

Nothing outside `desktop/look` writes a colour or a pixel size of its own: it reads `current_tokens()` from
`desktop.look.theme` when it paints. Colours are `#rrggbb` strings. The pairs that are drawn upon each other
are listed in `TEXT_PAIRS` (at least 4.5:1) and `MARK_PAIRS` (at least 3:1), which a test computes by the
formula of WCAG 2.2.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Space:
    """Distances in device-independent pixels."""

    hair: int = 2
    tight: int = 4
    small: int = 8
    medium: int = 12
    large: int = 16
    wide: int = 24
    page: int = 28


@dataclass(frozen=True, slots=True)
class Radius:
    """Corner radii in device-independent pixels."""

    mark: int = 3
    control: int = 5
    card: int = 8


@dataclass(frozen=True, slots=True)
class TypeSize:
    """Type sizes in points at 96 dots an inch; `desktop.look.fonts` converts them for other systems."""

    small: float = 9.5
    body: float = 10.5
    section: float = 12.0
    title: float = 18.0
    figure: float = 17.0


@dataclass(frozen=True, slots=True)
class Tokens:
    """One complete set of colours with the measures that go with it."""

    name: str
    paper: str  # the window
    sheet: str  # cards, tables, fields
    sunk: str  # table heads, hovered rows, read-only fields
    ink: str
    ink_soft: str  # labels, second lines
    ink_faint: str  # hints, placeholders, what is switched off
    line: str  # quiet rules, never the only sign of anything
    line_strong: str  # edges of fields and buttons
    accent: str  # whatever can be acted on
    accent_strong: str  # the same, hovered or pressed
    accent_soft: str  # selection
    on_accent: str
    over: str  # text about what ran over the quote
    over_soft: str
    over_fill: str
    under: str  # text about what came in under the quote, and of success
    under_soft: str
    under_fill: str
    goodwill: str  # text about what was given on purpose
    goodwill_soft: str
    goodwill_fill: str
    error: str  # text of what was not understood or would be lost
    error_soft: str
    actual: str  # the logged part of a bar, up to what was quoted
    quoted: str  # the outline of what was quoted
    scroll: str  # the handle of a scroll bar at rest
    shadow: str
    space: Space = field(default_factory=Space)
    radius: Radius = field(default_factory=Radius)
    type_size: TypeSize = field(default_factory=TypeSize)
    row_height: int = 32
    control_height: int = 32
    bar_height: int = 14
    rail_width: int = 208

    @property
    def is_dark(self) -> bool:
        """True for the dark set."""
        return self.name == "dark"


LIGHT = Tokens(
    name="light",
    paper="#f3eee4",
    sheet="#fffdf8",
    sunk="#eae3d5",
    ink="#27231d",
    ink_soft="#564f43",
    ink_faint="#645c4f",
    line="#ddd4c4",
    line_strong="#8b8170",
    accent="#1d5b86",
    accent_strong="#154667",
    accent_soft="#d9e6ee",
    on_accent="#ffffff",
    over="#7a4e00",
    over_soft="#f7e8ca",
    over_fill="#b87a12",
    under="#0d5f57",
    under_soft="#d6ebe6",
    under_fill="#2b8a7e",
    goodwill="#5f4191",
    goodwill_soft="#e9e2f3",
    goodwill_fill="#8667b8",
    error="#98281f",
    error_soft="#f9e2dc",
    actual="#8a8172",
    quoted="#564f43",
    scroll="#c9bfad",
    shadow="#27231d",
)

DARK = Tokens(
    name="dark",
    paper="#1c1a17",
    sheet="#26231f",
    sunk="#322e28",
    ink="#efe8dc",
    ink_soft="#c2b9a9",
    ink_faint="#b5ac9c",
    line="#3d3831",
    line_strong="#8a8172",
    accent="#86bfe4",
    accent_strong="#a9d3ef",
    accent_soft="#2a4254",
    on_accent="#0f2230",
    over="#ecbd66",
    over_soft="#463719",
    over_fill="#d29a30",
    under="#79d0c2",
    under_soft="#1f423d",
    under_fill="#41a797",
    goodwill="#c8b2ee",
    goodwill_soft="#3b3151",
    goodwill_fill="#a088d4",
    error="#f4a79c",
    error_soft="#512d28",
    actual="#8f8676",
    quoted="#c2b9a9",
    scroll="#5d5648",
    shadow="#000000",
)

_GROUNDS = ("paper", "sheet", "sunk")

#: (foreground, background) pairs used for text: at least 4.5:1.
TEXT_PAIRS: tuple[tuple[str, str], ...] = (
    *(
        (ink, ground)
        for ink in ("ink", "ink_soft", "ink_faint", "accent", "accent_strong", "over", "under", "goodwill", "error")
        for ground in _GROUNDS
    ),
    *((ink, "accent_soft") for ink in ("ink", "ink_soft", "ink_faint", "accent", "accent_strong", "over", "under",
                                       "goodwill", "error")),
    *((tone, f"{tone}_soft") for tone in ("over", "under", "goodwill", "error")),
    *(("ink", f"{tone}_soft") for tone in ("over", "under", "goodwill", "error")),
    ("on_accent", "accent"),
    ("on_accent", "accent_strong"),
    ("paper", "ink"),
)

#: (mark, ground) pairs for edges of controls and parts of bars: at least 3:1.
MARK_PAIRS: tuple[tuple[str, str], ...] = (
    ("line_strong", "sheet"),
    ("line_strong", "paper"),
    ("quoted", "sheet"),
    ("quoted", "sunk"),
    ("quoted", "accent_soft"),
    ("actual", "sheet"),
    ("over_fill", "sheet"),
    ("under_fill", "sheet"),
    ("goodwill_fill", "sheet"),
    ("accent", "sheet"),
    ("accent", "accent_soft"),
)
