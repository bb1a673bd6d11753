"""What a search costs among many records: `python -m tests.benchmarks search [postgres] [100000]`.

Makes a database of its own, fills it with customers and vehicles in bulk, makes the index, and prints for every query
the processor time of this process and the time on the clock [ms], medians; on PostgreSQL the server's work is in the
clock only.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Iterator
from statistics import median

from tests.benchmarks.apart import run_apart

SIZE, RUNS, BATCH, SEED = 100_000, 7, 2_000, 13
NAMES = (
    "Hollis Vander Brask Marlow Pike Darrow Lund Calloway Quillon Vast Ferrant Olmstead Quarry Nuvo Pellworth Dunmere"
)
QUERIES = {
    "a printed number": "KX 4711-B",
    "a number's beginning": "kx47",
    "a telephone number": "+31 20 0077777",
    "a name": "quillon marlow",
    "a name that many have": "hollis",
    "one misspelt": "pelworth dunmeer",
    "a fragment": "4711b",
    "two letters": "ho",
    "what is nowhere": "zyxwvut",
}


def run(words: list[str]) -> None:
    """Measure in a process of its own, on a database that is thrown away."""
    sys.exit(run_apart("search", words, settings="shop.settings"))


def main(words: list[str]) -> None:
    import django

    django.setup()
    from django.db import connection

    from shop.base.search_index import rebuild
    from shop.base.search_results import find
    from shop.management.schema import prepare_tables

    prepare_tables()
    size = next((int(word) for word in words if word.isdigit()), SIZE)
    write(size)
    began = time.perf_counter()
    found = rebuild()
    print(f"{connection.vendor}: {found:,} records, the index made in {time.perf_counter() - began:.0f} s")
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    print(f"{'':26}{'CPU ms':>9}{'clock ms':>10}{'found':>7}")
    for name, text in QUERIES.items():
        taken = []
        for _ in range(RUNS):
            at, clock = time.process_time(), time.perf_counter()
            results, _ = find(text, most=30, deleted=False, may=lambda action: True)
            taken.append((time.process_time() - at, time.perf_counter() - clock))
        cpu, clock = (median(column) * 1000 for column in zip(*taken, strict=True))
        print(f"{name:26}{cpu:9.1f}{clock:10.1f}{len(results):7}", flush=True)


def write(size: int) -> None:
    """Half customers, half vehicles, names drawn from a short list as names are."""
    from shop.vehicles.models import Customer, Vehicle

    draw = random.Random(SEED)
    for _ in _batches(size // 2):
        customers = Customer.objects.bulk_create(
            Customer(name=" ".join(draw.sample(NAMES.split(), 2)), phone=f"+31 (0)20 {draw.randrange(10**7):07}")
            for _ in range(BATCH)
        )
        Vehicle.objects.bulk_create(
            Vehicle(
                customer=customer,
                maker=draw.choice(NAMES.split()),
                model=draw.choice(("Tarn", "Fell", "Beck", "Rill")),
                registration=f"KX {draw.randrange(10**4):04}-{draw.choice('ABCDEFGH')}",
                vin=f"V{draw.randrange(10**12):012}",
            )
            for customer in customers
        )


def _batches(size: int) -> Iterator[int]:
    yield from range(0, size, BATCH)


if __name__ == "__main__":
    main(sys.argv[1:])
