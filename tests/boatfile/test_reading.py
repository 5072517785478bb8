"""Reading a boat file: paths, origins, defaults, and one sentence for whatever is wrong."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.boatfile import BoatFileError, json_schema, load, loads
from console.boatfile import boat as boat_module
from console.boatfile.lines import key_lines
from console.registry import discover
from tests import toy

TEXT = """\
# The toy boat
format = 1

[tank]
volume = "120 L ± 10 %"  # by the label
level = "70 F"
[[tank.hoses]]
name = "To the Sink"
bore = "3/4 in"
[[tank.hoses]]
part = "pump"
[[tank.hoses]]
[[tank.hoses]]
"""


@pytest.fixture(scope="module")
def registry():
    return toy.registry(toy.tank(), toy.plugin("asleep"), environ={"BOAT_CONSOLE_PLUGINS": "tank"})


@pytest.fixture(scope="module")
def boat(registry):
    return loads(TEXT, registry)


def test_inputs_have_the_path_of_their_table(boat):
    assert boat.inputs["tank.volume"].value == pytest.approx(0.120)


def test_a_list_item_is_called_by_the_slug_of_its_name_else_its_part_then_numbered(boat):
    assert boat.item_paths["tank.hoses"] == (
        "tank.hoses.to_the_sink", "tank.hoses.pump", "tank.hoses.hose", "tank.hoses.hose_2",
    )  # fmt: skip


def test_every_input_says_where_it_came_from(boat):
    assert boat.inputs["tank.volume"].origin == "given"
    assert boat.inputs["tank.full"].origin == "assumed"


def test_a_field_that_is_a_reading_is_measured(registry):
    assert loads('[tank]\nseconds = "47 s"', registry).inputs["tank.seconds"].origin == "measured"


def test_an_optional_reading_that_is_not_stated_is_no_input(boat):
    assert "tank.seconds" not in boat.inputs


def test_inputs_know_the_line_they_stand_on(boat):
    assert boat.inputs["tank.level"].line == 6
    assert boat.inputs["tank.hoses.to_the_sink.bore"].line == 9


def test_a_table_of_a_plugin_that_is_not_loaded_is_kept_and_warned_about(registry):
    boat = loads("[asleep]\nanything = 5\n[tank]\n", registry)
    assert any("asleep" in warning and "not loaded" in warning for warning in boat.warnings)
    assert "anything = 5" in boat.with_edit("tank.volume", "50 L").text


def test_a_table_that_may_be_absent_is_not_aboard_until_it_is_written(registry, boat):
    assert "tank.lamp" in boat.absent
    assert "tank.lamp.power" in loads("[tank.lamp]", registry).inputs


def test_an_unusual_value_is_a_warning_not_an_error(registry):
    boat = loads('[tank]\nvolume = "4000 L"', registry)
    assert any("unusual" in warning for warning in boat.warnings)


def test_a_broken_section_takes_its_inputs_away_and_nothing_else():
    ill = toy.plugin("ill", boat_sections=lambda: [toy.Section("ill", "no.such.module:X", "")])
    boat = loads("", toy.registry(ill, toy.tank()))
    assert boat.unwell[0].plugin == "ill"
    assert "tank.volume" in boat.inputs


BROKEN = [
    ("[tank\n", "line 1", "not TOML"),
    ('[tank]\nvolume = "5\n', "line 2", "a quote is opened and not closed"),
    ("[tank]\nvolume = 5 L", "line 2", "is the text in quotes?"),
    ("[tank]\nvolume = “5 L”", "line 2", "straight quotes"),
    ("[tank]\nvolume", "line 2", "no = after the name"),
    ("[tank]\n[tank]\n", "line 2", "the same table stands twice"),
    ('[tank]\nvolume = "5 L"\nvolume = "6 L"\n', "line 3", "the same name stands twice"),
    ("[tank]\nvolume = 5", "line 2", "no unit"),
    ('[tank]\nvolume = "5"', "line 2", "no unit"),
    ('[tank]\nvolume = "5 kg"', "line 2", "not a unit of volume"),
    ('[tank]\nvolume = "5 flagons"', "line 2", "not a unit"),
    ('[tank]\nvolume = "5 L ± x"', "line 2", "spread"),
    ('[tank]\nvolume = "5 L ± 3 F"', "line 2", "not a unit"),
    ('[tank]\nvolume = "much"', "line 2", "accepted is"),
    ('[tank]\nvolume = ""', "line 2", "accepted is"),
    ("[tank]\nvolume = true", "line 2", "accepted is"),
    ("[tank]\nvolume = [1, 2]", "line 2", "accepted is"),
    ("[tank]\nvolume = { a = 1 }", "line 2", "accepted is"),
    ("[tank]\nvolume = 2026-07-21", "line 2", "accepted is"),
    ('[tank]\nvolume = "9999999 L"', "line 2", "accepted is 1.0 L to 5000 L"),
    ('[tank]\nvolume = "-5 L"', "line 2", "accepted is"),
    ('[tank]\nfull = "130 %"', "line 2", "accepted is"),
    ('[tank]\nlevel = "500 F"', "line 2", "accepted is"),
    ('[tank]\nlevel = "70 F ± 5 %"', "line 2", "no meaning"),
    ('[tank]\nvolum = "5 L"', "line 2", "did you mean volume"),
    ('[tonk]\nvolume = "5 L"', "line 1", "did you mean tank"),
    ('volume = "5 L"', "line 1", "no field"),
    ('[tank]\ncolour = "green"', "line 2", '"red" or "blue"'),
    ("[tank]\ncolour = 4", "line 2", '"red" or "blue"'),
    ("[tank]\nhoses = 4", "line 2", "accepted is a list"),
    ("[tank]\nhoses = [4]", "line 2", "accepted is a table"),
    ("[tank]\nlamp = 4", "line 2", "accepted is a table"),
    ('[tank.lamp]\npower = "4 V"', "line 2", "not a unit of power"),
    ('[tank.lamp]\nwatts = "4 W"', "line 2", "did you mean|accepted are power"),
    ('[[tank.hoses]]\n[[tank.hoses]]\nbore = "1 kg"', "line 3", "not a unit of length"),
    ("[[tank.hoses]]\nname = 4", "line 2", "text in quotes"),
    ('[[tank.hoses]]\nborr = "1 in"', "line 2", "did you mean bore"),
    ("tank = 4", "line 1", "accepted is a table"),
    ("[[tank]]\nvolume = '1 L'", "", "accepted is a table"),
    ("format = 2", "format", "newer program"),
    ("format = 0", "format", "accepted is 1"),
    ('format = "one"', "format", "accepted is 1"),
    ("format = true", "format", "accepted is 1"),
    ("a = " + "[" * 200, "", "nested deeper"),
    ("a = " + "{a=" * 200, "", "nested deeper"),
    ("a" + ".a" * 200 + " = 1", "", "nested deeper"),
    ("x\0y", "", "not text"),
    ("\x01", "line 1", "not TOML"),
    ("[[tank.hoses]]\nbore = '3/0 in'", "line 2", "accepted is"),
    ("[tank]\nvolume = 'inf L'", "line 2", "accepted is"),
    ("[tank]\nvolume = 'nan L'", "line 2", "accepted is"),
    ("[tank]\nvolume = inf", "line 2", "no unit"),
    ("[tank]\nvolume = '1e400 L'", "line 2", "accepted is"),
    ("[tank]\nvolume = '5 L ± 1e400 %'", "line 2", "accepted is"),
    ("[tank]\nvolume = '" + "9" * 500 + " L'", "line 2", "accepted is"),
    ("[tank]\nvolume = '5 L; rm'", "line 2", "accepted is"),
]


@pytest.mark.parametrize(("text", "where", "what"), BROKEN, ids=range(len(BROKEN)))
def test_a_broken_file_gives_one_sentence_with_line_given_and_accepted(registry, text, where, what):
    with pytest.raises(BoatFileError) as caught:
        loads(text, registry)
    said = str(caught.value)
    assert where in said
    assert any(option in said for option in what.split("|"))
    assert said.isprintable()
    assert len(said) < 400


def test_a_file_that_is_not_there_says_where_it_looked(registry, tmp_path):
    with pytest.raises(BoatFileError, match="there is no such file"):
        load(tmp_path / "none.toml", registry)


def test_a_folder_is_refused(registry, tmp_path):
    with pytest.raises(BoatFileError, match="is a folder"):
        load(tmp_path, registry)


@pytest.mark.parametrize(
    ("content", "hint"),
    [
        (b"\xff\xfe\x00", "UTF-8"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)), "UTF-8"),
        (b"#" * 300_000, "larger than"),
        (b"\xef\xbb\xbfformat = 1", ""),
    ],
)
def test_a_file_of_bytes_is_read_or_refused(registry, tmp_path, content, hint):
    path = tmp_path / "b.toml"
    path.write_bytes(content)
    if not hint:
        assert load(path, registry).inputs
        return
    with pytest.raises(BoatFileError, match=hint):
        load(path, registry)


def test_an_empty_file_is_the_average_boat(registry):
    assert all(entry.origin == "assumed" for entry in loads("", registry).inputs.values())


@settings(max_examples=300)
@given(st.data())
def test_a_mutated_file_is_read_or_refused_but_never_breaks(registry, data):
    text = list(TEXT)
    for _ in range(data.draw(st.integers(1, 6))):
        place = data.draw(st.integers(0, len(text) - 1))
        match data.draw(st.integers(0, 3)):
            case 0:
                text[place] = data.draw(st.characters())
            case 1:
                del text[place]
            case 2:
                text.insert(place, data.draw(st.sampled_from("[]{}=\"'.,#\n±%\0\x1b9")))
            case _:
                text[place:place] = text[place : place + 20]
    try:
        loads("".join(text), registry)
    except BoatFileError as error:
        assert str(error).isprintable()


def test_lines_of_strings_and_arrays_over_several_lines_are_not_keys():
    text = 'a = """\n[x]\nb = 1\n"""\nc = [\n  "d = 1",\n]\ne = 1'
    assert key_lines(text) == {("a",): 1, ("c",): 5, ("e",): 8}


def test_an_older_format_is_migrated_in_reading_and_in_saving(registry, monkeypatch):
    def rename(document):
        document["tank"]["volume"] = document["tank"].pop("size")
        document["format"] = 1

    monkeypatch.setitem(boat_module.MIGRATIONS, 0, rename)
    boat = loads('format = 0\n[tank]\nsize = "50 L"  # kept\n', registry)
    assert boat.inputs["tank.volume"].value == pytest.approx(0.05)
    assert "size" not in boat.with_edit("tank.full", "10 %").text


def test_the_schema_describes_every_field_of_every_section(registry):
    schema = json_schema(registry)
    tank = schema["$defs"]["tank"]
    assert schema["properties"]["tank"]["$ref"] == "#/$defs/tank"
    assert tank["properties"]["volume"]["description"] == "On its label."
    assert tank["additionalProperties"] is False


def test_names_with_markup_and_control_characters_are_text(registry):
    boat = loads('[[tank.hoses]]\nname = "x [kW] [/ \\u001b[31m"', registry)
    assert boat.item_paths["tank.hoses"] == ("tank.hoses.x_kw_31m",)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            '[[raw_water.line]]\npart = "hose"\nopen_width = "3 kg"',
            'line 3: raw_water.line[1].open_width: "3 kg"',
        ),
        (
            '[[raw_water.line]]\npart = "hose"\nopenwidth = "3 %"',
            "line 1: raw_water.line[1]: a hose has no field openwidth",
        ),
    ],
)
def test_a_wrong_item_is_told_by_its_place_in_the_file_though_assumed_ones_stand_before_it(text, said):
    with pytest.raises(BoatFileError) as caught:
        loads(text, discover({"BOAT_CONSOLE_PLUGINS": "raw_water"}))
    assert str(caught.value).startswith(said)
