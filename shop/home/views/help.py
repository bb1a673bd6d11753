"""Help."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext

from shop.base.access import reads
from shop.home.help_pages import about, topics


@reads()
def help(request: HttpRequest) -> HttpResponse:
    """Every page of help; from a page of the site, straight to the section about that page."""
    section = about(request.GET.get("page", ""))
    if section:
        return redirect(section.address)
    return render(request, "home/help.html", {"title": gettext("Help"), "topics": topics().values()})


@reads()
def help_topic(request: HttpRequest, name: str) -> HttpResponse:
    """The help of one place."""
    topic = topics().get(name)
    if topic is None:
        raise Http404(gettext("There is no help called {name}.").format(name=name))
    return render(request, "home/help_topic.html", {"title": topic.title, "topic": topic})
