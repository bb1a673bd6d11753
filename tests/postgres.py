"""A PostgreSQL that lives as long as one command and keeps nothing.

``python -m tests.postgres COMMAND …`` runs the command with DATABASE_URL set to it. As root the server runs as nobody:
PostgreSQL refuses to run as root.
"""

import os
import shutil
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class NoPostgres(Exception):
    """This machine has no PostgreSQL server programs."""


def programs() -> Path:
    """The folder with initdb and pg_ctl: Debian's newest, or wherever the path finds them."""
    debian = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]))
    found = str(debian[-1]) if debian else shutil.which("initdb")
    if not found:
        raise NoPostgres("no PostgreSQL server on this machine (looked for initdb)")
    return Path(found).parent


@contextmanager
def throwaway(*, durable: bool = False) -> Iterator[str]:
    """Start a server on a free port of this machine alone; yields its DATABASE_URL; stops and deletes it after.

    durable: it waits for the disk as in the shop, for what is measured.
    """
    bin_folder = programs()
    folder = Path(tempfile.mkdtemp(prefix="shop-postgres-"))
    as_nobody = ["runuser", "-u", "nobody", "--"] if os.geteuid() == 0 else []
    if as_nobody:
        shutil.chown(folder, "nobody")
    port = _free_port()
    settings = f"-p {port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={folder}"
    settings += "" if durable else " -c fsync=off -c full_page_writes=off -c synchronous_commit=off -c autovacuum=off"
    control = [*as_nobody, str(bin_folder / "pg_ctl"), "-D", f"{folder}/data", "-w"]
    _run([*as_nobody, str(bin_folder / "initdb"), "-D", f"{folder}/data", "-U", "shop", "-A", "trust", "-E", "UTF8"])
    try:
        _run([*control, "-l", f"{folder}/log", "-o", settings, "start"])
        yield f"postgres://shop@127.0.0.1:{port}/postgres"
    finally:
        subprocess.run([*control, "-m", "immediate", "stop"], capture_output=True, cwd="/")
        shutil.rmtree(folder, ignore_errors=True)


def _run(command: list[str]) -> None:
    # cwd: nobody may not enter the folder that this runs in.
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, cwd="/")


def _free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return int(taken.getsockname()[1])


if __name__ == "__main__":
    with throwaway() as url:
        sys.exit(subprocess.run(sys.argv[1:], env={**os.environ, "DATABASE_URL": url}).returncode)
