"""The two pages every area needs around a form: make a record, change a record.

::

    return create_page(request, OrderForm, title="New order")
    return edit_page(request, get_object_or_404(Order, pk=pk), OrderForm, title="Change order")

Both lead to the record's ``get_absolute_url()``, or where ``redirect_to=`` (a function of the record) says. ``save=``
takes a function of the valid form that returns the record, for a room whose writes go through its changes.py. ``back=``
is where "Cancel" leads, by default to the page above. A ``ValidationError`` raised by ``save`` is shown beside the
fields it names. Further keywords go to the form.
"""

from collections.abc import Callable
from typing import Any
from urllib.parse import quote

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext

from shop.base.access import system_of
from shop.base.dependents import what_rests_on
from shop.base.error_pages import DeletedMeanwhile
from shop.base.forms import ReasonForm
from shop.base.language import gettext_lazy
from shop.base.once import NoOnceToken, WrittenAlready, write_once, written_before
from shop.base.page_above import page_above
from shop.base.records import deletion_text
from shop.base.versions import VersionedForm, find_conflict
from specs.models.base import Stale

Save = Callable[[Any], models.Model]
RedirectTo = Callable[[Any], str]

TOKEN_LOST = gettext_lazy(
    "This form cannot be told from one that was sent before. Look it over and press the button again."
)
SENT_BEFORE = gettext_lazy(
    "This form was sent before with other words, and what it made then was kept. "
    "Press the button again to make another one from what is written below."
)
LATE = gettext_lazy(
    "Somebody else changed this record at the same moment. Look at it as it is now, and press again if it still holds."
)
CLASH = gettext_lazy(
    "Somebody saved a record that clashes with this one at the same moment. Look it over and save again."
)
REFUSALS: dict[type[Exception], str] = {
    NoOnceToken: TOKEN_LOST,
    WrittenAlready: SENT_BEFORE,
    IntegrityError: CLASH,
    Stale: LATE,
}
SAVED_FORMS = "saved_forms"
"""The cookie that names the forms that were written, for the script that keeps drafts (`static/js/drafts.js`)."""
_MOST_SAVED = 8
_SAVED_FOR_SECONDS = 24 * 60 * 60


def _sent(request: HttpRequest) -> Any:
    # Not "POST or None": a form sent empty is still a form that was sent.
    return request.POST if request.method == "POST" else None


def _save(form: Any) -> models.Model:
    return form.save()


def show_refusal(form: Any, refused: ValidationError) -> None:
    """Put what a verb refused beside the fields it names; what names no field of this form stands at the top."""
    named = refused.message_dict if hasattr(refused, "error_dict") else {"": refused.messages}
    for name, words in named.items():
        form.add_error(name if name in form.fields else None, words)


def own_page(record: Any) -> str:
    """The address of a record's own page."""
    return record.get_absolute_url()


def create_page(
    request: HttpRequest,
    form_class: type,
    *,
    title: str,
    save: Save = _save,
    redirect_to: RedirectTo = own_page,
    back: str = "",
    template: str = "base/create.html",
    context: dict[str, Any] | None = None,
    **form_options: Any,
) -> HttpResponse:
    """Show an empty form; on a valid POST write once, however often the button is pressed, and go to the record."""
    _belongs_to(request, back)
    files = {"files": request.FILES} if request.FILES else {}
    form = form_class(_sent(request), system=system_of(request), reader=request.user, **files, **form_options)
    if request.method == "POST":
        try:
            if address := _press(request, form, lambda: save(form), redirect_to):
                return tell_saved(request, redirect(address))
        except tuple(REFUSALS) as reason:
            request.new_once_token_wanted = True  # type: ignore[attr-defined]
            form.add_error(None, REFUSALS[type(reason)])
        except ValidationError as refused:
            show_refusal(form, refused)
    shown = {**(context or {}), "form": form, "title": title, "back": back or page_above(request.path)}
    return render(request, template, shown)


def _belongs_to(request: HttpRequest, page: str) -> None:
    """Have the frame show a form in the place of the page that it leads back to."""
    request.belongs_to = page if page != "/" else ""  # type: ignore[attr-defined]


def _press(request: HttpRequest, form: Any, write: Callable[[], models.Model], redirect_to: RedirectTo) -> str | None:
    return write_once(request, write, redirect_to=redirect_to) if form.is_valid() else written_before(request)


def edit_page(
    request: HttpRequest,
    record: Any,
    form_class: type[VersionedForm],
    *,
    title: str,
    save: Save = _save,
    redirect_to: RedirectTo = own_page,
    back: str = "",
    template: str = "base/edit.html",
    context: dict[str, Any] | None = None,
    **form_options: Any,
) -> HttpResponse:
    """Show a record's form; on a valid POST save it unless somebody else saved meanwhile, else show both versions.

    Raises DeletedMeanwhile for a record that somebody deleted: it is brought back first.
    """
    if getattr(record, "is_deleted", False):
        raise DeletedMeanwhile(deletion_text(record))
    _belongs_to(request, back or redirect_to(record))
    options = {"system": system_of(request), "reader": request.user, **form_options}
    page_context = {**(context or {}), "title": title, "record": record, "back": back or redirect_to(record)}
    if request.method != "POST":
        return render(request, template, {**page_context, "form": form_class(instance=record, **options)})
    conflict = find_conflict(request.POST, record, form_class, options)
    form = conflict.form if conflict else form_class(request.POST, instance=record, **options)
    if conflict and not conflict.differences and form.is_valid():
        return tell_saved(request, redirect(redirect_to(record)))  # pressed twice: it is on record already
    if form.is_valid() and (conflict is None or conflict.settled):
        try:
            before = getattr(record, "version", None)
            with transaction.atomic():
                saved = save(form)
            if before is not None and saved is record and getattr(saved, "version", None) == before:
                messages.info(request, gettext("Nothing was changed, so nothing was saved."))
            else:
                messages.success(request, gettext("Saved: {saved}.").format(saved=saved))
            return tell_saved(request, redirect(redirect_to(saved)))
        except Stale:
            conflict = find_conflict(request.POST, record, form_class, options)
            form = conflict.form if conflict else form
        except IntegrityError:
            form.add_error(None, CLASH)
        except ValidationError as refused:
            show_refusal(form, refused)
    return render(request, template, {**page_context, "form": form, "conflict": conflict})


