"""Pictures of screws, holes, gears and motors."""

from __future__ import annotations

from math import acos, atan2, degrees, hypot

from sketch import ACCENT, BRASS, COPPER, INK, PAPER, STEEL, WHITE, Sketch, turned

__all__ = ["PICTURES"]


def burred_slot() -> Sketch:
    """A wedge in a chewed slot, a parallel blade that fills one."""
    paper = Sketch()
    for x, wedge in ((250, True), (710, False)):
        paper.shape(
            [(x - 150, 300), (x - 30, 300), (x - 30, 390), (x + 30, 390), (x + 30, 300),
             (x + 150, 300), (x + 150, 440), (x - 150, 440)], fill=STEEL,
        )  # fmt: skip
        paper.box(x - 70, 440, x + 70, 510, fill=STEEL)
        if wedge:
            paper.shape([(x - 12, 330), (x + 12, 330), (x + 74, 60), (x - 74, 60)], fill=WHITE)
            for side in (-1, 1):
                paper.shape(
                    [(x + side * 30, 300), (x + side * 44, 270), (x + side * 76, 300)], fill=ACCENT,
                    colour=ACCENT,
                )  # fmt: skip
        else:
            paper.shape([(x - 27, 388), (x + 27, 388), (x + 27, 60), (x - 27, 60)], fill=WHITE)
    paper.note("burr", (90, 220), (192, 286))
    paper.say("wedge lifts itself out", (250, 545), size=34)
    paper.say("fills the slot to its floor", (710, 545), size=34)
    paper.verdict(False, (400, 110))
    paper.verdict(True, (850, 110))
    return paper


def pitch_gauge() -> Sketch:
    """One leaf that closes up, one that shows light."""
    paper = Sketch(960, 640)
    for top, gap, words, right in (
        (60, 40.0, "no light anywhere", True),
        (340, 44.0, "light at one end", False),
    ):
        crests = [(60.0, top + 210.0)]
        for k in range(18):
            crests += [(60 + k * 40, top + 150), (80 + k * 40, top + 116)]
        paper.shape([*crests, (780, top + 150), (780, top + 210)], fill=STEEL)
        leaf = [(60.0, top + 20.0)]
        for k in range(14):
            leaf += [(60 + k * gap, top + 144), (60 + k * gap + gap / 2, top + 108)]
        end = 60 + 14 * gap
        paper.shape([*leaf, (end, top + 144), (end, top + 20)], fill=BRASS)
        paper.say(words, (360, top + 62), size=36)
        paper.verdict(right, (860, top + 150))
    paper.note("light", (800, 400), (662, 470))
    paper.say("leaf of the gauge above, screw below", (420, 606), size=34)
    return paper


def left_hand_thread() -> Sketch:
    """Which way the thread climbs."""
    paper = Sketch()
    for x, lean, words, more in (
        (250, 46, "climbs to the right", "ordinary"),
        (710, -46, "climbs to the left", "left-hand: clockwise undoes it"),
    ):
        paper.box(x - 80, 60, x + 80, 370, fill=STEEL)
        for k in range(1, 8):
            y = 60 + k * 39
            paper.line((x - 80, y + lean / 2), (x + 80, y - lean / 2), wide=5)
        paper.shape([(x - 150, 370), (x + 150, 370), (x + 150, 440), (x - 150, 440)], fill=BRASS)
        paper.line((x - 60, 370), (x - 60, 440))
        paper.line((x + 60, 370), (x + 60, 440))
        paper.say(words, (x, 492))
        paper.say(more, (x, 545), size=34)
    paper.arrow((130, 230), (360, 168))
    paper.arrow((830, 230), (600, 168))
    return paper


def twin_holes() -> Sketch:
    """The bed of the Halverin from above, with its two holes."""
    paper = Sketch()
    paper.shape([(40, 90), (920, 90), (920, 450), (40, 450)], fill=STEEL)
    paper.ring((250, 250), 120, fill=WHITE)
    paper.ring((250, 250), 10, fill=INK)
    for y in (205, 295):
        paper.box(196, y - 12, 304, y + 12, fill=PAPER)
    paper.ring((560, 270), 34, fill=INK)
    paper.ring((730, 270), 34, fill=INK)
    paper.box(650, 320, 812, 366, fill=BRASS)
    paper.say("tape", (731, 343), size=34)
    paper.note("seam guide", (560, 40), (560, 240))
    paper.note("slide spring", (800, 40), (734, 240))
    paper.say("needle plate", (250, 412), size=34)
    paper.say("One width, two pitches. Which screw", (480, 510))
    paper.say("belongs where: the family's list.", (480, 556))
    return paper


