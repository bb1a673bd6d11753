"""Drawings: a short list of primitives in millimetres, y upwards, and writers for page, paper and machine."""
