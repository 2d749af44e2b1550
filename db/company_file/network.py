"""Folders in which nothing keeps two programs from writing one file at once: recognised, and refused in words."""

from __future__ import annotations

import os
import sys
import tempfile
from contextlib import suppress
from pathlib import Path

from db.company_file.problems import no_locks

# Kinds of mounts whose locks hold on this computer alone, or not at all, and those where the way they were mounted
# decides: Linux man pages nfs(5) ("nolock", "local_lock") and mount.cifs(8) ("nobrl"), from memory.
_NEVER = {"fuse.sshfs", "fuse.rclone", "fuse.curlftpfs", "davfs", "fuse.davfs2", "fuse.gvfsd-fuse", "fuse.s3fs"}
_LOCAL = {"ext2", "ext3", "ext4", "xfs", "btrfs", "zfs", "f2fs", "tmpfs", "overlay", "vfat", "exfat", "ntfs3"}
_BY_OPTION = {
    "nfs": {"nolock", "local_lock=all", "local_lock=posix"},
    "nfs4": {"nolock", "local_lock=all", "local_lock=posix"},
    "cifs": {"nobrl"},
    "smb3": {"nobrl"},
    "smbfs": {"nobrl"},
}


def must_have_locks(path: Path) -> None:
    """Refuse a folder in which the lock that keeps two windows apart would not hold.

    Raises:
        NoLocks: with where to put the file instead.
    """
    if not folder_locks(path.parent):
        raise no_locks(path)


def folder_locks(folder: Path) -> bool:
    """Whether a file in the folder can be locked against another program, as far as this computer can tell."""
    kind, options = _mount_of(folder)
    if kind in _NEVER or _BY_OPTION.get(kind, set()) & options:
        return False
    return kind in _LOCAL or _locks_are_kept(folder)


def _mount_of(folder: Path, table: Path = Path("/proc/self/mountinfo")) -> tuple[str, set[str]]:
    """Kind and options of the mount a folder lies on; an empty kind where the system does not tell."""
    best, found = -1, ("", set[str]())
    with suppress(OSError, ValueError):
        for line in table.read_text("utf-8", "replace").splitlines():
            before, _, after = line.partition(" - ")
            place = before.split()[4].encode().decode("unicode_escape")
            kind, _, *more = after.split()
            here = Path(place)
            if (folder == here or here in folder.parents) and len(here.parts) >= best:
                best = len(here.parts)
                found = (kind, {*before.split()[5].split(","), *",".join(more).split(",")})
    return found


def _locks_are_kept(folder: Path) -> bool:
    """Two locks of one program that see each other (open file descriptions, Linux): the second must be refused."""
    if sys.platform != "linux":
        return True
    import fcntl
    import struct

    ask = struct.pack("hhqqi4x", fcntl.F_WRLCK, os.SEEK_SET, 0, 1, 0)
    try:
        handle, name = tempfile.mkstemp(prefix=".", suffix=".lock-probe", dir=folder)
    except OSError:
        return True  # that the folder cannot be written is told elsewhere
    second = -1
    try:
        second = os.open(name, os.O_RDWR)
        os.unlink(name)
        fcntl.fcntl(handle, fcntl.F_OFD_SETLK, ask)
        try:
            fcntl.fcntl(second, fcntl.F_OFD_SETLK, ask)
        except BlockingIOError:
            return True
        return False
    except OSError as error:
        import errno

        return error.errno not in (errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP)
    finally:
        os.close(handle)
        if second >= 0:
            os.close(second)
        with suppress(OSError):
            os.unlink(name)
