"""Pictures of holes mended, bolts mixed up, tension, shuttle, pedal and stamped numbers."""

from __future__ import annotations

from sketch import ACCENT, BRASS, INK, PAPER, STEEL, WHITE, Point, Sketch

__all__ = ["PICTURES"]


def tension_balance() -> Sketch:
    """Where two threads hook each other: on top, below, inside the cloth."""
    paper = Sketch()
    for top, knot, words, right in (
        (70, -34, "upper too strong: dots on top", False),
        (250, 34, "upper too weak: loops below", False),
        (430, 0, "the knot lies inside", True),
    ):
        paper.box(60, top, 640, top + 70, fill=STEEL)
        paper.line((60, top + 35), (640, top + 35), wide=2)
        for k in range(5):
            left, right_x = 90 + k * 110, 200 + k * 110
            middle = (left + right_x) / 2
            deep = top + 35 + knot
            paper.line((left, top), (middle - 14, deep), colour=ACCENT, wide=6)
            paper.line((middle + 14, deep), (right_x, top), colour=ACCENT, wide=6)
            paper.line((left, top + 70), (middle - 14, deep), colour=INK, wide=6)
            paper.line((middle + 14, deep), (right_x, top + 70), colour=INK, wide=6)
            paper.line((middle - 14, deep), (middle + 14, deep), colour=ACCENT, wide=6)
        paper.say(words, (350, top + 112), size=34)
        paper.verdict(right, (740, top + 40))
    paper.say("upper", (860, 200), colour=ACCENT)
    paper.say("lower", (860, 250))
    return paper


def _bolt(paper: Sketch, x: float, pitch: float, head: list[Point]) -> None:
    """Draw an upright bolt, its thread from 220 down to 470."""
    paper.box(x - 36, 150, x + 36, 470, fill=STEEL)
    y = 220.0
    while y < 464:
        paper.line((x - 36, y + 10), (x + 36, y - 4), wide=4)
        y += pitch
    paper.shape([(x + dx, dy) for dx, dy in head], fill=BRASS)


def crank_and_base_bolt() -> Sketch:
    """Two bolts as fat as each other: the crank's fine, the base's coarse."""
    paper = Sketch()
    square: list[Point] = [(-64, 70), (64, 70), (64, 130), (90, 130), (90, 152)]
    square += [(-90, 152), (-90, 130), (-64, 130)]
    cup: list[Point] = [(-84, 152), (-80, 110), (-50, 82), (0, 72), (50, 82), (80, 110), (84, 152)]
    _bolt(paper, 250, 20, square)
    _bolt(paper, 710, 27, cup)
    paper.say("crank bolt: fine", (250, 520))
    paper.say("base bolt: coarse", (710, 520))
    paper.note("square head, collar", (480, 40), (316, 104))
    paper.say("one width", (480, 300), colour=ACCENT)
    paper.arrow((400, 340), (296, 340))
    paper.arrow((560, 340), (664, 340))
    return paper


def hole_mended() -> Sketch:
    """Three ways to keep the old thread: longer screw, wire insert, bush."""
    paper = Sketch()
    for x, words in ((170, "longer screw"), (480, "wire insert"), (790, "brass bush")):
        paper.box(x - 130, 180, x + 130, 440, fill=WHITE)
        paper.hatch(x - 130, 180, x - 40, 440)
        paper.hatch(x + 40, 180, x + 130, 440)
        paper.box(x - 40, 180, x + 40, 440, fill=PAPER)
        paper.say(words, (x, 490))
    paper.box(134, 80, 206, 130, fill=STEEL)
    paper.box(142, 130, 198, 420, fill=STEEL)
    for left in (130, 198):
        paper.box(left, 326, left + 12, 440, fill=WHITE, wide=2)
    for k in range(6):
        paper.line((142, 330 + k * 16), (198, 320 + k * 16), wide=3)
    for k in range(12):
        y = 200 + k * 20
        for side in (-1, 1):
            paper.ring((480 + side * 34, y + (10 if side > 0 else 0)), 9, fill=STEEL, wide=3)
    paper.box(752, 180, 776, 440, fill=BRASS)
    paper.box(804, 180, 828, 440, fill=BRASS)
    for k in range(12):
        y = 196 + k * 20
        paper.line((776, y), (784, y + 8), wide=3)
        paper.line((804, y), (796, y + 8), wide=3)
    paper.say("try them in this order", (480, 556), colour=ACCENT)
    return paper


