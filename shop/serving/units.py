"""The unit by which systemd keeps the workshop running."""

import shlex
from pathlib import Path

from shop.serving.pages import DRAINS_WITHIN

UNIT = """\
# /etc/systemd/system/workshop.service
[Unit]
Description=Driveline workshop
After=network-online.target{after}
Wants=network-online.target

[Service]
Type=exec
User={user}
WorkingDirectory={site}
EnvironmentFile={environment}
ExecStart={python} {site}/manage.py serve
Restart=always
RestartSec=5
KillMode=mixed
TimeoutStopSec={stop}
UMask=0077
LimitNOFILE=4096
NoNewPrivileges=yes
PrivateTmp=yes
PrivateDevices=yes
ProtectSystem=strict
ProtectHome=read-only
ProtectKernelTunables=yes
ProtectControlGroups=yes
RestrictSUIDSGID=yes
ReadWritePaths={writable}

[Install]
WantedBy=multi-user.target
"""


def unit(*, site: Path, python: Path, environment: Path, user: str, writable: list[Path], postgres: bool) -> str:
    """The text of the one unit: pages and timed work are begun, watched and ended by `manage.py serve`."""
    return UNIT.format(
        user=user,
        site=_quoted(site),
        python=_quoted(python),
        environment=environment,
        writable=" ".join(_quoted(path) for path in writable),
        after=" postgresql.service" if postgres else "",
        stop=DRAINS_WITHIN + 15,
    )


def _quoted(path: Path) -> str:
    """systemd's own quoting agrees with the shell's for a path; a per cent sign stands for itself when doubled."""
    return shlex.quote(str(path)).replace("%", "%%")
