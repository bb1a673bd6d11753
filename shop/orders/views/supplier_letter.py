"""One letter to a supplier about all that is open with it."""

from __future__ import annotations

from django.contrib.messages import error
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page
from shop.base.records import find_current
from shop.orders import outbox
from shop.orders.changes import send_letter
from shop.orders.forms.talks import LetterForm
from shop.orders.letter import ASK_AGAIN
from shop.orders.letter_drafts import ALL_OPEN, draft_about_all
from shop.orders.letter_language import own_text
from shop.orders.models import Chase, Order, OrderLine, Supplier


@edits("orders.chase")
def supplier_letter(request: SignedIn, pk: int) -> HttpResponse:
    """Draft a letter with every line that is still to come, edit it, send or print it."""
    found, today = find_current(Supplier.objects, pk), timezone.localdate()
    lines = list(OrderLine.objects.to_come().filter(order__supplier=found).with_story().order_by("order", "position"))
    if not lines and request.method != "POST":
        error(request, gettext("Nothing is open with {found}: there is nothing to ask for.").format(found=found))
        return redirect(found)
    orders = list(Order.objects.filter(pk__in={line.order_id for line in lines}).order_by("pk"))

    def save(form: LetterForm) -> Chase:
        data = dict(form.cleaned_data)
        by_mail = data.pop("way") == LetterForm.MAIL
        return send_letter(*orders, by_mail=by_mail, **data, person=request.user, today=today)

    def after(chase: Chase) -> str:
        return reverse("print:letter", args=[chase.pk]) if chase.how == "letter" else found.get_absolute_url()

    written = draft_about_all(found, lines, request.user, today)
    initial = {
        "way": LetterForm.MAIL if found.email else LetterForm.LETTER,
        "to": found.email,
        "subject": written.subject,
        "body": written.body,
        "ask_again_on": today + ASK_AGAIN,
    }
    title = gettext("Write to {found} about all that is open").format(found=found)
    response = create_page(
        request,
        LetterForm,
        title=title,
        save=save,
        redirect_to=after,
        back=found.get_absolute_url(),
        template="orders/message_new.html",
        context={"supplier": found, "own": own_text(found, ALL_OPEN)},
        initial=initial,
    )
    if response.status_code == 302:
        outbox.send_due(timezone.now(), chase__order__in=orders)
    return response