def ask_page(
    request: HttpRequest,
    form_class: type,
    *,
    title: str,
    button: str,
    do: Callable[[dict[str, Any]], models.Model],
    back: str,
    said: str = "",
    note: str = "",
    refusal: str = "",
    context: dict[str, Any] | None = None,
    **form_options: Any,
) -> HttpResponse:
    """Ask for what a verb needs, run it once with the cleaned answers, and go `back`, saying `said`.

    A `refusal` says in words why it cannot be done now: the page says it and has nothing to press. Who sends the form
    all the same is answered by the verb.
    """

    def save(form: Any) -> models.Model:
        done = do(form.cleaned_data)
        if said:
            messages.success(request, said)
        return done

    return create_page(
        request,
        form_class,
        title=title,
        save=save,
        redirect_to=lambda record: back,
        back=back,
        template="base/act.html",
        context={**(context or {}), "button": button, "note": note, "refusal": refusal},
        **form_options,
    )


def delete_page(
    request: HttpRequest,
    record: models.Model,
    *,
    delete: Callable[[str], models.Model],
    of: Any,
    asks: str = "",
    note: str = "",
    refusal: str = "",
) -> HttpResponse:
    """Ask why a record is deleted, saying what rests on it, then delete it; it stays on record with the reason.

    Where that must go first, or the caller has a `refusal`, there is nothing to press. The page leads back to the
    record that it is `of`, itself or the one on whose page it stands. `asks` is the act in words where it is another
    than to delete. Whoever comes second is told who deleted it; what they typed stays in the form.
    """
    back = of.get_absolute_url()
    if request.method != "POST" and record.is_deleted:  # type: ignore[attr-defined]
        messages.warning(request, deletion_text(record))
        return redirect(back)

    def do(answers: dict[str, Any]) -> models.Model:
        if record.is_deleted:  # type: ignore[attr-defined]
            raise ValidationError(
                gettext("{deletion_text} Nothing more was done.").format(deletion_text=deletion_text(record))
            )
        return delete(answers["reason"])

    rests, kept = what_rests_on(record)
    act = asks or gettext("Delete {verbose_name}").format(verbose_name=gettext(str(record._meta.verbose_name)))
    return ask_page(
        request,
        ReasonForm,
        title=_deletion_title(act, record, asks),
        button=act,
        do=do,
        back=back,
        said=gettext("Deleted: {record}.").format(record=record),
        note=note or gettext("It stays on record with your reason, and no longer counts."),
        context={"of": of if of != record else None, "rests": rests},
        refusal=refusal or (gettext("That must go first.") if kept else ""),
    )


def _deletion_title(act: str, record: models.Model, asks: str) -> str:
    """The act and what it is done to, whose kind is not said twice: "Delete invoice 118", "Delete part: 1001 stud"."""
    kind, name = gettext(str(record._meta.verbose_name)), str(record)
    says_kind = not asks and name.startswith(f"{kind} ")
    return gettext("Delete {record}").format(record=name) if says_kind else f"{act}: {name}"


def restore_page(request: HttpRequest, record: Any, *, restore: Callable[[], models.Model]) -> HttpResponse:
    """Bring a deleted record back, say so or why not, and go back to where it was pressed, or to its page."""
    try:
        restore()
        messages.success(request, gettext("Brought back: {record}.").format(record=record))
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    except Stale:
        messages.error(request, LATE)
    before = _page_before(request)
    return redirect(before or (record.get_absolute_url() if hasattr(record, "get_absolute_url") else "/"))


def _page_before(request: HttpRequest) -> str:
    before = request.headers.get("Referer", "")
    known = url_has_allowed_host_and_scheme(before, {request.get_host()}, require_https=request.is_secure())
    return before if known else ""


def draft_name(request: HttpRequest) -> str:
    """What the browser calls the draft of this person's form at this address."""
    return f"{request.user.pk} {request.get_full_path()}"


def tell_saved(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    """Add to the answer that this person's form at this address was written, for the script to drop its draft.

    Only the server knows that a form was written: a page that follows may as well come after a network that was cut.
    """
    saved = quote(draft_name(request), safe="")
    # Several, since two tabs may save before a page of the site is shown; the script takes them all away.
    earlier = [one for one in request.COOKIES.get(SAVED_FORMS, "").split("|") if one and one != saved]
    told = "|".join([*earlier, saved][-_MOST_SAVED:])
    if len(told) < 3000:  # a browser drops a cookie over 4 kB, and then all of them
        response.set_cookie(
            SAVED_FORMS, told, max_age=_SAVED_FOR_SECONDS, secure=settings.SESSION_COOKIE_SECURE, samesite="Lax"
        )
    return response
