"""Limits of size agree with the values printed for the usual threads, and stand in order for all."""

import pytest

from specs.standards import limits, threads


@pytest.mark.parametrize(
    ("designation", "d_max", "d_min", "d2_max", "d2_min"),
    [
        # ISO 965-2 / ASME B1.13M, 6g, printed values (mm), read in public reproductions of the tables.
        ("M3", 2.980, 2.874, 2.655, 2.580),
        ("M3.5", 3.479, 3.354, 3.089, 3.004),
        ("M4", 3.978, 3.838, 3.523, 3.433),
        ("M5", 4.976, 4.826, 4.456, 4.361),
        ("M6", 5.974, 5.794, 5.324, 5.212),
        # The same table, from memory.
        ("M8", 7.972, 7.760, 7.160, 7.042),
        ("M10", 9.968, 9.732, 8.994, 8.862),
        ("M12", 11.966, 11.701, 10.829, 10.679),
        ("M16", 15.962, 15.682, 14.663, 14.503),
        ("M20", 19.958, 19.623, 18.334, 18.164),
        ("M24", 23.952, 23.577, 22.003, 21.803),
    ],
)
def test_external_limits_are_those_printed(
    designation: str, d_max: float, d_min: float, d2_max: float, d2_min: float
) -> None:
    found = limits.find(threads.find(designation))
    printed = (d_max, d_min, d2_max, d2_min)
    computed = (
        found.external_major_max,
        found.external_major_min,
        found.external_pitch_max,
        found.external_pitch_min,
    )
    assert [value * 1000 for value in computed] == pytest.approx(printed, abs=1e-9)


@pytest.mark.parametrize(
    ("designation", "pitch_min", "pitch_max"),
    [
        # 6H pitch diameter limits (mm), UNI 4535-64 / ISO 965-2, read in a public tap maker's table.
        ("M3", 2.675, 2.775),
        ("M4", 3.545, 3.663),
        ("M5", 4.480, 4.605),
        ("M6", 5.350, 5.500),
        ("M8", 7.188, 7.348),
        ("M10", 9.026, 9.206),
        ("M12", 10.863, 11.063),
        ("M14", 12.701, 12.913),
        ("M16", 14.701, 14.913),
        ("M18", 16.376, 16.600),
    ],
)
def test_internal_pitch_limits_are_those_printed(designation: str, pitch_min: float, pitch_max: float) -> None:
    found = limits.find(threads.find(designation))
    assert found.internal_pitch_min * 1000 == pytest.approx(pitch_min, abs=1e-9)
    assert found.internal_pitch_max * 1000 == pytest.approx(pitch_max, abs=1e-9)


@pytest.mark.parametrize(
    ("designation", "minor_min", "minor_max"),
    # ISO 965-2, 6H minor diameter (mm), from memory.
    [("M6", 4.917, 5.153), ("M8", 6.647, 6.912), ("M10", 8.376, 8.676), ("M12", 10.106, 10.441)],
)
def test_internal_minor_limits_are_those_printed(designation: str, minor_min: float, minor_max: float) -> None:
    found = limits.find(threads.find(designation))
    assert found.internal_minor_min * 1000 == pytest.approx(minor_min, abs=1e-9)
    assert found.internal_minor_max * 1000 == pytest.approx(minor_max, abs=1e-9)


@pytest.mark.parametrize(
    ("designation", "minor_min", "minor_max", "pitch_min", "pitch_max"),
    [
        # ASME B1.13M, 6H (mm), read in a public reproduction; its M9x1 and M11x1.5 contradict their own tolerances.
        ("M9", 7.647, 7.912, 8.188, 8.348),
        ("M9x0.75", 8.188, 8.378, 8.513, 8.645),
        ("M10", 8.376, 8.676, 9.026, 9.206),
        ("M10x1.25", 8.647, 8.912, 9.188, 9.348),
        ("M10x1", 8.917, 9.153, 9.350, 9.500),
        ("M10x0.75", 9.188, 9.378, 9.513, 9.645),
        ("M11x1", 9.917, 10.153, 10.350, 10.500),
        ("M12", 10.106, 10.441, 10.863, 11.063),
        ("M12x1.5", 10.376, 10.676, 11.026, 11.216),
        ("M12x1.25", 10.647, 10.912, 11.188, 11.368),
        ("M12x1", 10.917, 11.153, 11.350, 11.510),
        ("M14", 11.835, 12.210, 12.701, 12.913),
        ("M14x1.5", 12.376, 12.676, 13.026, 13.216),
    ],
)
def test_internal_limits_of_coarse_and_fine_threads_are_those_printed(
    designation: str, minor_min: float, minor_max: float, pitch_min: float, pitch_max: float
) -> None:
    found = limits.find(threads.find(designation))
    computed = (
        found.internal_minor_min,
        found.internal_minor_max,
        found.internal_pitch_min,
        found.internal_pitch_max,
    )
    assert [value * 1000 for value in computed] == pytest.approx([minor_min, minor_max, pitch_min, pitch_max], abs=1e-9)


