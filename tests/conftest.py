"""What all tests share."""

import os

from hypothesis import settings

os.environ.setdefault("TEXTUAL_ANIMATIONS", "none")

# How long an example takes depends on what else the machine does; speed is told by benchmarks.
settings.register_profile("house", deadline=None)
settings.load_profile("house")


def pytest_terminal_summary(terminalreporter):
    """How near each published value and reference library was come."""
    from tests.published import NOTED

    if not NOTED:
        return
    terminalreporter.section("deviation from published values and reference libraries")
    told = [f"{name} {share:+.2%}" for name, share in sorted(NOTED.items())]
    width = max(len(each) for each in told) + 2
    each_line = max(1, 150 // width)
    for start in range(0, len(told), each_line):
        terminalreporter.write_line(
            "".join(each.ljust(width) for each in told[start : start + each_line]).rstrip()
        )
