"""Keeping a document with a record, and giving it back as it was: what the pages of every room do alike."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.http import Http404, HttpResponse
from django.utils.http import content_disposition_header
from django.utils.translation import gettext

from shop.base.access import SignedIn
from shop.base.file_kinds import ALLOWED, MOST_BYTES, too_large
from shop.base.forms import Form
from shop.base.kept_files import PAPERS, KeptFile
from shop.base.language import gettext_lazy
from shop.base.pages import create_page
from shop.base.roles import actions, require
from specs.phrase import listed
from specs.written import num


class KeptFileForm(Form):
    """A file to keep with a record, and what it is."""

    file = forms.FileField(
        help_text=gettext_lazy(
            "{ALLOWED}; at most {num} MB. A browser forgets the file when something is wrong: choose it again then.",
            ALLOWED=ALLOWED,
            num=num(MOST_BYTES / 1e6),
        )
    )
    paper = forms.ChoiceField(label=gettext_lazy("Kind of document"))
    note = forms.CharField(label=gettext_lazy("Note"), required=False, max_length=200)

    def __init__(self, *args: Any, papers: Iterable[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        papers = tuple(papers)
        words = {
            "required": gettext("Choose a file."),
            "missing": gettext("Choose a file."),
            "empty": gettext("The file is empty."),
        }
        self.fields["file"].error_messages |= words
        self.fields["file"].widget.attrs["accept"] = ".pdf,.png,.jpg,.jpeg,.txt,.csv,.eml,.docx,.xlsx"
        self.fields["paper"].choices = [(one, PAPERS[one].words) for one in papers]  # type: ignore[attr-defined]
        self.fields["paper"].help_text = _who_opens(papers)

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        # Refused by its size alone: a film is not read into memory first.
        if file.size > MOST_BYTES:
            raise ValidationError(too_large(file.size))
        return file


def _who_opens(papers: Iterable[str]) -> str:
    """Say which of the papers not everybody opens, since prices stand on them."""
    told: dict[str, list[str]] = {}
    for one in papers:
        if PAPERS[one].seen_by:
            told.setdefault(PAPERS[one].seen_by, []).append(PAPERS[one].words)
    return " ".join(_sentence(action, words) for action, words in told.items())


def _sentence(action: str, words: list[str]) -> str:
    declared = actions()[action]
    who = str(listed(declared.who.split(", ")))
    named = ", ".join(map(str, words[:-1])) + (f" {gettext('or')} " if len(words) > 1 else "") + str(words[-1])
    given = gettext(" and people the owner names") if declared.given else ""
    return gettext("Prices: only {who}{given} can open a document kept as {named}.").format(
        named=named, who=who, given=given
    )


def keep_page(
    request: SignedIn, *, title: str, papers: Iterable[str], owner: Any, keep: Callable[..., models.Model]
) -> HttpResponse:
    """Ask for a file to keep with `owner`, hand it to the verb `keep`, and go back to the owner's page."""

    def save(form: KeptFileForm) -> Any:
        file, given = form.cleaned_data["file"], {name: form.cleaned_data[name] for name in ("paper", "note")}
        keep(name=file.name, content=file.read(), person=request.user, **given)
        return owner

    return create_page(request, KeptFileForm, title=title, save=save, back=owner.get_absolute_url(), papers=papers)


def give_back(request: SignedIn, kept: KeptFile) -> HttpResponse:
    """The file as it was kept, to be saved: never shown inside the site, whatever it holds."""
    if kept.seen_by:
        require(request.user, kept.seen_by)
    try:
        with kept.file.open("rb") as file:
            content = file.read()
    except FileNotFoundError:
        raise Http404(
            gettext("{kept} is on record, but its file is not in the data folder.").format(kept=kept)
        ) from None
    response = HttpResponse(content, content_type=kept.content_type)
    response["Content-Disposition"] = content_disposition_header(True, kept.name)
    return response
