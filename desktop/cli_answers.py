"""How a command ends when it cannot be done: one line that says what is wrong and what to do, whatever went wrong."""

from __future__ import annotations

import errno
import os
import shutil
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from time import perf_counter

from desktop import terminal
from desktop.terminal import plain_reason

_FULL = (errno.ENOSPC, errno.EFBIG, errno.EDQUOT)
_SOME_ROOM = 1_000_000
_ASK_CHECK = "Ask “riserbook check {file}” whether the file is in order. "

def answered(what: str, run: Callable[[], int], *, file: Path | None = None, target: Path | None = None) -> int:
    """Run a command to its status, 1 when it could not be done and the person has been told why.

    Args:
        what: the command's own word, for the log.
        file: the firm's file it reads.
        target: the file or folder it writes.

    Raises:
        KeyboardInterrupt, SystemExit, BrokenPipeError, CannotSay: for the one who talks to the terminal.
    """
    from desktop import log_file
    from desktop.trouble import quiet_leftovers

    log_file.begin(what)
    began, status = perf_counter(), 1
    try:
        with quiet_leftovers():
            status = _done_or_told(run, file, target)
    finally:
        log_file.note_end(what, status, perf_counter() - began)
        log_file.write_down()
        log_file.stop()
    return status


def _done_or_told(run: Callable[[], int], file: Path | None, target: Path | None) -> int:
    from db.company_file.problems import CompanyProblem, DiskFull, Refused
    from desktop import log_file

    try:
        if file is not None:
            _must_be_a_name(file)
        return run()
    except DiskFull as problem:
        log_file.note_refused(problem)
        terminal.complain(
            f"this was not done: the disk with “{target or file or problem.path}” is full or does not answer. "
            "Free some space or choose another disk, then ask again."
        )
    except (CompanyProblem, Refused) as problem:
        log_file.note_refused(problem)
        command = getattr(problem, "command", "")
        terminal.complain(_one_line(str(problem) + (f" Run: {command}" if command else "")))
    except (BrokenPipeError, terminal.CannotSay):
        raise
    except OSError as error:
        log_file.note_refused(error)
        terminal.complain(system_words(error, file, target))
    except Exception as error:
        terminal.complain(_unexpected(error, file, target))
    return 1


def _must_be_a_name(file: Path) -> None:
    """Refuse what cannot be the name of a file, over which every later question would stumble.

    Raises:
        Refused: it names the home of nobody, or holds a sign no name has.
        OSError: it is too long for this system.
    """
    from db.company_file.problems import Refused

    try:
        file.expanduser().resolve().exists()
    except (RuntimeError, ValueError) as error:
        if "loop" in str(error).lower():
            raise Refused(
                f"“{file}” cannot be reached: its links lead round in a circle.",
                "Choose the file itself where it lies.",
            ) from None
        raise Refused(f"“{file}” names no file here.", "Give its path in full, or from where you are.") from None


def must_not_be_the_same(file: Path, out: Path) -> None:
    """Refuse to write over what is being read, under whatever name it goes.

    Raises:
        Refused: both are one file.
    """
    from db.company_file.problems import Refused

    with suppress(OSError):
        if os.path.samefile(file, out):
            raise Refused(f"“{out.name}” is the very file that is read.", "Write to another name.")


def must_be_no_folder(out: Path) -> None:
    """Refuse a folder where a file is to be written.

    Raises:
        Refused: it is one.
    """
    from db.company_file.problems import Refused

    if out.is_dir():
        raise Refused(f"“{out}” is a folder.", f"Name a file in it, for example {out / 'name'}{out.suffix}.")


def system_words(error: OSError, file: Path | None, target: Path | None) -> str:
    """What the system refused, of which file or folder, and what to do; names no file of the program's own."""
    path, writing = _what_it_was(error, file, target)
    if path is None:
        return _no_room_to_work(error)
    advice = _advice(error, path, writing)
    return f"“{path}” cannot be {'written' if writing else 'read'}: {plain_reason(error)}. {advice}"


def _what_it_was(error: OSError, file: Path | None, target: Path | None) -> tuple[Path | None, bool]:
    named = Path(os.fsdecode(error.filename)) if isinstance(error.filename, (str, bytes)) else None
    if named is None:
        if error.errno in _FULL and target is not None and not _only_passing_files_lack_room(target):
            return target, True
        return (None, True) if target is not None or file is None else (file, False)
    if target is not None and (named == target or named.parent == target.parent or target in named.parents):
        return target, True  # or a file of ours on the way to it
    if file is not None and named in (file, file.resolve()):
        return file, False
    return None, True


def _only_passing_files_lack_room(target: Path) -> bool:
    """Whether it is the folder for temporary files that is full, and not the disk that was to be written to."""
    try:
        return shutil.disk_usage(tempfile.gettempdir()).free < min(_SOME_ROOM, shutil.disk_usage(target.parent).free)
    except OSError:
        return False


def _advice(error: OSError, path: Path, writing: bool) -> str:
    if error.errno in _FULL:
        return "Free some space or choose another disk, then ask again."
    if not writing:
        return "Check the name, and that you may read it."
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return "Choose a folder of your own."
    if error.errno in (errno.ENOENT, errno.ENOTDIR):
        return f"Make the folder “{path.parent}” first, or choose another."
    return "Choose another name or folder, and close the file where it is open."


def _no_room_to_work(error: OSError) -> str:
    """The folder for passing files, or another of the system's own, is not as it must be."""
    if error.errno in _FULL:
        return "the disk with the folder for temporary files is full. Free some space, or set TMPDIR to a roomy folder."
    return (
        f"the folder for temporary files cannot be used ({plain_reason(error)}). "
        "Set TMPDIR to a folder of your own, then ask again."
    )


def why(error: Exception, file: Path | None = None) -> str:
    """Why a firm or the sample could not be opened, whatever stood in the way, for the window to say."""
    from db.company_file.problems import CompanyProblem, Refused
    from desktop import log_file

    if isinstance(error, OSError):
        words = system_words(error, file, None)
        words = words[:1].upper() + words[1:]
    elif isinstance(error, (CompanyProblem, Refused)):
        words = _one_line(str(error))
    else:
        return _unexpected(error, file, None, asking="")
    log_file.note_refused(error)
    return words


def _unexpected(
    error: Exception, file: Path | None, target: Path | None, asking: str = _ASK_CHECK
) -> str:
    """A fault of file or disk that came up late is told as one; of a bug a report is written."""
    from db.company_file.problems import problem_of
    from desktop import log_file
    from desktop.fault_report import write_report

    cause = getattr(error, "orig", None) or error
    if (at_fault := target or file) is not None and (problem := problem_of(cause, at_fault)) is not None:
        log_file.note_refused(error)
        return _one_line(str(problem))
    report = write_report(error, file)
    log_file.note_fault(error, report)
    first = asking.format(file=file) if file is not None else ""
    where = f"A report without anybody's data is in {report}" if report else "No report could be written"
    return f"that did not work, and the program does not know why. {first}{where}."


def _one_line(text: str) -> str:
    return " ".join(text.split())
