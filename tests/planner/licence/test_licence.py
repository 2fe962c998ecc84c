from planner.licence.licence import Level


def test_levels_stand_in_order():
    assert [level.rank for level in (Level.NONE, Level.SLIGHT, Level.AGREED, Level.FULL)] == [
        0, 1, 2, 3,
    ]  # fmt: skip


def test_a_level_goes_down_a_step_at_a_time_and_never_below_none():
    assert Level.FULL.down() is Level.AGREED
    assert Level.FULL.down(2) is Level.SLIGHT
    assert Level.SLIGHT.down(5) is Level.NONE
    assert Level.AGREED.down(0) is Level.AGREED


def test_agreed_and_full_are_free():
    assert [level for level in Level if level.is_free] == [Level.AGREED, Level.FULL]
