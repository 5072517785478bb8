"""Editing and saving: nothing of the owner's is lost."""

import os

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.boatfile import BoatFileError, load, loads, save
from console.registry import discover
from tests import toy

TEXT = """\
# The toy boat

[tank]                     # mine
level = "70 F"             # felt
volume = "120 L ± 10 %"    # by the label

# two hoses
[[tank.hoses]]
name = "to the sink"
bore = "3/4 in"            # inside
[[tank.hoses]]
part = "pump"
"""


@pytest.fixture(scope="module")
def registry():
    return toy.registry(toy.tank())


def test_an_edit_changes_its_own_bytes_and_no_other(registry):
    edited = loads(TEXT, registry).with_edit("tank.volume", "80 L").text
    assert edited == TEXT.replace('"120 L ± 10 %"', '"80 L"')


def test_an_edit_gives_another_boat_and_leaves_the_first(registry):
    boat = loads(TEXT, registry)
    boat.with_edit("tank.volume", "80 L")
    assert boat.inputs["tank.volume"].value == pytest.approx(0.12)


def test_what_is_edited_is_read_back_the_same(registry):
    boat = loads(TEXT, registry)
    for path, text in [
        ("tank.volume", "80 L ± 5 %"), ("tank.full", "20 %"), ("tank.colour", "blue"),
        ("tank.hoses.to_the_sink.bore", "1 in"), ("tank.lamp.power", "5 W"), ("tank.seconds", "47 s"),
    ]:  # fmt: skip
        boat = boat.with_edit(path, text)
    again = loads(boat.text, registry)
    strip = {p: (e.value, e.origin, e.text) for p, e in boat.inputs.items()}
    assert {p: (e.value, e.origin, e.text) for p, e in again.inputs.items()} == strip


def test_back_to_assumed_takes_the_line_out(registry):
    boat = loads(TEXT, registry).without("tank.volume")
    assert boat.inputs["tank.volume"].origin == "assumed"
    assert "volume" not in boat.text
    assert "# two hoses" in boat.text


@pytest.mark.parametrize(
    ("path", "text", "hint"),
    [
        ("tank.volume", "much", "accepted is"),
        ("tank.volume", "9e9 L", "accepted is"),
        ("tank.volum", "5 L", "did you mean tank.volume"),
        ("tonk.volume", "5 L", "no such input"),
        ("tank.hoses.gone.bore", "1 in", "no such item"),
        ("tank.hoses", "1 in", "no such item"),
        ("tank.lamp", "1 W", "is a table"),
        ("tank", "1 W", "is a table"),
        ("tank.volume.x", "1 L", "no such input"),
        ("tank.colour", "green", '"red" or "blue"'),
        ("", "5", "no such input"),
    ],
)
def test_an_edit_that_cannot_be_made_is_refused_in_one_sentence(registry, path, text, hint):
    with pytest.raises(BoatFileError, match=hint):
        loads(TEXT, registry).with_edit(path, text)


def test_saving_keeps_comments_order_and_mode(registry, tmp_path):
    path = tmp_path / "boat.toml"
    path.write_text(TEXT)
    path.chmod(0o600)
    saved = save(load(path, registry).with_edit("tank.volume", "80 L"))
    assert path.read_text() == TEXT.replace('"120 L ± 10 %"', '"80 L"')
    assert path.stat().st_mode & 0o777 == 0o600
    assert saved.edits == ()


def test_saving_without_an_edit_keeps_every_byte(registry, tmp_path):
    path = tmp_path / "boat.toml"
    path.write_bytes(TEXT.replace("\n", "\r\n").encode())
    save(load(path, registry))
    assert path.read_bytes() == TEXT.replace("\n", "\r\n").encode()


def test_a_save_that_fails_leaves_the_old_file_and_no_litter(registry, tmp_path, monkeypatch):
    path = tmp_path / "boat.toml"
    path.write_text(TEXT)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BoatFileError, match="No space left on device"):
        save(load(path, registry).with_edit("tank.volume", "80 L"))
    assert path.read_text() == TEXT
    assert os.listdir(tmp_path) == ["boat.toml"]


def test_saving_through_a_link_keeps_the_link(registry, tmp_path):
    real, link = tmp_path / "real.toml", tmp_path / "link.toml"
    real.write_text(TEXT)
    link.symlink_to(real)
    save(load(link, registry).with_edit("tank.volume", "80 L"))
    assert link.is_symlink()
    assert "80 L" in real.read_text()


@settings(max_examples=60)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(
                [
                    "tank.volume",
                    "tank.full",
                    "tank.level",
                    "tank.hoses.pump.bore",
                    "tank.lamp.power",
                    "tank.colour",
                ]
            ),
            st.sampled_from(["50 L", "20 %", "60 F ± 2 F", "1 1/8 in", "7 W", "blue", "nonsense"]),
        ),
        max_size=8,
    )
)
def test_any_run_of_edits_saves_to_what_the_console_shows(registry, edits):
    boat = loads(TEXT, registry)
    for path, text in edits:
        try:
            boat = boat.with_edit(path, text)
        except BoatFileError:
            continue
    again = loads(boat.text, registry)
    assert {p: e.text for p, e in again.inputs.items()} == {p: e.text for p, e in boat.inputs.items()}
    assert boat.text.count("#") == TEXT.count("#")


LINE = """\
[raw_water]  # the water
# the hose
[[raw_water.line]]
part = "hose"          # mine
open_width = "40 %"    # pinched
# the pump
[[raw_water.line]]
part = "pump"
"""


@pytest.mark.parametrize(
    "text",
    [
        LINE,
        "",
        '[raw_water]\nline = [{ part = "hose", open_width = "40 %" }, { part = "pump" }]  # in line\n',
    ],
)
def test_editing_an_assumed_part_puts_it_in_its_place_and_keeps_every_line_of_the_owners(text):
    registry = discover({"BOAT_CONSOLE_PLUGINS": "raw_water"})
    boat = loads(text, registry)
    edited = boat.with_edit("raw_water.line.strainer.blocked", "55 %")
    again = loads(edited.text, registry)
    assert again.item_paths == boat.item_paths
    assert again.inputs["raw_water.line.strainer.blocked"].text == "55 %"
    assert {p: e.text for p, e in again.inputs.items()} == {p: e.text for p, e in edited.inputs.items()}
    if text == LINE:
        assert [line for line in edited.text.splitlines() if line in text.splitlines() and line.strip()][
            :2
        ] == text.splitlines()[:2]
        assert all(line in edited.text.splitlines() for line in text.splitlines())


def test_editing_a_stated_part_writes_no_assumed_one():
    registry = discover({"BOAT_CONSOLE_PLUGINS": "raw_water"})
    edited = loads(LINE, registry).with_edit("raw_water.line.hose.open_width", "50 %")
    assert edited.text == LINE.replace("40 %", "50 %")
