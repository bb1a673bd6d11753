from django.urls import path

from shop.replies.views import replies, reply

app_name = "replies"

urlpatterns = [
    path("", replies.replies, name="replies"),
    path("new/", reply.reply_new, name="reply-new"),
    path("<int:pk>/", reply.reply, name="reply"),
    path("<int:pk>/edit/", reply.reply_edit, name="reply-edit"),
    path("<int:pk>/done/", reply.reply_done, name="reply-done"),
    path("<int:pk>/delete/", reply.reply_delete, name="reply-delete"),
]
