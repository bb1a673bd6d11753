"""The unit that is printed is one that systemd takes."""

import shutil
import subprocess
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

from shop.serving.units import unit


def printed(**chosen: str) -> str:
    said = StringIO()
    call_command("units", stdout=said, **chosen)
    return said.getvalue()


def test_it_names_who_serves_what_from_where() -> None:
    text = printed(user="workshop")
    assert "User=workshop\n" in text
    assert "manage.py serve\n" in text
    assert "Restart=always\n" in text
    assert "UMask=0077\n" in text


def test_it_waits_for_postgresql_only_where_that_is_used() -> None:
    given = {"site": Path("/srv/w"), "python": Path("/srv/w/p"), "environment": Path("/e"), "user": "w", "writable": []}
    assert "postgresql.service" not in unit(**given, postgres=False)
    assert "postgresql.service" in unit(**given, postgres=True)


def test_a_folder_with_odd_signs_stays_one_folder() -> None:
    text = unit(
        site=Path("/srv/our shop 100%"),
        python=Path("/p"),
        environment=Path("/e"),
        user="w",
        writable=[],
        postgres=False,
    )
    assert "ExecStart=/p '/srv/our shop 100%%'/manage.py serve" in text


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="no systemd on this machine")
def test_systemd_takes_it(tmp_path: Path) -> None:
    file = tmp_path / "workshop.service"
    file.write_text(printed(user="root"))
    ran = subprocess.run(["systemd-analyze", "verify", "--man=no", str(file)], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    assert "workshop.service" not in ran.stderr
