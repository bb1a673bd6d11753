"""The outbox against real mail servers: one that refuses, hangs or dies loses nothing and sends nothing twice."""

from datetime import timedelta
from email import message_from_bytes, policy

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.orders import outbox
from shop.orders.models import Mail
from tests.factories.people import make_person
from tests.shop.orders.servers import dies_after, free_port, hangs, mail_server, raw_server

pytestmark = pytest.mark.django_db


@pytest.fixture
def through(settings):
    """Send through the server on a port."""

    def use(port):
        server = {**settings.MAIL_SERVER, "host": "127.0.0.1", "port": port, "use_tls": False, "timeout": 1}
        settings.MAILERS = {"default": {"BACKEND": "shop.orders.smtp.SteppedBackend", "OPTIONS": server}}

    return use


def write(**changes):
    usual = {"to": "sales@example.org", "subject": "Order 2026-014", "body": "When?\n.\nSincerely\n", "person": None}
    return outbox.put_in_outbox(**{**usual, **changes})


def send(later=timedelta(0)):
    return outbox.send_due(timezone.now() + later)


def test_without_a_mail_server_a_message_waits_and_is_never_said_to_be_sent(settings):
    settings.MAILERS = {"default": {"BACKEND": "shop.orders.smtp.NoServer"}}
    mail = write()
    assert send() == {Mail.WAITING: 1}
    mail.refresh_from_db()
    assert (mail.sent_at, mail.trouble) == (None, "no mail server is named: SHOP_MAIL_HOST")


def test_a_message_arrives_once_and_whole(through):
    mail = write(subject="Größe 24 – wann?", body="Zeile\n.\n..\n日本語\n")
    with mail_server() as (server, port):
        through(port)
        assert send() == {"sent": 1}
        assert send(timedelta(days=1)) == {}
    (envelope,) = server.taken
    message = message_from_bytes(envelope.original_content, policy=policy.default)
    assert message["Subject"] == "Größe 24 – wann?"
    assert message["Message-ID"] == mail.message_id
    assert message.get_content().replace("\r\n", "\n") == "Zeile\n.\n..\n日本語\n"
    assert envelope.rcpt_tos == ["sales@example.org"]


def test_what_a_person_wrote_is_not_marked_as_a_machines(through):
    """RFC 3834, section 5: an out-of-office answer may then be sent back, and the buyer wants to read it."""
    write(person=make_person())
    with mail_server() as (server, port):
        through(port)
        send()
    assert message_from_bytes(server.taken[0].original_content)["Auto-Submitted"] == "no"


def test_without_a_server_it_waits_and_goes_later(through):
    write()
    through(free_port())
    assert send() == {"waiting": 1}
    assert send() == {}, "not at once again"
    with mail_server() as (server, port):
        through(port)
        assert send(timedelta(hours=1)) == {"sent": 1}
    assert len(server.taken) == 1


def test_each_try_waits_longer_but_never_for_ever(through):
    mail = write()
    through(free_port())
    waits = []
    for _ in range(12):
        now = mail.try_at
        outbox.send_due(now)
        mail.refresh_from_db()
        waits.append(round((mail.try_at - now) / timedelta(minutes=1)))
    assert waits == sorted(waits)
    assert waits[-1] == 6 * 60


def test_a_server_that_is_busy_is_tried_again(through):
    mail = write()
    with mail_server(refuse="450 mailbox is busy") as (_, port):
        through(port)
        assert send() == {"waiting": 1}
    mail.refresh_from_db()
    assert "450 mailbox is busy" in mail.trouble


def test_a_server_that_refuses_for_good_is_shown_to_a_person(through):
    mail = write()
    with mail_server(refuse="550 no such person") as (server, port):
        through(port)
        assert send() == {"refused": 1}
        assert send(timedelta(days=9)) == {}
    mail.refresh_from_db()
    assert mail.needs_a_person
    assert server.taken == []
    assert mail in Mail.objects.troubled()


def test_a_server_that_hangs_keeps_nothing_and_nobody(through):
    write()
    with raw_server(hangs) as port:
        through(port)
        assert send() == {"waiting": 1}


@pytest.mark.parametrize("command", [b"EHLO", b"MAIL", b"RCPT", b"DATA"])
def test_a_server_that_dies_before_the_text_certainly_has_not_taken_it(through, command):
    write()
    with raw_server(dies_after(command)) as port:
        through(port)
        assert send() == {"waiting": 1}


def test_a_server_that_dies_after_the_text_may_have_taken_it_and_is_never_tried_again_by_itself(through):
    mail = write()
    with raw_server(dies_after(b".\r\n")) as port:
        through(port)
        assert send() == {"perhaps": 1}
    with mail_server() as (server, port):
        through(port)
        assert send(timedelta(days=9)) == {}
        assert server.taken == []
        outbox.send_again(mail=mail, person=make_person(roles=["buyer"]), now=timezone.now())
        assert send() == {"sent": 1}
    assert len(server.taken) == 1, "once a person made sure that it did not arrive"


def test_a_program_stopped_in_the_middle_leaves_the_message_to_a_person(through):
    mail = write()
    outbox._take(mail.pk, timezone.now())
    with mail_server() as (server, port):
        through(port)
        assert send() == {}, "somebody else may have it in hand"
        assert send(timedelta(hours=1)) == {}
    mail.refresh_from_db()
    assert mail.state == Mail.PERHAPS
    assert server.taken == []


def test_two_senders_at_once_send_it_once():
    mail = write()
    now = timezone.now()
    assert outbox._take(mail.pk, now) is not None
    assert outbox._take(mail.pk, now) is None


def test_one_message_that_fails_holds_up_no_other(through):
    with mail_server() as (server, port):
        through(port)
        write(to="first@example.org")
        write(to="second@example.org")
        server.refuse = ""
        assert send() == {"sent": 2}


def test_of_one_occasion_there_is_one_message():
    write(occasion="digest of jonas, 2026-05-14")
    with pytest.raises(ValidationError):
        write(occasion="digest of jonas, 2026-05-14")
    write()
    write()
    assert Mail.objects.count() == 3


def test_a_subject_cannot_smuggle_in_a_header(through):
    write(subject="When?\r\nBcc: everybody@example.org")
    with mail_server() as (server, port):
        through(port)
        assert send() == {"sent": 1}
    assert b"\nBcc:" not in server.taken[0].original_content
    assert server.taken[0].rcpt_tos == ["sales@example.org"]


def test_a_dropped_message_is_not_sent(through):
    mail = write()
    outbox.drop(mail=mail, person=make_person(roles=["buyer"]), now=timezone.now())
    with mail_server() as (server, port):
        through(port)
        assert send(timedelta(days=1)) == {}
    assert server.taken == []


def test_what_is_sent_cannot_be_sent_again_by_hand(through):
    mail = write()
    with mail_server() as (_, port):
        through(port)
        send()
    with pytest.raises(ValidationError, match="This message is sent"):
        outbox.send_again(mail=mail, person=make_person(roles=["buyer"]), now=timezone.now())
