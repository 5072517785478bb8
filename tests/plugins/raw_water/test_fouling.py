"""How fast the strainer shuts. The numbers are common practice, no source."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plugins.raw_water import fouling

DAY = 86_400.0
WARM = 298.15


def test_the_base_interval_is_fourteen_days_at_25_degrees_and_twelve_hours_a_day() -> None:
    rate = fouling.blocking_rate(WARM, 0.5, 1.0, 1.0)
    assert float(fouling.time_to_share(0.0, 0.9, rate)) == pytest.approx(14 * DAY)


@pytest.mark.parametrize(
    ("celsius", "run_share", "site", "days"),
    # 14 days over 2^((T - 25)/10) and (0.5 + 0.5 h/12), times the site's factor, by hand.
    [(15.0, 0.5, 1.0, 28.0), (32.0, 0.5, 1.0, 8.62), (40.0, 0.5, 1.0, 8.62), (25.0, 1.0, 1.0, 9.33),
     (25.0, 0.0, 1.0, 28.0), (25.0, 0.5, 0.4, 5.6), (25.0, 0.5, 2.0, 28.0)],
)  # fmt: skip
def test_the_practice_rule_by_hand(celsius: float, run_share: float, site: float, days: float) -> None:
    rate = fouling.blocking_rate(celsius + 273.15, run_share, site, 1.0)
    assert float(fouling.time_to_share(0.0, 0.9, rate)) / DAY == pytest.approx(days, rel=2e-3)


@given(st.floats(0.001, 0.2), st.floats(1e-5, 1e-3), st.floats(5e-4, 0.02), st.floats(0.1, 0.9))
def test_the_due_share_is_where_the_basket_takes_the_spare_head(
    head: float, flow: float, area: float, holes: float
) -> None:
    from plugins.raw_water import hydraulics

    due = float(fouling.blocked_share_at_head(head, flow, area, holes))
    if 0.0 < due < 0.999:
        loss = hydraulics.screen_loss_blevins(holes * (1 - due)) * hydraulics.velocity_head(flow / area)
        assert float(loss) == pytest.approx(head, rel=1e-6)


def test_no_spare_head_means_due_now_and_no_growth_means_a_year() -> None:
    assert float(fouling.blocked_share_at_head(-0.1, 2e-4, 3e-3, 0.4)) == 0.0
    assert float(fouling.time_to_share(0.5, 0.0, 1e-6)) == 0.0
    assert float(fouling.time_to_share(0.0, 0.9, 0.0)) == fouling.LONGEST


@given(st.floats(270, 320), st.floats(270, 320), st.floats(0, 1))
def test_warmer_water_never_fouls_slower(one: float, other: float, run_share: float) -> None:
    cool, warm = sorted((one, other))
    slow, fast = (fouling.blocking_rate(t, run_share, 1.0, 1.0) for t in (cool, warm))
    assert np.all(fast >= slow)
