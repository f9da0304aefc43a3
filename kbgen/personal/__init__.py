"""What tells who somebody is, found in plain text: addresses, telephone numbers, full names.

Knows no files and no findings; intake takes out what is found here, and the check refuses
a tree in which one is left.
"""

from kbgen.personal.data import CONTACTS, Personal, PersonalKind, digits_of, personal_in, region_of
from kbgen.personal.names import full_names_in, initials, is_full_name, name_words

__all__ = [
    "CONTACTS",
    "Personal",
    "PersonalKind",
    "digits_of",
    "full_names_in",
    "initials",
    "is_full_name",
    "name_words",
    "personal_in",
    "region_of",
]
