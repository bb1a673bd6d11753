"""Words that any writer can put down: control characters and broken halves of letters shown, not passed on."""

import re

# Everything that XML 1.0 does not allow in a document, and the control characters that a font has no letter for.
_UNPRINTABLE = re.compile("[^\u0020-\u007e\u00a0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def printable(words: str) -> str:
    """Words on one line, with every character that cannot be printed replaced by �."""
    return _UNPRINTABLE.sub("\ufffd", re.sub(r"[\t\r\n]+", " ", words))
