#!/usr/bin/env python
"""Commands for the person at this machine; without a production key they run in local mode (see shop/settings.py)."""

import os
import sys


def main() -> None:
    # Whatever a command writes, database, copies and keys, is for whoever runs it alone.
    os.umask(0o077)
    if "SHOP_SECRET_KEY" not in os.environ and sys.argv[1:2] != ["serve"]:
        os.environ.setdefault("SHOP_LOCAL", "1")
    if sys.argv[1:2] == ["demo"]:
        os.environ.setdefault("SHOP_TAX_PERCENT", "20")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    if sys.argv[1:] == ["calculate", "--lines", "-"]:
        # It asks nothing of a database, and setting up every room would cost more than a thousand answers.
        import gc

        from specs.engine.response import answer_lines

        gc.set_threshold(100_000)  # answers hold no circles of objects
        answer_lines(sys.stdin, sys.stdout)
        return
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import execute_from_command_line

    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as refused:
        sys.exit(f"Not started. {refused}")


if __name__ == "__main__":
    main()
