from shop.attachments.models import OWNERS, Attachment
from shop.base.search import Searched

SEARCHED = [
    Searched(
        "Document",
        66,
        Attachment,
        name=lambda attachment: attachment.name,
        words=lambda attachment: (attachment.note, attachment.paper_words),
        note=lambda attachment: f"{attachment.paper_words} of {attachment.owner_name} {attachment.owner}",
        show=lambda rows: rows.select_related(*OWNERS, "job__vehicle"),
        address=lambda attachment: f"{attachment.owner.get_absolute_url()}#documents",
    )
]
