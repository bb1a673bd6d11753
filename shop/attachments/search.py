from django.utils.translation import gettext

from shop.attachments.models import OWNERS, Attachment
from shop.base.language import gettext_lazy, word
from shop.base.search import Searched

SEARCHED = [
    Searched(
        gettext_lazy("Document"),
        66,
        Attachment,
        name=lambda attachment: attachment.name,
        words=lambda attachment: (attachment.note, attachment.paper_words),
        note=lambda attachment: gettext("{paper} of {owner_kind} {owner}").format(
            paper=attachment.paper_words, owner_kind=word(attachment.owner_name), owner=attachment.owner
        ),
        show=lambda rows: rows.select_related(*OWNERS, "job__vehicle"),
        address=lambda attachment: f"{attachment.owner.get_absolute_url()}#documents",
    )
]
