"""A cache of compiled templates, the theme's and ours, in Jinja's folder among the user's temporary files.

Compiling the theme takes longer than compiling all of our templates. The output is the same with and
without the cache, and a cache that cannot be read or written never fails a build.
"""

from __future__ import annotations

import hashlib
from contextlib import suppress

import jinja2
from jinja2.bccache import Bucket


class TemplateCache(jinja2.FileSystemBytecodeCache):
    """Jinja's file cache, keyed by the template's name, source and compiler settings instead of its path.

    A second copy of the same templates in another folder therefore shares the entries. Errors of
    a full or read-only disk are ignored.
    """

    def __init__(self, environment: jinja2.Environment) -> None:
        super().__init__(pattern="forty-paces-%s.jinja")
        self.manner = repr(
            (
                jinja2.__version__,
                environment.autoescape if isinstance(environment.autoescape, bool) else "by name",
                environment.trim_blocks,
                environment.lstrip_blocks,
                environment.keep_trailing_newline,
                sorted(environment.extensions),
            )
        )

    def get_bucket(
        self, environment: jinja2.Environment, name: str, filename: str | None, source: str
    ) -> Bucket:
        """The cache entry of this source, empty where there is none."""
        key = hashlib.sha256("\0".join((self.manner, name, source)).encode()).hexdigest()
        bucket = Bucket(environment, key, self.get_source_checksum(source))
        self.load_bytecode(bucket)
        return bucket

    def load_bytecode(self, bucket: Bucket) -> None:
        """Load the entry, ignoring read errors."""
        with suppress(OSError):
            super().load_bytecode(bucket)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Store the entry, ignoring write errors."""
        with suppress(OSError):
            super().dump_bytecode(bucket)


def cache_compiled_templates(environment: jinja2.Environment) -> None:
    """Attach the cache to an environment, where the user has a private temporary folder."""
    with suppress(OSError, RuntimeError):  # no temporary folder is private to this user
        environment.bytecode_cache = TemplateCache(environment)
