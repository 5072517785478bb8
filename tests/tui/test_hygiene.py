"""What may be imported before the opening screen has been painted."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

PROBE = """
import json, sys
from console.tui.app import ConsoleApp, make_app
painted = []
def first_painted(self):
    painted.extend(sys.modules)
    text = "\\n".join(strip.text for strip in self.screen._compositor.render_strips())
    self.exit(text)
ConsoleApp.first_painted = first_painted
text = make_app().run(headless=True, size=(100, 60))
print(json.dumps({"text": text, "modules": painted}))
"""
HEAVY = (
    "numpy", "scipy", "pandas", "pint", "pydantic", "CoolProp", "gsw", "pvlib", "fluids", "tomlkit",
    "textual_plot", "rich.markdown", "rich.syntax", "pygments", "sqlite3", "console.engine",
    "console.boatfile", "console.quantities", "console.properties", "console.pictures.cells",
)  # fmt: skip


def test_nothing_heavy_is_imported_before_the_questions_stand_on_the_screen() -> None:
    ran = subprocess.run(
        [sys.executable, "-c", PROBE],
        capture_output=True, text=True, timeout=60, check=True,
        env={**os.environ, "TEXTUAL_ANIMATIONS": "none"},
    )  # fmt: skip
    found = json.loads(ran.stdout.splitlines()[-1])
    from console.registry import discover

    questions = discover().questions
    assert questions
    for _, question in questions:
        assert question.title in found["text"]
    loaded = [name for name in found["modules"] if name.startswith(HEAVY)]
    allowed = {"console.engine.outcome"}
    assert not set(loaded) - allowed, loaded


def test_the_app_module_alone_imports_nothing_heavy() -> None:
    code = f"import sys, console.tui.app; print([n for n in sys.modules if n.startswith({HEAVY!r})])"
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True
    )
    assert ran.stdout.strip() == "[]"


def test_every_stylesheet_and_scenario_the_screens_need_is_packaged() -> None:
    import console.tui.app as app
    from console.tui.tasks import bundled_text

    assert (Path(app.__file__).parent / "console.tcss").exists()
    assert "[boat]" in bundled_text()
