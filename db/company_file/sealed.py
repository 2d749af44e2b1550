"""A stream under a password: what leaves the house can be read by nobody who does not know it.

libsodium does it (through PyNaCl): the key comes from the password by Argon2id, the stream is its "secretstream"
(XChaCha20-Poly1305 in pieces), in which no piece can be changed, left out, moved or cut off at the end without being
noticed. Each piece is a mebibyte, so that a large folder of photos takes no more memory than a small one.

Layout: MARK, then operations and memory of Argon2id (4 bytes each, big-endian), 16 bytes of salt, 24 bytes of the
stream's own head; then one empty piece that tells a wrong password from damage; then the pieces, the last marked so.
"""

from __future__ import annotations

import io
import secrets
import struct
from typing import IO

MARK = b"Riserbook sealed backup 1\n"
SHORTEST_PASSWORD = 8
PIECE = 1 << 20
_NUMBERS = struct.Struct(">II")
_SALT, _HEAD, _MORE = 16, 24, 17
_MOST_OPERATIONS, _MOST_MEMORY = 16, 1 << 30
OPERATIONS, MEMORY = 3, 256 << 20
"""libsodium's "moderate" figures for Argon2id (its documentation, "Password hashing"; here from PyNaCl's constants)."""


class WrongPassword(Exception):
    """The password is not the one the stream was sealed with, or its first bytes were changed."""


class CutShort(Exception):
    """The stream ends before its marked end, or a piece of it was changed."""


def is_sealed(beginning: bytes) -> bool:
    """True for a file that begins as a sealed stream does."""
    return beginning.startswith(MARK)


class SealingStream(io.RawIOBase):
    """Writes what it is given, sealed, to another stream; `finish` marks the end. It does not close that stream."""

    def __init__(self, out: IO[bytes], password: str) -> None:
        from nacl import bindings

        operations, memory = OPERATIONS, MEMORY

        self._out = out
        self._waiting = bytearray()
        self._state = bindings.crypto_secretstream_xchacha20poly1305_state()
        salt = secrets.token_bytes(_SALT)
        told = MARK + _NUMBERS.pack(operations, memory) + salt
        key = _key(password, salt, operations, memory)
        head = bindings.crypto_secretstream_xchacha20poly1305_init_push(self._state, key)
        out.write(told + head)
        self._push(b"", told)

    def writable(self) -> bool:
        return True

    def write(self, data: bytes) -> int:  # type: ignore[override]
        self._waiting += data
        while len(self._waiting) > PIECE:  # the last piece waits for `finish`, which marks it
            self._push(bytes(self._waiting[:PIECE]))
            del self._waiting[:PIECE]
        return len(data)

    def finish(self) -> None:
        """Write the last piece and mark it as the last."""
        from nacl.bindings import crypto_secretstream_xchacha20poly1305_TAG_FINAL as final

        self._push(bytes(self._waiting), tag=final)
        self._waiting.clear()

    def _push(self, piece: bytes, told: bytes | None = None, tag: int = 0) -> None:
        from nacl.bindings import crypto_secretstream_xchacha20poly1305_push as push

        self._out.write(push(self._state, piece, told, tag))


class UnsealingStream(io.RawIOBase):
    """Reads what was sealed. Every byte it gives was proved to be as written.

    Raises:
        WrongPassword: when it is made.
        CutShort: when it is made or read from.
    """

    def __init__(self, source: IO[bytes], password: str) -> None:
        from nacl import bindings

        self._source = source
        self._ready = b""
        self._place = 0
        self._ended = False
        told = source.read(len(MARK) + _NUMBERS.size + _SALT)
        head = source.read(_HEAD)
        if len(head) != _HEAD:
            raise CutShort
        operations, memory = _NUMBERS.unpack_from(told, len(MARK))
        if not (1 <= operations <= _MOST_OPERATIONS and 8192 <= memory <= _MOST_MEMORY):
            raise CutShort  # nothing of ours asks for that; a made-up file shall not fill the memory
        key = _key(password, told[-_SALT:], operations, memory)
        self._state = bindings.crypto_secretstream_xchacha20poly1305_state()
        bindings.crypto_secretstream_xchacha20poly1305_init_pull(self._state, head, key)
        first = source.read(_MORE)
        if len(first) != _MORE:
            raise CutShort
        if self._pull(first, told) is None:
            raise WrongPassword

    def readable(self) -> bool:
        return True

    def read(self, size: int = -1) -> bytes:
        parts: list[bytes] = []
        wanted = size if size >= 0 else 1 << 62
        while wanted > 0:
            if self._place == len(self._ready):
                if self._ended:
                    break
                self._next_piece()
                continue
            part = self._ready[self._place : self._place + wanted]
            self._place += len(part)
            wanted -= len(part)
            parts.append(part)
        return b"".join(parts)

    def drain(self) -> None:
        """Read to the marked end, so that a cut is noticed also when nobody wants the rest."""
        while self.read(PIECE):
            pass
        if self._source.read(1):
            raise CutShort

    def _next_piece(self) -> None:
        from nacl.bindings import crypto_secretstream_xchacha20poly1305_TAG_FINAL as final

        pulled = self._pull(self._source.read(PIECE + _MORE), None)
        if pulled is None:
            raise CutShort
        self._ready, tag = pulled
        self._place = 0
        self._ended = tag == final

    def _pull(self, piece: bytes, told: bytes | None) -> tuple[bytes, int] | None:
        from nacl.bindings import crypto_secretstream_xchacha20poly1305_pull as pull
        from nacl.exceptions import CryptoError

        if len(piece) < _MORE:
            return None
        try:
            read: tuple[bytes, int] = pull(self._state, piece, told)
        except (CryptoError, RuntimeError):
            return None
        return read


def _key(password: str, salt: bytes, operations: int, memory: int) -> bytes:
    import unicodedata

    from nacl.pwhash import argon2id

    plain = unicodedata.normalize("NFC", password).encode("utf-8", "surrogatepass")
    key: bytes = argon2id.kdf(32, plain, salt, opslimit=operations, memlimit=memory)
    return key
