"""The mailbox, read from Debian's dovecot over IMAP (RFC 3501)."""

import os
import pwd
import shutil
import subprocess
import time
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from imap_tools import MailBoxUnencrypted

from shop.orders.models import Mail
from shop.replies.models import Reply
from tests.factories.orders import make_chase, make_line, make_mail
from tests.shop.orders.servers import free_port
from tests.shop.replies.messages import answer, bounce

DOVECOT = shutil.which("dovecot") or shutil.which("dovecot", path="/usr/sbin")

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(not DOVECOT and not os.environ.get("CI"), reason="needs Debian's dovecot-imapd"),
]


def configuration(folder: Path, port: int) -> str:
    me = pwd.getpwuid(os.getuid())
    # Dovecot lets nobody sign in as root: its own users read the mail then.
    mine = me.pw_name if me.pw_uid else "mail"
    login, inner = (me.pw_name, me.pw_name) if me.pw_uid else ("dovenull", "dovecot")
    return f"""
base_dir = {folder}/run
state_dir = {folder}/state
log_path = {folder}/log
protocols = imap
listen = 127.0.0.1
ssl = no
disable_plaintext_auth = no
default_login_user = {login}
default_internal_user = {inner}
default_internal_group = {inner if me.pw_uid == 0 else ""}
mail_location = maildir:{folder}/mail
mail_uid = {mine}
mail_gid = mail
first_valid_uid = 1
first_valid_gid = 1
service imap-login {{
  chroot =
  inet_listener imap {{
    port = {port}
  }}
  inet_listener imaps {{
    port = 0
  }}
}}
service anvil {{
  chroot =
}}
passdb {{
  driver = static
  args = password=plate
}}
userdb {{
  driver = static
  args = uid={mine} gid=mail home={folder}/home
}}
"""


@pytest.fixture
def box(tmp_path_factory, settings):
    """A mailbox that can be put into, which the shop points to."""
    folder, port = tmp_path_factory.mktemp("dovecot"), free_port()
    for path in (folder, *folder.parents):
        if path.is_relative_to("/tmp") and path != Path("/tmp"):
            path.chmod(0o755)
    for name in ("mail", "home", "run", "state"):
        (folder / name).mkdir()
    if os.getuid() == 0:
        for name in ("mail", "home"):
            shutil.chown(folder / name, "mail", "mail")
    (folder / "dovecot.conf").write_text(configuration(folder, port))
    server = subprocess.Popen([DOVECOT, "-F", "-c", str(folder / "dovecot.conf")])
    where = {"host": "127.0.0.1", "port": port, "username": "shop", "password": "plate", "folder": "INBOX"}
    settings.MAILBOX = {**where, "use_tls": False, "timeout": 8}
    try:
        found = opened(port, folder)
        yield found
        found.logout()
    finally:
        server.terminate()
        server.wait(10)


def opened(port: int, folder: Path) -> MailBoxUnencrypted:
    for _ in range(100):
        try:
            return MailBoxUnencrypted("127.0.0.1", port, timeout=8).login("shop", "plate")
        except OSError:
            time.sleep(0.1)
    raise AssertionError((folder / "log").read_text())


def test_what_is_unread_is_taken_in_once_and_stays_in_the_mailbox_as_read(box, capsys):
    line = make_line()
    letter = make_mail(chase=make_chase(order=line.order), message_id="<l@shop>", to="a@b.example", state=Mail.SENT)
    box.append(answer(f"Order {line.order.number}: Montag, grün", message_id="<1@nuvo.example>"), "INBOX")
    box.append(bounce("<l@shop>", "a@b.example"), "INBOX")
    call_command("read_mail")
    call_command("read_mail")
    assert capsys.readouterr().out.split("\n")[:2] == ["2 taken in, 0 passed over", "0 taken in, 0 passed over"]
    assert {reply.order for reply in Reply.objects.all()} == {line.order}
    assert Reply.objects.get(kind=Reply.ANSWER).body.endswith("Montag, grün")
    letter.refresh_from_db()
    assert letter.state == Mail.REFUSED
    assert ["\\Seen" in message.flags for message in box.fetch(mark_seen=False)] == [True, True]


def test_a_mailbox_that_refuses_is_told_and_nothing_is_lost(box, settings):
    box.append(answer(), "INBOX")
    settings.MAILBOX = {**settings.MAILBOX, "password": "wrong"}
    with pytest.raises(CommandError, match="the mailbox could not be read"):
        call_command("read_mail")
    settings.MAILBOX = {**settings.MAILBOX, "password": "plate"}
    call_command("read_mail")
    assert Reply.objects.count() == 1


def test_without_a_mailbox_nothing_is_asked(settings, capsys):
    settings.MAILBOX = {**settings.MAILBOX, "host": ""}
    call_command("read_mail")
    assert "no mailbox is named" in capsys.readouterr().out
