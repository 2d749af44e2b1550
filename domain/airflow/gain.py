"""How much more air, with the ends of its band."""

from __future__ import annotations

from dataclasses import dataclass

MEASURABLE_CFM = 1.0
"""Nobody can measure less than this in a pipe on site (ours, no source)."""


@dataclass(frozen=True, slots=True)
class Gain:
    """cfm more; below nothing: less."""

    cfm: float
    low_cfm: float
    high_cfm: float

    @property
    def is_measurable(self) -> bool:
        """Whether anyone could measure it."""
        return abs(self.cfm) >= MEASURABLE_CFM
