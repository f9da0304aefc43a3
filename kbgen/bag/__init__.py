"""The whole knowledge base in one folder for handing on: a bag after RFC 8493.

``form`` writes and reads the tag files, ``pack`` makes a bag, ``contents`` says what goes
into it, ``check`` says in plain words what is wrong with one.
"""

from kbgen.bag.check import Slip, check_bag
from kbgen.bag.pack import BagRefused, Packed, pack

__all__ = ["BagRefused", "Packed", "Slip", "check_bag", "pack"]
