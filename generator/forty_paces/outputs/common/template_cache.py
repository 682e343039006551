"""Templates compiled once a machine: the theme's, which cost more than all of ours, and our own.

In: a template environment. Out: the same, taking compiled templates from the folder
that Jinja keeps for the user among the machine's temporary files. Refuses to let a
build fail, or to make anything else than without it: what cannot be kept is compiled.
"""

from __future__ import annotations

import hashlib
from contextlib import suppress

import jinja2
from jinja2.bccache import Bucket


class TemplateCache(jinja2.FileSystemBytecodeCache):
    """Jinja's own store, under names that tell what was compiled and how, not where it lies.

    A second copy of the same templates is found, whatever its folder. A full or read-only
    disk keeps nothing, and says nothing.
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
        """The compiled template of this source, maybe empty."""
        key = hashlib.sha256("\0".join((self.manner, name, source)).encode()).hexdigest()
        bucket = Bucket(environment, key, self.get_source_checksum(source))
        self.load_bytecode(bucket)
        return bucket

    def load_bytecode(self, bucket: Bucket) -> None:
        """Fill it, where that can be done."""
        with suppress(OSError):
            super().load_bytecode(bucket)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep it, where that can be done."""
        with suppress(OSError):
            super().dump_bytecode(bucket)


def cache_compiled_templates(environment: jinja2.Environment) -> None:
    """Take templates compiled before, and keep those that are compiled now."""
    with suppress(OSError, RuntimeError):  # there is no folder that is this user's alone
        environment.bytecode_cache = TemplateCache(environment)