def set_screw_points() -> Sketch:
    """A cone in its dimple, a cup on a bare shaft."""
    paper = Sketch()
    for x, cone, words in ((250, True, "cone: in a dimple"), (710, False, "cup: on a bare shaft")):
        paper.box(x - 170, 120, x + 170, 300, fill=WHITE)
        paper.hatch(x - 170, 120, x - 56, 300)
        paper.hatch(x + 56, 120, x + 170, 300)
        tip = [(x + 56, 286), (x, 340), (x - 56, 286)] if cone else [
            (x + 56, 300), (x + 40, 300), (x, 280), (x - 40, 300), (x - 56, 300)]  # fmt: skip
        paper.shape([(x - 56, 90), (x + 56, 90), *tip], fill=BRASS)
        paper.box(x - 12, 90, x + 12, 118, fill=PAPER)
        notch = [(x - 46, 306), (x, 348), (x + 46, 306)] if cone else []
        shaft = [(x - 190, 306), *notch, (x + 190, 306)]
        paper.shape([*shaft, (x + 190, 440), (x - 190, 440)], fill=STEEL)
        paper.say("shaft", (x, 400), size=34)
        paper.say(words, (x, 500))
    paper.say("hub", (480, 210), size=34)
    paper.say("the other way round, each lets go", (480, 560), size=34)
    return paper


def _gear(paper: Sketch, centre: tuple[float, float], outer: float, teeth: int) -> None:
    step = 360 / teeth
    rim = []
    for k in range(teeth):
        for reach, share in ((outer - 30, 0.0), (outer, 0.2), (outer, 0.5), (outer - 30, 0.7)):
            rim.append(turned(centre, reach, (k + share) * step))
    paper.shape(rim, fill=WHITE)


def cracked_gear() -> Sketch:
    """A crack that runs from the set screw through the hub."""
    paper = Sketch()
    centre = (330.0, 290.0)
    _gear(paper, centre, 250, 24)
    paper.ring(centre, 120, fill=WHITE)
    paper.ring(centre, 56, fill=STEEL)
    for turn in (-90, 0):
        near, far = turned(centre, 60, turn), turned(centre, 118, turn)
        paper.line(near, far, wide=22)
        paper.line(near, far, colour=STEEL, wide=14)
    crack = [(330.0, 232.0), (350, 208), (338, 186), (362, 160), (350, 132), (372, 100), (360, 70)]
    paper.line(*crack, colour=ACCENT, wide=7)
    paper.note("crack at the screw", (600, 120), (366, 128), anchor="lm")
    paper.note("hub", (640, 300), (430, 330), anchor="lm")
    paper.note("shaft", (640, 400), (362, 316), anchor="lm")
    paper.say("Look at the hub, not only at the teeth.", (480, 570), size=34)
    return paper


def brush_cap() -> Sketch:
    """The cap that covers a brush, and the tube that takes grease."""
    paper = Sketch()
    paper.ring((330, 280), 220, fill=STEEL)
    paper.ring((330, 280), 70, fill=WHITE)
    paper.ring((330, 280), 26, fill=INK)
    for side in (-1, 1):
        x = 330 + side * 220
        paper.box(x - 34, 236, x + 34, 324, fill=INK)
        paper.line((x - side * 4, 254), (x - side * 4, 306), colour=PAPER, wide=8)
    paper.box(316, 20, 344, 74, fill=BRASS)
    paper.note("brush cap: no oil", (630, 190), (586, 250), anchor="lm")
    paper.note("grease tube", (470, 40), (346, 44), anchor="lm")
    paper.box(660, 290, 880, 350, fill=WHITE)
    paper.box(660, 302, 730, 338, fill=INK)
    for k in range(9):
        paper.line((734 + k * 13, 340), (742 + k * 13, 300), wide=4)
    paper.say("carbon", (690, 392), size=34)
    paper.say("spring", (808, 392), size=34)
    paper.say("what is behind the cap", (770, 440), size=34)
    paper.say("two caps, slotted like an oil screw", (480, 560))
    return paper


