"""``python -m tests.power_cut N``: the running site on SQLite, its power cut N times at random, and what is left.

1. A site of its own is served by gunicorn; several people add components and attach papers, and note each answer that
   they were given. A system-call trace records every write and every sync, of all processes, in one order (`strace`).
2. For each cut the files are rebuilt as a disk may hold them then: what was synced before is there; of what was written
   since, any part is there, dropped, torn at a sector, or in another order (`disk.py`).
3. The database is opened, checked, and compared with what had been answered by then: nothing of it may be lost.
"""
