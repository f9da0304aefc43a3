"""The site as its writer sees it: pages made as they are asked for, findings beside them.

``watch`` notices what was saved, ``proofs`` loads and checks the tree and makes pages,
``panel`` sets the findings, ``answers`` turns a request into an answer, ``server`` speaks
HTTP with whoever connects. Nothing is ever written to the disk.
"""

from kbgen.proof.proofs import Proofs
from kbgen.proof.server import Server

__all__ = ["Proofs", "Server"]
