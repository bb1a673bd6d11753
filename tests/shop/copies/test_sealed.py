"""A copy for another place is opened by the key's holder alone."""

from pathlib import Path

import pytest

from shop.copies import sealed
from shop.copies.bring_back import bring_back
from shop.copies.make import make_copy
from shop.copies.refusals import CopyRefused
from shop.copies.rehearse import rehearse
from shop.copies.site import Site
from shop.copies.sqlite import rows
from tests.shop.copies.conftest import NOW, left_in

pytest.importorskip("pyrage")


@pytest.fixture
def key(tmp_path: Path) -> Path:
    sealed.new_key(tmp_path / "key")
    return tmp_path / "key"


@pytest.fixture
def encrypted(site: Site, key: Path, tmp_path: Path) -> Path:
    public = key.read_text().splitlines()[0].split()[-1]
    return make_copy(site, tmp_path / "away", now=NOW, encrypt_to=[public]).path


def test_it_comes_back_with_its_key(site: Site, encrypted: Path, key: Path, elsewhere: Site) -> None:
    assert encrypted.name == "workshop-20261125-020000.zip.age"
    assert b"shop.sqlite3" not in encrypted.read_bytes()
    assert encrypted.stat().st_mode & 0o777 == key.stat().st_mode & 0o777 == 0o600
    bring_back(elsewhere, encrypted, now=NOW, key=key)
    assert rows(elsewhere.sqlite_file) == rows(site.sqlite_file)
    rehearse(site, encrypted, now=NOW, key=key)


def test_nothing_readable_is_left(site: Site, encrypted: Path) -> None:
    assert left_in(encrypted.parent) == {encrypted.name}
    assert not [name for name in left_in(site.data) if "copies" in name]


def test_without_its_key_or_with_another_it_is_refused(encrypted: Path, elsewhere: Site, tmp_path: Path) -> None:
    sealed.new_key(tmp_path / "other")
    (tmp_path / "nonsense").write_bytes(b"\xff\xfe")
    for key, words in [
        (None, "--key"),
        (tmp_path / "other", "does not open it"),
        (tmp_path / "nonsense", "holds no key"),
    ]:
        with pytest.raises(CopyRefused, match=words):
            bring_back(elsewhere, encrypted, now=NOW, key=key)
        assert left_in(elsewhere.data) == set()


@pytest.mark.parametrize("at", [0.01, 0.5, 0.99])
def test_a_changed_one_is_refused(encrypted: Path, key: Path, elsewhere: Site, at: float, tmp_path: Path) -> None:
    content = bytearray(encrypted.read_bytes())
    content[int(len(content) * at)] ^= 1
    (tmp_path / "bad").write_bytes(content)
    with pytest.raises(CopyRefused):
        bring_back(elsewhere, tmp_path / "bad", now=NOW, key=key)
    assert left_in(elsewhere.data) == set()


def test_one_cut_short_is_refused(encrypted: Path, key: Path, elsewhere: Site, tmp_path: Path) -> None:
    (tmp_path / "bad").write_bytes(encrypted.read_bytes()[:-200])
    with pytest.raises(CopyRefused, match="damaged or cut short"):
        bring_back(elsewhere, tmp_path / "bad", now=NOW, key=key)


def test_a_word_that_is_no_key_is_told(site: Site, tmp_path: Path) -> None:
    with pytest.raises(CopyRefused, match="--new-key"):
        make_copy(site, tmp_path / "away", now=NOW, encrypt_to=["hedda"])
    assert left_in(tmp_path / "away") == set()
