from django.apps import AppConfig
from django.core.signals import request_finished, request_started
from django.db.backends.signals import connection_created
from django.db.models.signals import post_migrate
from django.utils.translation import gettext, gettext_lazy


class BaseConfig(AppConfig):
    name = "shop.base"
    label = "base"
    verbose_name = gettext_lazy("Page building")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from shop.base import kept_connections, table_marks
        from shop.base.language import leave_out_empty_catalogues
        from shop.base.state_mark import write_back
        from shop.base.trigrams import prepare
        from shop.base.written import shop_form
        from specs.phrase import set_translation
        from specs.written import in_prose, set_usual

        leave_out_empty_catalogues()
        set_usual(shop_form)
        set_translation(lambda message: in_prose(gettext(message)))
        request_finished.connect(write_back, dispatch_uid="base.write_back")
        request_started.connect(kept_connections.leave_replaced_files, dispatch_uid="base.leave_replaced_files")
        connection_created.connect(kept_connections.remember_file, dispatch_uid="base.remember_file")
        connection_created.connect(table_marks.watch_writes, dispatch_uid="base.watch_writes")
        post_migrate.connect(table_marks.prepare, sender=self, dispatch_uid="base.prepare_table_marks")
        post_migrate.connect(prepare, sender=self, dispatch_uid="base.prepare_trigrams")
