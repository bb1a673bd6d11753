"""``python -m tests.hammer [seconds] [sqlite|postgres]``: 20 people at once on the served site, then the books.

They save, delete, undo and bring in files, most of them on the same few records, and each writes down what they were
answered. Afterwards every record and its history is compared with that: what was acknowledged is there once and whole,
what was refused wrote nothing and showed what was typed. Then 5,000 orders are brought in while a colleague saves.
"""
