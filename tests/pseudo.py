"""A language made of English: accents on every vowel, a third longer, slots and tags as they are.

What is shown without an accent in a page built in it was not looked up by its id.
"""

import re

import babel.messages.pofile

ACCENTS = str.maketrans("aeiounAEIOUN", "áéíóúñÁÉÍÓÚÑ")
KEPT = re.compile(r"(%\(\w+\)s|%%|\{[\w-]*\}|</?[a-zA-Z][^>]*>|&\w+;)")


def pseudo(english, text_id=""):
    """The text in the pseudo-language. How a second part of a reason begins stays as long as it is."""
    parts = KEPT.split(english)
    accented = "".join(part if at % 2 else part.translate(ACCENTS) for at, part in enumerate(parts))
    return accented if text_id.startswith("openings.") else accented + _words(len(english) // 3)


def _words(length):
    """So many signs, in short words: one long word would be too wide for any column, which proves nothing."""
    return " ".join("~" * len(part) for part in re.findall(".{1,6}", "~" * length))


def translated(template):
    """A catalog file with every text of the template translated, as bytes."""
    import io

    catalog = babel.messages.pofile.read_po(io.BytesIO(template), locale="eo")
    for entry in catalog:
        if entry.id:
            entry.string = pseudo(entry.id, entry.context)
    written = io.BytesIO()
    babel.messages.pofile.write_po(written, catalog, width=0)
    return written.getvalue()
