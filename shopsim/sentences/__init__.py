"""The answer in plain words, first thing a reader sees, never claiming more than the runs can tell.

One module a study; each gives an `Answer`.
"""

from shopsim.sentences.on_paper import sound
from shopsim.sentences.standing import as_we_are
from shopsim.sentences.words import Answer, opening, spoken, weeks_text

__all__ = ["Answer", "as_we_are", "opening", "sound", "spoken", "weeks_text"]
