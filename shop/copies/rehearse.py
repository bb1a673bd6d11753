"""Bring the newest copy back into nothing, compare, and record the result: an untried copy is a hope."""

from dataclasses import replace
from datetime import datetime
from pathlib import Path

from django.utils.translation import gettext

from shop.copies import postgres, sqlite
from shop.copies.archive import digest_of_file
from shop.copies.bring_back import bring_back, checked
from shop.copies.manifest import DATABASE, Manifest
from shop.copies.names import alone_in, newest_copy, work_folder
from shop.copies.record import Proof, keep_proof
from shop.copies.refusals import CopyRefused
from shop.copies.site import SQLITE, Site


def rehearse(site: Site, copies: Path, *, now: datetime, key: Path | None = None) -> Proof:
    """Bring a copy, the newest where a folder is named, back on trial; record the result and return it.

    Raises CopyRefused where it does not come back equal, after that was recorded too.
    """
    named = copies.name
    try:
        copy = newest_copy(copies) if copies.is_dir() else copies
        named = copy.name
        with alone_in(site.data):
            manifest = prove(site, copy, key=key, now=now)
    except CopyRefused as refused:
        keep_proof(Proof(now, named, None, str(refused)), site.data)
        raise
    proof = Proof(now, named, manifest.made_at, missing=len(manifest.missing))
    keep_proof(proof, site.data)
    return proof


def prove(site: Site, copy: Path, *, now: datetime, key: Path | None = None) -> Manifest:
    """Bring a copy back where nobody sees it and compare every count and digest."""
    if site.kind != SQLITE:
        with checked(site, copy, key) as good:
            postgres.rehearse(site, good.folder, good.manifest)
            return good.manifest
    with work_folder(site.data) as nothing:
        database = {**site.database, "NAME": str(nothing / "there" / DATABASE)}
        trial = replace(site, database=database, data=nothing / "there", files=nothing / "there" / "files")
        manifest = bring_back(trial, copy, now=now, key=key, above=0).manifest
        _compare(trial, manifest)
    return manifest


def _compare(trial: Site, manifest: Manifest) -> None:
    sqlite.refuse_other_content(trial.sqlite_file, manifest)
    for name, mark in manifest.files.items():
        found = digest_of_file(trial.data / name)
        if found != mark.sha256:
            raise CopyRefused(
                gettext("{name} came back with another SHA-256 than it was copied with.").format(name=name)
            )
