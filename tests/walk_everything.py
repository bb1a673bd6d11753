"""Walk every address with every record of the demo, and send every form: python -m tests.walk_everything

Prints how many requests that were, and the slowest. Further words go to pytest: -k orders walks the room of orders.
"""

import os
import sys
from pathlib import Path

import pytest


def main() -> int:
    """Walk, and return what pytest returns."""
    os.environ["SHOP_WALK"] = "all"
    return pytest.main(["-s", "-p", "no:cacheprovider", str(Path(__file__).with_name("test_walk.py")), *sys.argv[1:]])


if __name__ == "__main__":
    sys.exit(main())
