"""A copy as one file: a zip whose last 64 letters are the SHA-256 of every byte before them.

Any office machine opens it. The seal finds one changed bit anywhere, before anything in the file is believed; the
manifest then tells a whole copy from one that was put together by somebody else.
"""

import hashlib
import os
import shutil
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import IO

from django.utils.translation import gettext

from shop.copies.manifest import FileMark, Manifest
from shop.copies.refusals import CopyRefused, told_in_words

MANIFEST = "manifest.json"
SEAL_LETTERS = 64
CHUNK = 1 << 20
LONGEST_MANIFEST = 64 << 20
# A damaged or hostile zip raises any of these; each means the same to the reader.
BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    ValueError,
    RuntimeError,
    NotImplementedError,
    OverflowError,
    KeyError,
)


def create_private(path: Path) -> IO[bytes]:
    """Open a new file that nobody but its owner may read."""
    return os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o600), "w+b")


def write_archive(path: Path, members: Iterable[tuple[str, Path]], facts: Manifest) -> Manifest:
    """Write the files under their names, then the facts with each file's mark, then the seal; on the disk when done."""
    with create_private(path) as file:
        with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, allowZip64=True, compresslevel=5) as packed:
            marks = {name: _pack(packed, name, source) for name, source in members}
            whole = replace(facts, files=marks)
            packed.writestr(MANIFEST, whole.to_json())
            packed.comment = b"0" * SEAL_LETTERS
        file.seek(-SEAL_LETTERS, os.SEEK_END)
        end = file.tell()
        seal = _digest_of(file, end)
        file.seek(end)
        file.write(seal.encode())
        file.flush()
        os.fsync(file.fileno())
    return whole


def _pack(packed: zipfile.ZipFile, name: str, source: Path) -> FileMark:
    info = zipfile.ZipInfo.from_file(source, name, strict_timestamps=False)
    info.compress_type = zipfile.ZIP_DEFLATED
    with source.open("rb") as content, packed.open(info, "w", force_zip64=True) as target:
        return _copied(content, target.write)


def _copied(content: IO[bytes], write: Callable[[bytes], object], most: int | None = None) -> FileMark:
    """Copy all of it, at most so many bytes and one more, so that a reader sees where there was too much."""
    digest, size = hashlib.sha256(), 0
    while chunk := content.read(CHUNK if most is None else min(CHUNK, most + 1 - size)):
        digest.update(chunk)
        size += len(chunk)
        write(chunk)
    return FileMark(size, digest.hexdigest())


def _digest_of(file: IO[bytes], end: int) -> str:
    file.seek(0)
    digest, left = hashlib.sha256(), end
    while left and (chunk := file.read(min(CHUNK, left))):
        digest.update(chunk)
        left -= len(chunk)
    return digest.hexdigest()


def copy_private(source: Path, target: Path) -> None:
    """Copy a file to a place of its owner's only; on the disk when done."""
    with source.open("rb") as content, create_private(target) as file:
        _copied(content, file.write)
        file.flush()
        os.fsync(file.fileno())


def digest_of_file(path: Path) -> str:
    """The SHA-256 of a file, as hexadecimal digits."""
    with path.open("rb") as file:
        return _digest_of(file, file.seek(0, os.SEEK_END))


def refuse_broken_seal(path: Path) -> None:
    """Raise CopyRefused unless every byte of the file is as it was written."""
    with path.open("rb") as file:
        size = file.seek(0, os.SEEK_END)
        if size == 0:
            raise CopyRefused(gettext("{name} is empty: 0 bytes.").format(name=path.name))
        end = max(size - SEAL_LETTERS, 0)
        if _digest_of(file, end).encode() != file.read():
            raise CopyRefused(
                gettext(
                    "{name} is damaged, cut short, or no copy of this program: its last 64 letters are not the "
                    "SHA-256 of what stands before them. Take another copy."
                ).format(name=path.name)
            )


def read_manifest(path: Path) -> Manifest:
    """The facts of a copy whose seal is whole."""
    refuse_broken_seal(path)
    with _reading(path) as packed:
        return _manifest(packed)


@contextmanager
def _reading(path: Path) -> Iterator[zipfile.ZipFile]:
    try:
        with zipfile.ZipFile(path) as packed:
            yield packed
    except BROKEN as broken:
        raise CopyRefused(
            gettext("{name} cannot be unpacked ({broken}). Take another copy.").format(
                name=path.name, broken=str(broken)[:120]
            )
        ) from None


def _manifest(packed: zipfile.ZipFile) -> Manifest:
    names = packed.namelist()
    if MANIFEST not in names:
        raise CopyRefused(gettext("It holds no manifest, so it is no copy of this program."))
    with packed.open(MANIFEST) as file:
        text = file.read(LONGEST_MANIFEST + 1)
    if len(text) > LONGEST_MANIFEST:
        raise CopyRefused(gettext("Its manifest is longer than any copy's."))
    manifest = Manifest.from_json(text)
    if len(set(names)) != len(names):
        raise CopyRefused(gettext("It holds two files of one name."))
    if lacking := manifest.files.keys() - set(names):
        raise CopyRefused(
            gettext("{lacking} files of its manifest are missing from it, {sorted} among them.").format(
                lacking=len(lacking), sorted=sorted(lacking)[0]
            )
        )
    if more := set(names) - manifest.files.keys() - {MANIFEST}:
        raise CopyRefused(
            gettext("It holds files that its manifest does not name, {sorted} among them.").format(
                sorted=f"{sorted(more)[0][:80]!r}"
            )
        )
    return manifest


def unpack(path: Path, folder: Path) -> Manifest:
    """Unpack a copy into an empty folder of its own and compare each file with its mark.

    Raises CopyRefused for what differs, what is missing, what is too much, and what the disk cannot hold.
    """
    refuse_broken_seal(path)
    with told_in_words(folder), _reading(path) as packed:
        manifest = _manifest(packed)
        if manifest.size > shutil.disk_usage(folder).free:
            raise CopyRefused(
                gettext("It unpacks to {size} bytes, more than the disk of {folder} has free.").format(
                    size=f"{manifest.size:,}", folder=folder
                )
            )
        for name, mark in manifest.files.items():
            _unpack_one(packed, name, mark, folder)
    return manifest


def _unpack_one(packed: zipfile.ZipFile, name: str, mark: FileMark, folder: Path) -> None:
    target = folder / name
    for made in reversed([one for one in target.parents if one.is_relative_to(folder) and not one.exists()]):
        made.mkdir(mode=0o700)
    with packed.open(name) as content, create_private(target) as file:
        found = _copied(content, file.write, most=mark.size)
        file.flush()
        os.fsync(file.fileno())
    if found != mark:
        raise CopyRefused(
            gettext("{name} in the copy is not what was copied: its size or SHA-256 differs from the manifest.").format(
                name=name
            )
        )
