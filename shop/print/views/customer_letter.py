"""Writing to a job's customer: the draft from the record, edited by a person, and the letter as it was sent."""

from __future__ import annotations

from django.contrib.messages import error
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads
from shop.base.pages import create_page
from shop.base.records import find_current
from shop.jobs.models import Job
from shop.orders import outbox
from shop.orders.forms.talks import LetterForm
from shop.orders.letter import Letter
from shop.people.models import preferences_of
from shop.planning.inputs import read_shop
from shop.print.changes import write_to_customer
from shop.print.customer_draft import CUSTOMER_LETTERS, draft_customer_letter
from shop.print.kinds import USUAL_PAPERS
from shop.print.letter_facts import read_customer_letter
from shop.print.letter_pdf import letter_pdf
from shop.print.models import CustomerLetter


class CustomerLetterForm(LetterForm):
    """A drafted letter to a customer, to be edited and sent or printed."""

    ask_again_on = None  # type: ignore[assignment]  # Django: a form leaves out what its base asks


@edits("print.write")
def customer_letter_new(request: SignedIn, pk: int) -> HttpResponse:
    """Draft a letter to the job's customer, edit it, send or print it."""
    job = find_current(Job.objects.select_related("vehicle__customer"), pk)
    today, about = timezone.localdate(), request.GET.get("about", "")

    def save(form: CustomerLetterForm) -> CustomerLetter:
        draft_customer_letter(
            job, about, request.user, today, read_shop
        )  # what there was to write about may be over meanwhile
        data = dict(form.cleaned_data)
        by_mail = data.pop("way") == LetterForm.MAIL
        return write_to_customer(job, by_mail=by_mail, **data, person=request.user, today=today)

    try:
        written = draft_customer_letter(job, about, request.user, today, read_shop)
    except ValidationError as nothing:
        if request.method != "POST":
            error(request, nothing.messages[0])
            return redirect(job)
        written = Letter("", "")  # `save` refuses, and the form keeps what was typed
    email = job.vehicle.customer.email
    way = LetterForm.MAIL if email else LetterForm.LETTER
    response = create_page(
        request,
        CustomerLetterForm,
        title=gettext("Write to {customer} about {job}").format(customer=job.vehicle.customer, job=job),
        save=save,
        back=job.get_absolute_url(),
        template="print/customer_letter_new.html",
        context={"kinds": CUSTOMER_LETTERS, "about": about},
        initial={"way": way, "to": email, "subject": written.subject, "body": written.body},
    )
    if response.status_code == 302:
        outbox.send_due(timezone.now())
    return response


@reads("print.read")
def customer_letter(request: SignedIn, pk: int) -> HttpResponse:
    """The letter for the envelope, on the reader's paper or on that of `?paper=`; a mail prints the same words."""
    found = get_object_or_404(CustomerLetter.objects.select_related("job__vehicle__customer", "person"), pk=pk)
    asked = request.GET.get("paper", "")
    paper = asked if asked in USUAL_PAPERS else preferences_of(request.user).paper
    pdf = letter_pdf(read_customer_letter(found), paper)
    response = HttpResponse(pdf, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="letter-job-{found.job_id}-{found.on:%Y-%m-%d}.pdf"'
    return response
