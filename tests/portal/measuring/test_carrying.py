"""A newer method may find other swings: what was said of single ones goes on with the same ones."""

from portal.measuring.carrying import carried


def swing(index, start, end):
    return {"index": index, "start_frame": start, "end_frame": end}


FIRST, SECOND, THIRD = swing(0, 10, 40), swing(1, 60, 90), swing(2, 110, 140)


def found(*edges):
    return [swing(n, *edge) for n, edge in enumerate(edges)]


def test_the_same_swings_keep_all():
    said = {"hand": "left", "instants": {"1": {"contact": 75}}}
    got = carried(said, [FIRST, SECOND], found((11, 41), (61, 89)))
    assert (got.corrections, got.moved, got.gone, got.back) == (said, {0: 0, 1: 1}, [], False)


def test_a_swing_found_before_moves_the_numbers():
    said = {"instants": {"0": {"contact": 30}, "1": {"contact": 75}}}
    got = carried(said, [FIRST, SECOND], found((0, 8), (10, 40), (60, 90)))
    assert got.corrections == {"instants": {"1": {"contact": 30}, "2": {"contact": 75}}}
    assert got.moved == {0: 1, 1: 2}


def test_one_that_was_taken_out_stays_out():
    got = carried({"remove_swings": [1]}, [FIRST, THIRD], found((0, 8), (10, 40), (60, 90), (110, 140)))
    assert got.corrections == {"remove_swings": [2]}
    assert (got.moved, got.gone, got.back) == ({0: 1, 2: 3}, [], False)


def test_the_first_and_the_last_can_be_taken_out_too():
    said = {"remove_swings": [0, 2]}
    got = carried(said, [SECOND], found((10, 40), (60, 90), (110, 140)))
    assert (got.corrections, got.moved) == (said, {1: 1})


def test_one_that_was_taken_out_and_is_found_no_longer_needs_nothing():
    got = carried({"remove_swings": [1]}, [FIRST, THIRD], found((10, 40), (110, 140)))
    assert (got.corrections, got.moved) == ({"remove_swings": []}, {0: 0, 2: 1})


def test_more_than_were_taken_out_there_come_back_to_be_looked_at():
    got = carried({"remove_swings": [1]}, [FIRST, THIRD], found((10, 40), (50, 60), (70, 90), (110, 140)))
    assert (got.corrections["remove_swings"], got.back) == ([], True)


def test_all_taken_out_stay_out():
    got = carried({"remove_swings": [0, 1]}, [], found((10, 40), (60, 90)))
    assert got.corrections == {"remove_swings": [0, 1]}


def test_a_swing_with_instants_of_the_coach_is_added_where_it_is_found_no_longer():
    got = carried({"instants": {"1": {"contact": 75}}}, [FIRST, SECOND], found((10, 40)))
    assert got.corrections == {
        "instants": {"1": {"contact": 75}},
        "add_swings": [{"start_frame": 60, "end_frame": 90}],
    }
    assert (got.moved, got.gone) == ({0: 0, 1: 1}, [])


def test_another_that_is_found_no_longer_is_told():
    got = carried({}, [FIRST, SECOND], found((60, 90)))
    assert (got.corrections, got.moved, got.gone) == ({}, {1: 0}, [0])


def test_one_added_by_hand_is_counted_on_behind():
    by_hand = {"start_frame": 60, "end_frame": 90}
    said = {"add_swings": [by_hand], "instants": {"1": {"contact": 75}}}
    got = carried(said, [FIRST, swing(1, 60, 90)], found((0, 8), (10, 40)))
    assert got.corrections == {"add_swings": [by_hand], "instants": {"2": {"contact": 75}}}


def test_one_added_by_hand_that_is_found_today_is_added_no_more():
    said = {"add_swings": [{"start_frame": 60, "end_frame": 90}], "instants": {"1": {"contact": 75}}}
    got = carried(said, [FIRST, swing(1, 60, 90)], found((10, 40), (58, 92)))
    assert got.corrections == {"add_swings": [], "instants": {"1": {"contact": 75}}}


def test_one_added_and_taken_out_again_stays_out():
    said = {"add_swings": [{"start_frame": 60, "end_frame": 90}], "remove_swings": [1]}
    got = carried(said, [FIRST], found((0, 8), (10, 40)))
    assert got.corrections["remove_swings"] == [2]


def test_a_film_without_a_swing_has_nothing_to_carry():
    got = carried({"view": "chest_side"}, [], [])
    assert (got.corrections, got.moved, got.back) == ({"view": "chest_side"}, {}, False)
