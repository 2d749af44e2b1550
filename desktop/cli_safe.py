"""Backup and restore from the command line."""

from __future__ import annotations

import argparse
import sys

from db.company_file import back_up, restore
from db.company_file.container import is_under_password
from db.company_file.elsewhere import last_elsewhere
from db.company_file.examine import full_path
from db.company_file.problems import Refused
from db.company_file.restore_look import look_into, target_of

FORGOTTEN = "Nobody can open it without this password, and nobody can look the password up: keep it in a safe place."


def run_backup(options: argparse.Namespace) -> str:
    """Write a whole, checked backup and say what is in it."""
    password = password_for(options, twice=True)
    made = back_up(options.file, options.folder, password)
    lines = [f"Backed up to {made}", "It was read again from end to end, and every sum agrees."]
    last = last_elsewhere(full_path(options.file))
    if last is not None and last.path == made:
        lines.append(f"Photos and papers in it: {last.papers}.")
        lines += [f"Not in it, as it is not in the folder any more: {name}." for name in last.missing]
        if last.same_disk:
            lines.append("It lies on the same disk as the firm: keep one on another disk too.")
    if password is not None:
        lines.append(FORGOTTEN)
    return "\n".join(lines)


def run_restore(options: argparse.Namespace) -> str:
    """Put a backup back; what is there already is shown beside it first, and newer work only goes when told."""
    password = password_for(options)
    look = look_into(options.file, password)
    to = target_of(look, options.to)
    beside = look.beside(to, password)
    if (beside.lost.steps or beside.unknown) and not options.replace:
        why = "cannot be read" if beside.unknown else "holds work that the backup lacks"
        lost = "" if beside.unknown else f"Gone from {to.name} would be {beside.lost.words()}\n"
        raise Refused(
            f"Not restored, as {to.name} {why}.\nThe backup of {look.made_at} holds: {look.words}\n"
            f"{to.name} holds: {beside.words}\n{lost}",
            "If that is what you want, add --replace: what is there now is backed up first. Or restore into another "
            "folder and compare.",
        )
    safety = restore(to, options.file, password)
    lines = [f"Restored to {to}", look.words, *look.notes]
    if safety is not None:
        lines.append(f"What was there before is kept in {safety}")
    return "\n".join(lines)


def password_for(options: argparse.Namespace, *, twice: bool = False) -> str | None:
    """The password when one was promised: asked for on a terminal, else the first line of the input."""
    sealed = not twice and sys.stdin.isatty() and is_under_password(options.file)
    if not (options.password or sealed):
        return None
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    from getpass import getpass

    if twice:
        print(FORGOTTEN)
    password = getpass("Password: ")
    if twice and getpass("Again: ") != password:
        raise Refused("The two passwords are not the same.", "Nothing was written. Try again.")
    return password

