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


def configuration(folder: Path, port: int, secure_port: int) -> str:
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
ssl = yes
ssl_cert = <{folder}/cert.pem
ssl_key = <{folder}/key.pem
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
    port = {secure_port}
    ssl = yes
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


def certify(folder: Path, name: str) -> None:
    """A certificate for a name, which is its own authority; OpenSSL's own program makes it."""
    made = ["req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", "2"]
    files = ["-keyout", str(folder / "key.pem"), "-out", str(folder / "cert.pem")]
    named = ["-subj", "/CN=mail", "-addext", f"subjectAltName={name}"]
    subprocess.run(["openssl", *made, *files, *named], check=True, capture_output=True)


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
    certify(folder, "IP:127.0.0.1")
    secure = free_port()
    (folder / "dovecot.conf").write_text(configuration(folder, port, secure))
    # Its own users read what this one writes, however this process keeps its files.
    for path in folder.glob("*.*"):
        path.chmod(0o644)
    server = subprocess.Popen([DOVECOT, "-F", "-c", str(folder / "dovecot.conf")], umask=0o022)
    where = {"host": "127.0.0.1", "port": port, "username": "shop", "password": "plate", "folder": "INBOX"}
    settings.MAILBOX = {**where, "tls": "open", "timeout": 8}
    try:
        found = opened(port, folder)
        found.folder_of_it, found.secure_port = folder, secure
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


@pytest.mark.parametrize("way", ["tls", "starttls"])
def test_over_tls_it_is_read_only_from_a_server_that_proves_its_name(box, settings, monkeypatch, capsys, way):
    box.append(answer(), "INBOX")
    port = box.secure_port if way == "tls" else settings.MAILBOX["port"]
    settings.MAILBOX = {**settings.MAILBOX, "tls": way, "port": port}
    with pytest.raises(
        CommandError, match=r"not prove that it is 127\.0\.0\.1: its certificate is signed by itself alone"
    ):
        call_command("read_mail")
    assert "Login:" not in (box.folder_of_it / "log").read_text().split("Login:", 1)[1], "nobody else signed in"
    monkeypatch.setenv("SSL_CERT_FILE", str(box.folder_of_it / "cert.pem"))
    settings.MAILBOX = {**settings.MAILBOX, "host": "localhost"}
    with pytest.raises(CommandError, match=r"certificate is for another name. No name or password was sent."):
        call_command("read_mail")
    assert not Reply.objects.exists()
    settings.MAILBOX = {**settings.MAILBOX, "host": "127.0.0.1"}
    call_command("read_mail")
    assert "1 taken in, 0 passed over" in capsys.readouterr().out
