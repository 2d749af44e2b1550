"""Two streams that become one in a wye or tee: what each loses, or now and then gains.

Crane Technical Paper 410, 2009, converging tees and wyes, with its errata, as the ``fluids`` library restates it; the
tests compare the two. All coefficients count velocity pressures at the speed of the joined stream. One can be
negative: a small stream is drawn along by a strong one. The run and the joined stream are taken as of one bore.
"""

from __future__ import annotations

from domain.errors import NotUnderstood

_STEEPNESS = {45: 1.41, 90: 0.0}
WYE_ANGLE, TEE_ANGLE = 45, 90


def branch_coefficient(branch_share: float, bore_ratio: float, angle: int) -> float:
    """For the stream that comes in at an angle of 45 (wye) or 90 degrees (tee).

    ``branch_share`` is its part of the joined flow (0 to 1), ``bore_ratio`` its bore over that of the joined stream.
    K = C [1 + (s/b²)² - 2 (1-s)² - F/b² s²]; C = 1 up to b² = 0.35, else 0.9 (1-s) up to s = 0.4, else 0.55;
    F = 1.41 at 45, 0 at 90 degrees.
    """
    _check(branch_share, bore_ratio, angle)
    area = bore_ratio * bore_ratio
    if area <= 0.35:
        scale = 1.0
    else:
        scale = 0.9 * (1 - branch_share) if branch_share <= 0.4 else 0.55
    squared = branch_share * branch_share
    lost = 1 + squared / (area * area) - 2 * (1 - branch_share) ** 2
    return scale * (lost - _STEEPNESS[angle] / area * squared)


def run_coefficient(branch_share: float, bore_ratio: float, angle: int) -> float:
    """For the stream that passes straight on; arguments as for `branch_coefficient`.

    90 degrees: 1.55 s - s². 45 degrees: 1 - (1-s)² - F/b² s².
    """
    _check(branch_share, bore_ratio, angle)
    squared = branch_share * branch_share
    if angle == TEE_ANGLE:
        return 1.55 * branch_share - squared
    return 1 - (1 - branch_share) ** 2 - _STEEPNESS[angle] / (bore_ratio * bore_ratio) * squared


def _check(branch_share: float, bore_ratio: float, angle: int) -> None:
    if not 0 <= branch_share <= 1 or bore_ratio <= 0 or angle not in _STEEPNESS:
        raise NotUnderstood("A wye or tee joins shares of 0 to 1 at 45 or 90 degrees.")
