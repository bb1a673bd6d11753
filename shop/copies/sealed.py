"""Copies that only the holder of a key can read: the age format, by pyrage (an optional extra)."""

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from django.utils.translation import gettext

from shop.copies.archive import create_private
from shop.copies.refusals import CopyRefused, told_in_words

FIRST_BYTES = b"age-encryption.org/"


def is_encrypted(path: Path) -> bool:
    with path.open("rb") as file:
        return file.read(len(FIRST_BYTES)) == FIRST_BYTES


def encrypt(plain: Path, target: Path, recipients: Sequence[str]) -> None:
    """Write a copy that only the keys of the recipients open; on the disk when done."""
    known = _recipients(recipients)
    create_private(target).close()
    with told_in_words(target.parent), plain.open("rb") as content, target.open("r+b") as file:
        try:
            _pyrage().encrypt_io(content, file, known)
        except _pyrage().EncryptError as failed:
            raise OSError(str(failed)) from None
        file.flush()
        os.fsync(file.fileno())


def decrypt(path: Path, target: Path, key: Path | None) -> None:
    """Write what the key opens into a new file."""
    if key is None:
        raise CopyRefused(
            gettext("{name} is encrypted: name the file that holds its key with --key.").format(name=path.name)
        )
    identities = _identities(key)
    with told_in_words(target.parent), path.open("rb") as content, create_private(target) as file:
        try:
            _pyrage().decrypt_io(content, file, identities)
        except _pyrage().DecryptError as failed:
            words = (
                gettext("this key does not open it")
                if "No matching" in str(failed)
                else gettext("it is damaged or cut short")
            )
            raise CopyRefused(f"{path.name}: {words}.") from None
        except OSError as failed:
            if failed.errno is None:  # the library's own word for a block that does not decrypt
                raise CopyRefused(gettext("{name}: it is damaged or cut short.").format(name=path.name)) from None
            raise


def new_key(path: Path) -> str:
    """Keep a new key in a file of its owner's only; return the word that copies are encrypted to."""
    identity = _pyrage().x25519.Identity.generate()
    with told_in_words(path), create_private(path) as file:
        file.write(f"# copies are encrypted to {identity.to_public()}\n{identity}\n".encode())
        file.flush()
        os.fsync(file.fileno())
    return str(identity.to_public())


def _recipients(words: Sequence[str]) -> list[Any]:
    age = _pyrage()
    try:
        return [age.x25519.Recipient.from_str(word) for word in words]
    except age.RecipientError:
        raise CopyRefused("--encrypt-to takes what manage.py backup --new-key prints, such as age1….") from None


def _identities(key: Path) -> list[Any]:
    age = _pyrage()
    try:
        lines = [line.strip() for line in key.read_text().splitlines()]
        found = [age.x25519.Identity.from_str(line) for line in lines if line and not line.startswith("#")]
    except (OSError, UnicodeDecodeError, age.IdentityError):
        found = []
    if not found:
        raise CopyRefused(gettext("{key} holds no key, or cannot be read.").format(key=key))
    return found


def _pyrage() -> Any:
    try:
        import pyrage
    except ImportError:
        raise CopyRefused(gettext("Encrypted copies need one more library: pip install -e '.[offsite]'")) from None
    return pyrage
