"""The pages' server: gunicorn with our worker, set up in one place."""

import os
import resource
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import connections
from django.urls import URLResolver, get_resolver
from gunicorn.app.base import BaseApplication

from shop.base.declared import load_declarations
from shop.serving.apart import give_over
from shop.serving.arrival import LONGEST_HEAD
from shop.serving.memory import compute_in_one_thread, give_back_what_is_free, take_what_is_loaded_for_lasting
from shop.serving.request_log import gunicorn_logging
from specs.engine.calculation import calculations

PROCESSES = max(2, min(len(os.sched_getaffinity(0)), 4)) if hasattr(os, "sched_getaffinity") else 2
"""One a core, for one process uses one core; never one alone, nor more memory than a small box has."""
THREADS = 6
"""So that a page that waits for the database holds up no other. `python -m tests.load sqlite --compare` compares."""
KEEP_ALIVE = 2
DRAINS_WITHIN = 25
OPEN_SOCKETS = 2000


class Pages(BaseApplication):
    """The site, served until told to stop."""

    def __init__(self, bind: str, processes: int, threads: int, *, alone: bool = False) -> None:
        """alone: no other process of the site does heavy work."""
        self.alone = alone
        self.chosen = {"bind": bind, "workers": processes, "threads": threads}
        super().__init__()

    def load_config(self) -> None:
        for name, value in {**fixed_settings(), **self.chosen}.items():
            self.cfg.set(name, value)

    def load(self) -> Any:
        from shop.wsgi import application

        load_pages(get_resolver())
        load_declarations()
        calculations()
        if not self.alone:
            give_over(Path(settings.DATA_DIR))
        compute_in_one_thread()
        give_back_what_is_free()
        take_what_is_loaded_for_lasting()
        # What a process opens before it divides would be used by all of its halves at once.
        connections.close_all()
        return application


def load_pages(addresses: URLResolver) -> None:
    """Read the code of every page, once before the process divides: no worker starts by reading it."""
    for below in addresses.url_patterns:
        if isinstance(below, URLResolver):
            load_pages(below)


def fixed_settings() -> dict[str, Any]:
    """What is the same on every box."""
    return {
        "worker_class": "shop.serving.worker.PatientWorker",
        "preload_app": True,
        "keepalive": KEEP_ALIVE,
        "graceful_timeout": DRAINS_WITHIN,
        "timeout": 60,
        "worker_connections": _open_sockets(),
        "backlog": 512,
        "limit_request_line": 4094,
        "limit_request_fields": 60,
        "limit_request_field_size": LONGEST_HEAD // 2,
        "control_socket_disable": True,
        "sendfile": False,  # it would send past the patience of our sockets
        "worker_tmp_dir": "/dev/shm" if os.access("/dev/shm", os.W_OK) else None,
        "forwarded_allow_ips": ",".join(settings.SHOP_PROXIES),
        "proc_name": "workshop",
        "umask": 0o077,
        "logconfig_dict": gunicorn_logging(),
    }


def _open_sockets() -> int:
    """As many connections a process as the system's limit of open files leaves room for."""
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = OPEN_SOCKETS + 200
    room = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
    if soft < room:
        resource.setrlimit(resource.RLIMIT_NOFILE, (room, hard))
    return max(room - 200, 50)