def commutator() -> Sketch:
    """An even brown band, and a ridged drum with a burnt bar."""
    paper = Sketch()
    for x, worn in ((250, False), (710, True)):
        paper.box(x - 150, 130, x + 150, 400, fill=COPPER)
        if worn:
            paper.box(x - 150, 220, x + 150, 312, fill=(92, 70, 58))
            for y in (236, 252, 268, 284, 298):
                paper.line((x - 150, y), (x + 150, y), colour=(58, 44, 38), wide=4)
        else:
            paper.box(x - 150, 220, x + 150, 312, fill=(166, 110, 72), wide=0)
        for k in range(1, 6):
            paper.line((x - 150 + k * 50, 130), (x - 150 + k * 50, 400), wide=5)
        paper.box(x - 70, 400, x + 70, 440, fill=STEEL)
        paper.box(x - 70, 90, x + 70, 130, fill=STEEL)
    paper.ring((735, 266), 22, fill=INK)
    paper.note("burnt spot", (850, 60), (742, 250))
    paper.say("even, brown as tea", (250, 490))
    paper.say("ridges: motor shop", (710, 490))
    paper.verdict(True, (250, 545))
    paper.verdict(False, (710, 545))
    return paper


def belt_give() -> Sketch:
    """Belt pressed in the middle of its run."""
    paper = Sketch()
    wheel, motor, large, small = (230.0, 200.0), (740.0, 400.0), 130.0, 54.0
    slope = degrees(atan2(motor[1] - wheel[1], motor[0] - wheel[0]))
    side = degrees(acos((large - small) / hypot(motor[0] - wheel[0], motor[1] - wheel[1])))
    for centre, radius in ((wheel, large), (motor, small)):
        paper.ring(centre, radius, fill=STEEL)
        paper.ring(centre, 14, fill=INK)
    above, below = slope - side, slope + side
    paper.arc(wheel, large, below, above + 360, wide=12)
    paper.arc(motor, small, above, below, wide=12)
    start, end = turned(wheel, large, below), turned(motor, small, below)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    paper.line(turned(wheel, large, above), turned(motor, small, above), wide=12)
    paper.line(start, end, colour=ACCENT, wide=3)
    pressed = turned(middle, 40, below + 180)
    paper.line(start, pressed, end, wide=12)
    paper.arrow(turned(middle, -130, below + 180), turned(middle, -8, below + 180))
    paper.say("one finger", (turned(middle, -130, below + 180)[0], 560), colour=ACCENT)
    paper.note("give", (540, 470), turned(middle, 20, below + 180), anchor="lm")
    paper.say("hand wheel", (230, 40), size=34)
    paper.say("motor", (740, 490), size=34)
    paper.say("how much:", (800, 120), size=34)
    paper.say("the family's page", (800, 166), size=34)
    return paper


def lamp_caps() -> Sketch:
    """Bayonet cap with two contacts, Edison screw cap."""
    paper = Sketch()
    for x in (250, 710):
        paper.ring((x, 170), 130, fill=WHITE, across=84)
        paper.line((x - 24, 250), (x - 14, 160), (x, 180), (x + 14, 160), (x + 24, 250), wide=3)
    paper.box(184, 270, 316, 430, fill=STEEL)
    for side in (-1, 1):
        x = 250 + side * 66
        paper.box(x - 16, 352, x + 16, 378, fill=ACCENT, colour=ACCENT)
    paper.ring((226, 440), 12, fill=BRASS)
    paper.ring((274, 440), 12, fill=BRASS)
    paper.shape(
        [(650, 270), (770, 270), (770, 420), (740, 452), (680, 452), (650, 420)], fill=STEEL
    )
    for k in range(5):
        paper.line((644, 296 + k * 30), (776, 280 + k * 30), wide=9)
    paper.ring((710, 458), 14, fill=BRASS)
    paper.note("two pins", (440, 330), (336, 364))
    paper.say("B15d", (250, 500), size=40)
    paper.say("push and twist", (250, 550), size=34)
    paper.say("E14", (710, 500), size=40)
    paper.say("turn", (710, 550), size=34)
    return paper


PICTURES = {
    "burred-slot.png": burred_slot,
    "pitch-gauge.png": pitch_gauge,
    "left-hand-thread.png": left_hand_thread,
    "twin-holes.png": twin_holes,
    "set-screw-points.png": set_screw_points,
    "cracked-gear.png": cracked_gear,
    "brush-cap.png": brush_cap,
    "commutator.png": commutator,
    "belt-give.png": belt_give,
    "lamp-caps.png": lamp_caps,
}