@pytest.mark.parametrize("thread", threads.metric(), ids=lambda thread: thread.designation)
def test_every_metric_thread_has_limits_in_order_and_a_bolt_that_enters_the_nut(thread: threads.Thread) -> None:
    found = limits.find(thread)
    assert found.external_major_min < found.external_major_max < thread.major_diameter
    assert found.external_pitch_min < found.external_pitch_max < found.internal_pitch_min < found.internal_pitch_max
    assert found.internal_minor_min < found.internal_minor_max < found.external_pitch_max
    assert found.internal_minor_max < found.external_major_min


@pytest.mark.parametrize("thread", threads.metric(), ids=lambda thread: thread.designation)
def test_the_iso_2306_drill_makes_a_6h_minor_diameter(thread: threads.Thread) -> None:
    found = limits.find(thread)
    assert found.internal_minor_min - 1e-9 <= thread.tap_drill <= found.internal_minor_max + 1e-9


@pytest.mark.parametrize("thread", threads.unified(), ids=lambda thread: thread.designation)
def test_the_unified_drill_makes_a_2b_minor_diameter(thread: threads.Thread) -> None:
    """ASME B1.1 class 2B minor diameter tolerance, formulas from memory; it prints the limits to 0.001 in."""
    diameter, pitch = thread.major_diameter / 0.0254, thread.pitch / 0.0254
    coarse_sizes = 0.25 * pitch - 0.4 * pitch**2
    number_sizes = min(0.05 * pitch ** (2 / 3) + 0.03 * pitch / diameter - 0.002, 0.394 * pitch)
    smallest = diameter - 1.082532 * pitch
    largest = smallest + (coarse_sizes if diameter >= 0.25 else number_sizes)
    assert smallest - 0.001 <= thread.tap_drill / 0.0254 <= largest + 0.001


@pytest.mark.parametrize(
    ("designation", "external", "internal"),
    # ASME B1.1, table of limits for classes 2A (major, pitch diameter) and 2B (minor, to 0.001 in above size #10; pitch
    # diameter), inches, from memory.
    [
        ("#4-40 UNC", (0.1112, 0.1061, 0.0950, 0.0925), (0.0849, 0.0939, 0.0958, 0.0991)),
        ("#10-24 UNC", (0.1890, 0.1818, 0.1619, 0.1586), (0.145, 0.156, 0.1629, 0.1672)),
        ("#10-32 UNF", (0.1891, 0.1831, 0.1688, 0.1658), (0.156, 0.164, 0.1697, 0.1736)),
        ("1/4-20 UNC", (0.2489, 0.2408, 0.2164, 0.2127), (0.196, 0.207, 0.2175, 0.2224)),
        ("1/4-28 UNF", (0.2490, 0.2425, 0.2258, 0.2225), (0.211, 0.220, 0.2268, 0.2311)),
        ("5/16-18 UNC", (0.3113, 0.3026, 0.2752, 0.2712), (0.252, 0.265, 0.2764, 0.2817)),
        ("3/8-16 UNC", (0.3737, 0.3643, 0.3331, 0.3287), (0.307, 0.321, 0.3344, 0.3401)),
        ("7/16-14 UNC", (0.4361, 0.4258, 0.3897, 0.3850), (0.360, 0.376, 0.3911, 0.3972)),
        ("1/2-13 UNC", (0.4985, 0.4876, 0.4485, 0.4435), (0.417, 0.434, 0.4500, 0.4565)),
        ("1/2-20 UNF", (0.4987, 0.4906, 0.4662, 0.4619), (0.446, 0.457, 0.4675, 0.4731)),
        ("3/4-10 UNC", (0.7482, 0.7353, 0.6832, 0.6773), (0.642, 0.663, 0.6850, 0.6927)),
        ("1-8 UNC", (0.9980, 0.9830, 0.9168, 0.9100), (0.865, 0.890, 0.9188, 0.9276)),
    ],
)
def test_unified_limits_are_those_printed(
    designation: str, external: tuple[float, ...], internal: tuple[float, ...]
) -> None:
    found = limits.find(threads.find(designation))
    outside = (
        found.external_major_max,
        found.external_major_min,
        found.external_pitch_max,
        found.external_pitch_min,
    )
    inside = (found.internal_minor_min, found.internal_minor_max, found.internal_pitch_min, found.internal_pitch_max)
    assert [value / 0.0254 for value in outside] == pytest.approx(external, abs=1e-9)
    assert [value / 0.0254 for value in inside[2:]] == pytest.approx(internal[2:], abs=1e-9)
    assert [value / 0.0254 for value in inside[:2]] == pytest.approx(internal[:2], abs=6e-4)


@pytest.mark.parametrize("thread", threads.unified(), ids=lambda thread: thread.designation)
def test_every_unified_thread_has_limits_in_order(thread: threads.Thread) -> None:
    found = limits.find(thread)
    assert found.external_major_min < found.external_major_max < thread.major_diameter
    assert found.external_pitch_min < found.external_pitch_max < found.internal_pitch_min < found.internal_pitch_max
    assert found.internal_minor_min < found.internal_minor_max < found.external_pitch_max
