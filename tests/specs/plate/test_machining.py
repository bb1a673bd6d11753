"""What the plate is machined with, against the standards' tables and by laws of the mirror."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.plate.machining import FaceHole, HoleOperation, opposite, plate_holes, smallest_wall, turn_of
from specs.plate.sides import Side


def hole(**changes):
    return FaceHole(
        **{"name": "B1", "x": 100.0, "y": 50.0, "diameter": 10.0, "kind": "tapped", "thread": "M10", **changes}
    )


def machined(face_hole, of="engine", thickness=20):
    engine, gearbox = ([face_hole], []) if of == "engine" else ([], [face_hole])
    return plate_holes(engine, gearbox, 0, thickness)[0]


def test_a_tapped_hole_in_the_block_needs_a_clearance_hole_and_a_seat_for_the_head():
    # ISO 273 medium: 11 for M10. ISO 4762: dk 16, k 10 for M10. Seat 1 mm wider, 0.4 mm deeper: common practice.
    plate = opposite(hole())
    assert (plate.kind, plate.diameter, plate.head_diameter) == ("clearance", pytest.approx(11), pytest.approx(17))
    drill, seat = machined(plate).operations
    assert (drill.work, drill.diameter, drill.side) == (HoleOperation.DRILL, pytest.approx(11), Side.GEARBOX)
    assert (seat.work, seat.side, seat.depth) == (HoleOperation.SEAT, Side.GEARBOX, "10.4 mm")


def test_a_clearance_hole_in_the_bellhousing_needs_a_thread_in_the_plate():
    # ISO 2306: 8.5 for M10, 10.2 for M12.
    drill, tap = machined(opposite(hole(kind="clearance", diameter=11)), of="gearbox").operations
    assert drill.diameter == pytest.approx(8.5)
    assert tap.tool == "tap M10 6H"
    assert tap.side is Side.GEARBOX
    twelve = machined(opposite(hole(kind="clearance", diameter=13.5, thread="M12")), of="gearbox")
    assert twelve.operations[0].diameter == pytest.approx(10.2)


@pytest.mark.parametrize("of", ["engine", "gearbox"])
def test_every_dowel_is_drilled_under_size_and_reamed_in_the_first_clamping(of):
    drill, ream = machined(hole(kind="dowel", diameter=12, thread=""), of=of).operations
    assert drill.diameter == pytest.approx(11.75)
    assert (ream.work, ream.side, ream.tool) == (HoleOperation.REAM, Side.GEARBOX, "reamer 12 H7")


def test_a_measured_dowel_hole_is_reamed_for_the_pin_it_means_and_an_odd_one_as_it_is():
    # ISO 8734 has pins of 12 and 16 mm, none of 14.3.
    drill, ream = machined(opposite(hole(kind="dowel", diameter=11.9994, thread=""))).operations
    assert (drill.tool, ream.tool) == ("drill 11.75", "reamer 12 H7")
    assert "14.3" in machined(opposite(hole(kind="dowel", diameter=14.3, thread=""))).operations[1].tool


def test_a_seat_deeper_than_the_plate_is_said():
    assert "DEEPER THAN THE PLATE (10 mm)" in machined(opposite(hole()), thickness=10).operations[1].depth


def test_a_thread_that_is_not_on_record_is_said_and_not_guessed():
    assert "thread not on record" in machined(hole(thread="")).operations[1].tool


@given(st.floats(-300, 300), st.floats(-300, 300), st.floats(-180, 180))
def test_each_side_is_the_mirror_image_of_the_other(x, y, rotation):
    (one,) = plate_holes([], [hole(x=x, y=y)], rotation, 20)
    left, up = one.seen_from(Side.ENGINE)
    assert (-left, up) == one.seen_from(Side.GEARBOX)
    assert one.x**2 + one.y**2 == pytest.approx(x**2 + y**2, abs=1e-6)


def test_the_smallest_wall_counts_the_seats():
    near = [hole(name="A", x=0.0, y=0.0), hole(name="B", x=20.0, y=0.0)]
    holes = plate_holes([opposite(one) for one in near], [], 0, 20)
    assert smallest_wall(holes) == (pytest.approx(3.0), "E-A and E-B")
    assert smallest_wall(holes[:1])[0] == float("inf")


def test_a_hole_with_neither_thread_nor_counterpart_goes_through_as_it_is():
    plain = hole(kind="clearance", thread="", head_diameter=0.0, diameter=13.5)
    assert opposite(plain) == plain
    (drill,) = machined(plain).operations
    assert (drill.work, drill.tool, drill.depth) == (HoleOperation.DRILL, "drill 13.5", "through")


def test_a_countersunk_hole_is_sunk_on_the_side_of_the_head():
    drill, sink = machined(hole(kind="countersunk", thread="", diameter=9, head_diameter=18), of="gearbox").operations
    assert (drill.side, sink.side) == (Side.ENGINE, Side.ENGINE)
    assert (sink.work, sink.tool) == (HoleOperation.SINK, "countersink 90°, 18")
    assert sink.depth == "4.5 mm, until the head lies flush or below"


def test_a_countersunk_head_is_sunk_as_deep_as_its_cone_reaches():
    # ISO 10642: theoretical dk 22.4 for M10; ISO 273 medium 11; on 90° the cone is half their difference deep.
    plate = opposite(hole(), "countersunk")
    _, sink = machined(plate).operations
    assert (sink.side, sink.tool) == (Side.GEARBOX, "countersink 90°, 22.4")
    assert sink.depth == "5.7 mm, until the head lies flush or below"


def test_a_seat_for_a_head_that_is_not_on_record_is_as_deep_as_the_head():
    _, seat = machined(hole(kind="clearance", thread="", diameter=11, head_diameter=18)).operations
    assert seat.depth == "to the head's height + 0.4 mm"


def test_operations_come_by_work_then_dowels_first_then_by_size():
    dowel = hole(name="D1", kind="dowel", diameter=12, thread="")
    holes = plate_holes([opposite(hole()), dowel], [opposite(hole(name="G", kind="clearance", x=-100.0))], 0, 20)
    done = [(one, operation) for one in holes for operation in one.operations]
    done.sort(key=lambda pair: turn_of(pair[1].work, pair[0].kind, pair[1].diameter))
    assert [(one.name, operation.tool) for one, operation in done] == [
        ("E-D1", "drill 11.75"),
        ("G-G", "drill 8.5 (ISO 2306)"),
        ("E-B1", "drill 11"),
        ("E-D1", "reamer 12 H7"),
        ("G-G", "tap M10 6H"),
        ("E-B1", "counterbore 17"),
    ]
