"""Pictures are kept as drawn anew: what a camera or a stranger wrote beside the picture does not come along."""

from __future__ import annotations

from io import BytesIO

from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.file_kinds import JPEG, PICTURES, FileKind

MOST_PIXELS = 50_000_000
JPEG_QUALITY = 90


class PictureError(ValueError):
    """A file that begins as a picture and cannot be drawn, or is far larger than a camera's."""


def as_kept(content: bytes, kind: FileKind) -> bytes:
    """Return the bytes that are kept: a picture drawn anew, all else as it is. Raises ValidationError in words."""
    try:
        return drawn_anew(content, kind) if kind in PICTURES else content
    except PictureError as refused:
        raise ValidationError({"file": str(refused)}) from refused


def drawn_anew(content: bytes, kind: FileKind) -> bytes:
    """Return the picture in its own kind, turned upright, without places, remarks or anything after its end."""
    from PIL import Image, ImageOps

    try:
        with Image.open(BytesIO(content), formats=["JPEG", "PNG"]) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise PictureError(gettext("This picture has far more points than a camera takes: make it smaller."))
            upright = ImageOps.exif_transpose(picture)
            out = BytesIO()
            if kind is JPEG:
                upright.convert("RGB").save(out, "JPEG", quality=JPEG_QUALITY, optimize=True)
            else:
                clean = Image.new("RGBA", upright.size)
                clean.paste(upright.convert("RGBA"))
                clean.save(out, "PNG", optimize=True)
    except PictureError:
        raise
    except Exception as reason:  # the library raises what its decoders do: no list of them is complete
        raise PictureError(gettext("This picture cannot be read: save it again, and choose the new file.")) from reason
    return out.getvalue()
