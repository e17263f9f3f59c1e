"""What may stand in a backup: a name or a link that leads elsewhere is refused before anything is unpacked."""

from __future__ import annotations

import tarfile

import pytest

from portal.backup import archive
from tests.portal.backup.tars import written


def link(name: str, to: str) -> tarfile.TarInfo:
    info = tarfile.TarInfo(name)
    info.type, info.linkname = tarfile.SYMTYPE, to
    return info


@pytest.mark.parametrize(
    "member",
    ["../secret-key", "/etc/passwd", "media/../../x", "media/a/../b", "media//a", "media/", "other", "media/a\\..\\b"],
)
def test_a_name_that_leads_elsewhere_is_refused(member, tmp_path):
    file = written(tmp_path / "evil.tar", [(member, b"x"), ("manifest.json", b'{"format": 1, "files": []}')])
    with pytest.raises(archive.Unusable, match="belongs into no backup"):
        archive.verified(file)


def test_a_link_is_refused(tmp_path):
    file = written(tmp_path / "evil.tar", [(link("media/originals/x", "/etc/passwd"), b"")])
    with pytest.raises(archive.Unusable, match="belongs into no backup"):
        archive.verified(file)
