"""The wiring of the console's own part, which is imported before the first paint."""

import importlib
import subprocess
import sys

from console.environment import boat_estimates, boat_sections
from console.quantities import style_of


def test_the_wiring_imports_nothing_but_the_contract():
    code = (
        "import sys; import console.environment;"
        "print(sorted(m for m in sys.modules if m.split('.')[0] in"
        " ('console', 'numpy', 'pydantic', 'pint', 'pvlib', 'pandas', 'scipy', 'textual')))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "['console', 'console.contract', 'console.environment']"


def test_every_name_in_the_wiring_is_there():
    for reference in [s.model for s in boat_sections()] + [e.function for e in boat_estimates()]:
        module, _, attribute = reference.partition(":")
        assert hasattr(importlib.import_module(module), attribute), reference


def test_every_figure_has_a_style_of_its_unit():
    for estimate in boat_estimates():
        for given in estimate.gives:
            assert style_of(given.unit, given.style)
