"""Every list of the site, for the table of `pages.py`; a test holds it to the pages that are lists."""

from __future__ import annotations

LISTS = {
    "orders": "/orders/",
    "orders with a word": "/orders/?words=Y0000123",
    "orders with something to come": "/orders/?open=yes",
    # The last that is full at 1,000 orders: page 200 was compared with what is left over on page 22.
    "orders, page 20": "/orders/?page=20",
    # What comes before a day in the middle of the years fills a page at any number of orders.
    "orders, middle page": "/orders/?after=2021-06-01&after=0",
    "orders, last page": "/orders/?page=last",
    "suppliers": "/orders/suppliers/",
    "parts": "/orders/parts/",
    "messages": "/orders/mail/",
    "replies": "/replies/",
    "invoices": "/payables/",
    "deliveries": "/payables/deliveries/",
    "deliveries, last page": "/payables/deliveries/?page=last",
    "unpaid invoices": "/payables/?paid=no",
    "jobs": "/jobs/",
    # What as many jobs hold whatever their number, and more than a page: one row was compared with fifty.
    "jobs with a word": "/jobs/?words=shorter+shaft",
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