def shuttle_gap() -> Sketch:
    """The boat shuttle passes the needle by the thickness of tissue paper, seen from above."""
    paper = Sketch()
    paper.ring((300, 260), 34, fill=STEEL)
    paper.ring((300, 260), 8, fill=PAPER)
    paper.shape(
        [(330, 322), (420, 290), (620, 270), (820, 280), (880, 330), (820, 390), (620, 396),
         (440, 364)], fill=BRASS,
    )  # fmt: skip
    paper.box(520, 304, 760, 356, fill=WHITE)
    paper.say("long bobbin", (640, 330), size=34)
    paper.line((250, 306), (480, 300), colour=ACCENT, wide=4)
    paper.note("tissue paper just drags", (330, 470), (338, 304))
    paper.note("needle from above", (300, 120), (300, 230))
    paper.note("point of the boat", (720, 160), (372, 306))
    paper.say("check the gap at both ends of the swing", (480, 560))
    return paper


def pedal_cone() -> Sketch:
    """A pedal pivot: cone in its seat, lock nut outside the iron."""
    paper = Sketch()
    paper.box(300, 110, 400, 470, fill=STEEL)
    paper.hatch(300, 110, 400, 240)
    paper.hatch(300, 330, 400, 470)
    paper.shape([(110, 236), (560, 236), (640, 284), (560, 332), (110, 332)], fill=BRASS)
    for k in range(20):
        paper.line((128 + k * 22, 332), (142 + k * 22, 236), wide=3)
    paper.box(200, 196, 292, 372, fill=WHITE)
    paper.line((200, 254), (292, 254))
    paper.line((200, 314), (292, 314))
    pedal: list[Point] = [(600, 150), (860, 150), (860, 420), (600, 420)]
    paper.shape([*pedal, (600, 312), (648, 284), (600, 256)], fill=STEEL)
    paper.say("pedal", (770, 284))
    paper.note("lock nut", (150, 120), (230, 200))
    paper.note("cone", (500, 100), (520, 244))
    paper.say("iron", (350, 80))
    paper.say("seat it, turn it back, then hold it", (480, 520))
    paper.say("and tighten the nut", (480, 566))
    return paper


def number_pad() -> Sketch:
    """A stamped number under a lamp laid flat; a cast number is no serial."""
    paper = Sketch()
    for x in (250, 710):
        paper.box(x - 190, 160, x + 190, 330, fill=STEEL)
    for dx, dy, colour in ((3, 3, WHITE), (0, 0, INK)):
        paper.say("HB 31207", (250 + dx, 245 + dy), colour=colour, size=64)
    for dx, dy, colour in ((4, 4, INK), (0, 0, WHITE)):
        paper.say("1476", (710 + dx, 245 + dy), colour=colour, size=84)
    paper.say("stamped into a pad:", (250, 390))
    paper.say("the serial number", (250, 436))
    paper.say("raised in the casting:", (710, 390))
    paper.say("only the mould's", (710, 436))
    paper.verdict(True, (250, 510))
    paper.verdict(False, (710, 510))
    paper.arrow((40, 90), (110, 150))
    paper.say("lamp laid flat", (200, 70), colour=ACCENT)
    return paper


PICTURES = {
    "tension-balance.png": tension_balance,
    "crank-and-base-bolt.png": crank_and_base_bolt,
    "hole-mended.png": hole_mended,
    "shuttle-gap.png": shuttle_gap,
    "pedal-cone.png": pedal_cone,
    "number-pad.png": number_pad,
}
