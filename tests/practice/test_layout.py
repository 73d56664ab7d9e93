"""The number picture: a stable unit, fives and tens by space alone, an empty place that can be seen."""

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sayit.practice.drawing import pouch, svg, symbols
from sayit.practice.layout import FRAMES, HIGHEST, PLACES, SIZES, frame_of, lay_out, ten_ones

NUMBERS = st.sampled_from(FRAMES).flatmap(lambda frame: st.tuples(st.integers(0, frame), st.just(frame)))
SVG = "{http://www.w3.org/2000/svg}"


@given(NUMBERS)
def test_the_parts_are_the_digits_and_lie_on_no_other(case):
    number, frame = case
    laid = lay_out(number, frame)
    assert "".join(str(part.digit) for part in laid.parts) == str(number)
    assert sum(part.digit * 10 ** PLACES.index(part.place) for part in laid.parts) == number
    boxes = []
    for part in laid.parts:
        assert len(part.things) == part.digit
        wide, high = SIZES[part.place]
        for thing in part.things:
            assert part.x - 0.01 <= thing.x <= part.x + part.width - wide + 0.01
            assert 0 <= thing.y <= laid.height - high + 0.01
            boxes.append((thing.x, thing.y, wide, high, part.place))
    for at, (x, y, wide, high, place) in enumerate(boxes):
        for x2, y2, wide2, high2, place2 in boxes[at + 1 :]:
            if place == place2 == "ones":
                assert (x - x2) ** 2 + (y - y2) ** 2 >= 0.99, "two ones touch"
            else:
                assert x + wide <= x2 or x2 + wide2 <= x or y + high <= y2 or y2 + high2 <= y, "two things touch"


@given(NUMBERS)
def test_the_unit_is_stable_and_a_smaller_digit_is_the_start_of_a_larger(case):
    number, frame = case
    laid, full = lay_out(number, frame), lay_out(int("9" * len(str(frame))) if frame > 20 else 19, frame)
    assert (laid.width, laid.height) == (full.width, full.height)
    rooms = {part.place: part for part in full.parts}
    for part in laid.parts:
        room = rooms[part.place]
        assert (part.x, part.width) == (room.x, room.width)
        shared = min(len(part.things), len(room.things))
        assert part.things[:shared] == room.things[:shared]


@pytest.mark.parametrize("frame", FRAMES)
def test_space_alone_shows_the_fives(frame):
    for part in lay_out(9 if frame == 20 else int("9" * len(str(frame))), frame).parts:
        gaps: dict[bool, list[float]] = {True: [], False: []}
        wide, high = SIZES[part.place]
        for one, two in pairwise(sorted(part.things, key=lambda thing: (thing.five, thing.x))):
            apart = max(abs(one.x - two.x) - wide, abs(one.y - two.y) - high)
            gaps[one.five == two.five].append(apart)
        assert min(gaps[False]) > max(gaps[True]), part.place
        assert [sum(thing.five == five for thing in part.things) for five in (0, 1)] == [5, 4]


def test_ten_things_make_the_next_one():
    assert len(ten_ones()) == 10
    assert min((x - v) ** 2 + (y - w) ** 2 for x, y in ten_ones() for v, w in ten_ones() if (x, y) != (v, w)) >= 0.99
    drawn = {symbol.get("id"): symbol for symbol in ET.fromstring(symbols()).iter(f"{SVG}symbol")}
    pebbles = {place: sum(1 for _ in drawn[place].iter(f"{SVG}ellipse")) for place in PLACES}
    assert pebbles == {"ones": 1, "tens": 10, "hundreds": 100, "thousands": 0}
    # Too small to be seen by then: a cart shows its ten baskets, each with ten pouches as dots.
    assert sum(element.get("r") == ".5" for element in drawn["thousands"].iter(f"{SVG}circle")) == 100
    assert pouch(7, 10).count("stroke-dasharray") == 3


@pytest.mark.parametrize("number", [0, 7, 20, 45, 305, 4_030, 8_006, 9_999])
def test_the_drawing_has_a_digit_under_each_part_one_tone_and_a_dish_where_a_place_is_empty(number):
    root = ET.fromstring(svg(lay_out(number)))
    parts = [element for element in root.iter(f"{SVG}g") if element.get("class") == "part"]
    assert "".join(part.find(f"{SVG}text").text for part in parts) == str(number)
    for part in parts:
        dish = [path for path in part.iter(f"{SVG}path") if path.get("class") == "dish"]
        assert len(dish) == (part.find(f"{SVG}text").text == "0")
    assert set(re.findall(r'(?:fill|stroke)="([a-zA-Z#][^"]*)"', svg(lay_out(number)))) == {"currentColor", "none"}


def test_what_does_not_go_into_a_frame_is_refused():
    for number in (-1, HIGHEST + 1):
        with pytest.raises(ValueError, match="cannot be shown"):
            frame_of(number)
    with pytest.raises(ValueError, match="does not go"):
        lay_out(21, 20)
    assert [frame_of(number) for number in (0, 20, 21, 100, 1_000)] == [20, 20, 99, 999, 9_999]
