"""Plane geometry of faces, holes and outlines: pure functions over floats.

Lengths are in metres and angles in radians wherever nothing else is said; every result is in the unit of its input.
"""
