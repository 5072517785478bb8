"""The desk: editing, undo, saving and the comparison, without a screen."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.boatfile import Boat, BoatFileError, load, loads
from console.desk import Desk, place
from console.engine import estimate
from console.registry import Registry


@pytest.fixture
def desk(boat_file: Path, sample: Registry) -> Desk:
    return Desk(load(boat_file, sample), boat_file)


def depth(desk: Desk) -> str:
    return desk.boat.inputs["sample.depth"].text


def test_an_edit_puts_another_boat_on_the_desk_and_undo_the_old_one_back(desk: Desk) -> None:
    first = desk.boat
    assert desk.edit("sample.depth", "1 ft ± 1 in")
    assert depth(desk) == "1 ft ± 1 in"
    assert desk.unsaved
    assert desk.undo() is not None
    assert desk.boat is first
    assert not desk.unsaved
    assert desk.redo() is not None
    assert depth(desk) == "1 ft ± 1 in"


def test_a_refused_edit_changes_nothing_and_says_why_in_one_sentence(desk: Desk) -> None:
    first = desk.boat
    with pytest.raises(BoatFileError) as refusal:
        desk.edit("sample.depth", "3 bananas")
    assert desk.boat is first
    assert not desk.can_undo
    assert "3 bananas" in refusal.value.sentence
    assert "accepted" in refusal.value.sentence


def test_typing_what_stands_there_is_no_edit(desk: Desk) -> None:
    assert not desk.edit("sample.depth", "6 in ± 1 in")
    assert not desk.can_undo
    assert not desk.unsaved


def test_back_to_assumed_can_be_undone(desk: Desk) -> None:
    assert desk.back_to_assumed("sample.depth")
    assert desk.boat.inputs["sample.depth"].origin == "assumed"
    desk.undo()
    assert depth(desk) == "6 in ± 1 in"


def test_an_edit_after_undo_forgets_what_was_undone(desk: Desk) -> None:
    desk.edit("sample.depth", "7 in")
    desk.undo()
    desk.edit("sample.depth", "9 in")
    assert not desk.can_redo
    assert desk.redo() is None


@settings(max_examples=40, deadline=None)
@given(st.lists(st.one_of(st.integers(2, 30), st.sampled_from(["undo", "redo"])), max_size=12))
def test_any_order_of_edits_undo_and_redo_ends_where_a_list_of_states_does(steps: list[int | str]) -> None:
    desk = Desk(_BOAT(), None)
    states, at = [depth(desk)], 0
    for step in steps:
        if step == "undo":
            at = max(at - 1, 0)
            desk.undo()
        elif step == "redo":
            at = min(at + 1, len(states) - 1)
            desk.redo()
        else:
            if desk.edit("sample.depth", f"{step} in"):
                states = [*states[: at + 1], f"{step} in"]
                at += 1
        assert depth(desk) == states[at]
        assert desk.can_undo == (at > 0)
        assert desk.can_redo == (at < len(states) - 1)
        assert desk.unsaved == (states[at] != states[0])


def _BOAT() -> Boat:
    from importlib.metadata import EntryPoint

    from console.contract import ENTRY_POINT_GROUP
    from console.registry import discover

    global _made
    if _made is None:
        registry = discover({}, [EntryPoint("sample", "tests.tui.sample", ENTRY_POINT_GROUP)])
        _made = loads('[sample]\ndepth = "1 in"\n', registry)
    return _made


_made: Boat | None = None


def test_saving_keeps_the_owners_comments_and_leaves_nothing_unsaved(desk: Desk, boat_file: Path) -> None:
    desk.edit("sample.depth", "9 in")
    desk.save(boat_file)
    assert not desk.unsaved
    text = boat_file.read_text()
    assert "# what the owner wrote stays" in text
    assert "# measured by hand" in text
    assert 'depth = "9 in"' in text


def test_undo_works_across_a_save_and_is_unsaved_again(desk: Desk, boat_file: Path) -> None:
    desk.edit("sample.depth", "9 in")
    desk.save(boat_file)
    desk.undo()
    assert depth(desk) == "6 in ± 1 in"
    assert desk.unsaved


def test_a_failed_save_loses_nothing(desk: Desk, tmp_path: Path) -> None:
    desk.edit("sample.depth", "9 in")
    with pytest.raises(BoatFileError):
        desk.save(tmp_path / "no such folder" / "boat.toml")
    assert desk.unsaved
    assert depth(desk) == "9 in"


def test_a_file_somebody_else_changed_is_in_the_way(desk: Desk, boat_file: Path, tmp_path: Path) -> None:
    assert not desk.in_the_way(boat_file)
    assert not desk.in_the_way(tmp_path / "new.toml")
    boat_file.write_text(boat_file.read_text() + "# another hand\n")
    assert desk.in_the_way(boat_file)
    (tmp_path / "other.toml").write_text("")
    assert desk.in_the_way(tmp_path / "other.toml")


def test_the_bundled_boat_has_no_home_until_it_is_saved(sample: Registry, tmp_path: Path) -> None:
    desk = Desk(loads("", sample), None)
    assert desk.home is None
    desk.save(tmp_path / "mine.toml")
    assert desk.home == tmp_path / "mine.toml"
    assert not desk.in_the_way(tmp_path / "mine.toml")


def test_answers_of_a_boat_no_longer_on_the_desk_are_not_taken(desk: Desk) -> None:
    old = estimate(desk.boat, 0, "us")
    desk.edit("sample.depth", "9 in")
    assert not desk.note(old)
    assert desk.note(estimate(desk.boat, 0, "us"))


def test_moves_compare_each_answer_with_that_before_the_edit(desk: Desk) -> None:
    desk.note(estimate(desk.boat, 0, "us"))
    assert not any(move.moved for move in desk.moves())
    desk.edit("sample.leak", "2 gpm")
    assert not any(move.moved for move in desk.moves())  # not answered yet
    desk.note(estimate(desk.boat, 0, "us"))
    moved = {move.now.question.key: move for move in desk.moves() if move.moved}
    assert set(moved) == {"sample.act", "sample.watch"}
    before, now = moved["sample.act"].before.figure, moved["sample.act"].now.figure
    assert before is not None
    assert now is not None
    # The estimate is linear in the leak: 0.5 gpm was assumed.
    assert now.value / before.value == pytest.approx(4.0)  # type: ignore[operator]


def test_quick_answers_are_compared_with_quick_ones_and_fine_with_fine(desk: Desk) -> None:
    quick, fine = estimate(desk.boat, 0, "us"), estimate(desk.boat, 40, "us")
    desk.note(quick)
    desk.note(fine)
    assert desk.latest is fine
    desk.edit("sample.leak", "2 gpm")
    desk.note(estimate(desk.boat, 0, "us"))
    assert {move.before.figure for move in desk.moves()} <= {card.figure for card in quick.cards}
    desk.note(estimate(desk.boat, 40, "us"))
    assert {move.before.figure for move in desk.moves()} <= {card.figure for card in fine.cards}


def test_a_sentence_that_only_gained_its_range_has_not_moved(desk: Desk) -> None:
    desk.note(estimate(desk.boat, 40, "us"))
    desk.edit("boat.name", "Marsh Wren")
    desk.note(estimate(desk.boat, 0, "us"))
    assert not any(move.moved for move in desk.moves())


def test_two_quick_edits_are_compared_with_the_last_answered_boat(desk: Desk) -> None:
    desk.note(estimate(desk.boat, 0, "us"))
    desk.edit("sample.leak", "1 gpm")
    desk.edit("sample.leak", "2 gpm")
    desk.note(estimate(desk.boat, 0, "us"))
    move = next(move for move in desk.moves() if move.now.question.key == "sample.act")
    assert move.now.figure.value / move.before.figure.value == pytest.approx(4.0)  # type: ignore[union-attr,operator]


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("boat.length", ""),
        ("raw_water.line.seacock_to_strainer.open_width", "seacock to strainer"),
        ("cold_box.seal.gap", "seal"),
    ],
)
def test_the_place_of_an_input_is_said_in_words(path: str, words: str) -> None:
    assert place(path) == words
