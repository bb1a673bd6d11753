"""Every list of the site, for the table of `pages.py`; a test holds it to the pages that are lists."""

from __future__ import annotations

LISTS = {
    "orders": "/orders/",
    "orders with a word": "/orders/?words=Y0000123",
    "orders, page 200": "/orders/?page=200",
    "orders, last page": "/orders/?page=last",
    "suppliers": "/orders/suppliers/",
    "parts": "/orders/parts/",
    "messages": "/orders/mail/",
    "replies": "/replies/",
    "invoices": "/payables/",
    "deliveries": "/payables/deliveries/",
    "jobs": "/jobs/",
    "steps": "/jobs/steps/",
    "parts needed": "/jobs/parts/",
    "job templates": "/jobs/templates/",
    "lessons": "/jobs/lessons/",
    "vehicles": "/vehicles/",
    "customers": "/vehicles/customers/",
    "components": "/measuring/components/",
    "dimensions": "/measuring/dimensions/",
    "readings": "/measuring/readings/",
    "hole patterns": "/measuring/patterns/",
    "mating features": "/measuring/features/",
    "torque specs": "/torque/specs/",
    "printed sheets": "/print/",
    "people": "/people/",
    "returns and credits": "/orders/owed/",
}
