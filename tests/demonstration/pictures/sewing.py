"""Pictures of what makes the stitch: needle, hook, teeth, discs, bobbins, feet."""

from __future__ import annotations

from sketch import ACCENT, BRASS, PAPER, RUBBER, STEEL, WHITE, Sketch, tab, turned

__all__ = ["PICTURES"]


def winder_tyre() -> Sketch:
    """A glazed tyre beside a new one."""
    paper = Sketch()
    for x, worn in ((250, True), (710, False)):
        paper.ring((x, 250), 170, fill=RUBBER)
        paper.ring((x, 250), 104, fill=STEEL)
        paper.ring((x, 250), 26, fill=PAPER)
        if worn:
            paper.arc((x, 250), 160, 190, 300, colour=WHITE, wide=9)
            for turn in range(0, 360, 24):
                inner, outer = turned((x, 250), 128, turn + 6), turned((x, 250), 168, turn)
                paper.line(inner, outer, colour=PAPER, wide=3)
    paper.arc((710, 250), 170, 262, 278, colour=PAPER, wide=12)
    paper.note("dent stays", (840, 38), (722, 84))
    paper.say("hard, shiny, cracked", (250, 480))
    paper.say("soft and dull", (710, 480))
    paper.verdict(False, (250, 545))
    paper.verdict(True, (710, 545))
    return paper


def _needle(paper: Sketch, x: float, top: float, point: float, eye: float) -> None:
    paper.shape(
        [(x - 16, top), (x + 16, top), (x + 16, point - 60), (x, point), (x - 16, point - 60)],
        fill=STEEL,
    )
    paper.ring((x, eye), 20, fill=PAPER, across=8, wide=3)


def hook_timing() -> Sketch:
    """The hook point in the middle of the needle, just above the eye."""
    paper = Sketch()
    _needle(paper, 480, 20, 500, 400)
    paper.arc((760, 560), 330, 226, 300, wide=5)
    paper.shape(
        [(486, 352), (640, 260), (760, 232), (790, 262), (660, 330), (560, 372)], fill=STEEL
    )
    paper.line((497, 40), (497, 280), (574, 344), (492, 398), colour=ACCENT, wide=5)
    paper.note("hook point", (700, 170), (508, 342))
    paper.note("loop of thread", (640, 450), (566, 352), anchor="lm")
    paper.note("eye", (330, 440), (474, 402), anchor="rm")
    paper.arrow((120, 200), (120, 60))
    paper.say("bar has begun", (120, 236), size=34)
    paper.say("to rise", (120, 272), size=34)
    paper.say("point in the middle of the needle", (480, 560))
    return paper


def needle_bar_height() -> Sketch:
    """Eye below the hook point as they cross."""
    paper = Sketch()
    _needle(paper, 400, 20, 500, 380)
    paper.shape([(405, 268), (600, 210), (760, 200), (760, 250), (600, 270)], fill=STEEL)
    paper.say("hook", (690, 226), size=34)
    paper.line((200, 270), (390, 270), colour=ACCENT, wide=3)
    paper.line((200, 362), (390, 362), colour=ACCENT, wide=3)
    paper.measure((240, 270), (240, 362))
    paper.say("height", (150, 316), colour=ACCENT)
    paper.note("eye, its upper edge", (470, 380), (408, 366), anchor="lm")
    paper.say("the figure is on the family's page", (480, 560))
    return paper


def needle_shank() -> Sketch:
    """Flat and round shank; long groove and scarf on opposite sides."""
    paper = Sketch()
    for x, flat in ((170, True), (420, False)):
        cut = 8 if flat else 34
        paper.shape(
            [(x - 34, 40), (x + cut, 40), (x + cut, 190), (x + 14, 210), (x + 14, 480),
             (x, 530), (x - 14, 480), (x - 14, 210), (x - 34, 190)], fill=STEEL,
        )  # fmt: skip
        paper.ring((x, 440), 18, fill=PAPER, across=6, wide=3)
    paper.say("flat", (170, 572))
    paper.say("round", (420, 572))
    paper.note("flat side", (235, 60), (182, 110), anchor="lm")
    x = 720
    paper.shape(
        [(x - 34, 40), (x + 8, 40), (x + 8, 190), (x + 16, 210), (x + 16, 350), (x + 2, 376),
         (x + 2, 412), (x + 16, 440), (x + 14, 480), (x, 530), (x - 14, 480), (x - 14, 210),
         (x - 34, 190)], fill=STEEL,
    )  # fmt: skip
    paper.line((x - 6, 220), (x - 6, 420), wide=4)
    paper.line((x - 6, 430), (x - 8, 452), colour=PAPER, wide=8)
    paper.note("scarf:", (780, 380), (726, 392), anchor="lm")
    paper.say("hook side", (780, 422), colour=ACCENT, anchor="lm")
    paper.note("groove:", (655, 290), (712, 300), anchor="rm")
    paper.say("thread side", (655, 332), colour=ACCENT, anchor="rm")
    return paper


def feed_height() -> Sketch:
    """Teeth above the plate at their highest."""
    paper = Sketch()
    paper.box(60, 330, 300, 380, fill=STEEL)
    paper.box(660, 330, 900, 380, fill=STEEL)
    paper.hatch(60, 330, 300, 380)
    paper.hatch(660, 330, 900, 380)
    teeth = [(330.0, 470.0), (330.0, 300.0)]
    for step in range(6):
        x = 330 + step * 50
        teeth += [(x + 38, 250), (x + 50, 300)]
    paper.shape([*teeth, (630, 470)], fill=BRASS)
    paper.box(150, 212, 810, 246, fill=WHITE)
    for step in range(1, 33):
        paper.line((150 + step * 20, 246), (150 + step * 20, 232), wide=2)
    paper.say("rule lies on the teeth", (480, 170))
    paper.measure((200, 246), (200, 330))
    paper.say("this gap", (176, 290), colour=ACCENT, anchor="rm", size=34)
    paper.say("plate", (780, 420))
    paper.say("feed teeth", (480, 510))
    return paper


def tension_discs() -> Sketch:
    """Discs held apart by lint, and discs that close."""
    paper = Sketch()
    for x, apart in ((250, 34), (710, 8)):
        paper.line((x, 90), (x, 450), wide=3)
        for side in (-1, 1):
            edge = x + side * (apart + 46)
            inner = x + side * apart / 2
            paper.shape(
                [(inner, 200), (edge, 110), (edge + side * 14, 118), (inner + side * 14, 206),
                 (inner + side * 14, 334), (edge + side * 14, 422), (edge, 430), (inner, 340)],
                fill=STEEL,
            )  # fmt: skip
        paper.line((x - 190, 270), (x + 190, 270), colour=STEEL, wide=18)
        paper.line((x - 190, 262), (x + 190, 262), wide=3)
        paper.line((x - 190, 278), (x + 190, 278), wide=3)
    for k, (dx, dy) in enumerate([(-4, 214), (6, 226), (-7, 318), (5, 330), (-2, 240), (3, 308)]):
        paper.ring((250 + dx, dy), 9 - k % 3, fill=RUBBER, colour=RUBBER, wide=1)
    paper.ring((244, 296), 9, fill=ACCENT, colour=ACCENT)
    paper.ring((710, 240), 9, fill=ACCENT, colour=ACCENT)
    paper.say("lint", (370, 60))
    paper.line((358, 84), (260, 224), wide=3)
    paper.note("thread", (860, 60), (714, 240))
    paper.say("thread slides", (250, 490))
    paper.say("thread is held", (710, 490))
    paper.verdict(False, (250, 545))
    paper.verdict(True, (710, 545))
    return paper


def bobbin_shapes() -> Sketch:
    """Flat, domed, high and clear, long: side by side from the edge."""
    paper = Sketch()

    def reel(x: float, half: float, high: float, dome: float = 0) -> None:
        paper.box(x - half * 0.5, 300 - high, x + half * 0.5, 300 + high, fill=WHITE)
        for side in (-1, 1):
            y = 300 + side * high
            rim = [(x - half, y - side * dome), (x - half * 0.5, y), (x + half * 0.5, y),
                   (x + half, y - side * dome), (x + half, y - side * (dome + 14)),
                   (x - half, y - side * (dome + 14))]  # fmt: skip
            paper.shape(rim, fill=STEEL)

    reel(130, 95, 52)
    reel(370, 95, 60, dome=18)
    reel(610, 95, 60)
    for x, words in ((130, "flat"), (370, "domed"), (610, "clear, higher")):
        paper.say(words, (x, 460))
    paper.box(796, 150, 804, 450, fill=STEEL)
    paper.box(760, 138, 840, 152, fill=STEEL)
    paper.box(760, 448, 840, 462, fill=STEEL)
    paper.say("long", (800, 510))
    paper.line((20, 248), (720, 248), colour=ACCENT, wide=2)
    paper.line((20, 352), (720, 352), colour=ACCENT, wide=2)
    paper.say("height of the flat one", (370, 190), colour=ACCENT)
    paper.say("half a millimetre too high jams in the case", (480, 565), size=34)
    return paper


def cone_bobbin() -> Sketch:
    """Where the guide sends the thread."""
    paper = Sketch()
    for x, guide, tops in ((190, 150, (110, 40)), (500, 260, (76, 76)), (800, 370, (40, 110))):
        top, low = tops
        paper.box(x - 16, 130, x + 16, 390, fill=STEEL)
        paper.shape([(x - top, 160), (x + top, 160), (x + low, 360), (x - low, 360)], fill=BRASS)
        for k in range(1, 8):
            y = 160 + 200 * k / 8
            half = top + (low - top) * k / 8
            paper.line((x - half, y), (x + half, y), wide=1.5)
        paper.box(x - 112, 138, x + 112, 160, fill=STEEL)
        paper.box(x - 112, 360, x + 112, 382, fill=STEEL)
        paper.arrow((x - 170, guide), (x - max(top, low) - 4, guide))
    paper.say("guide too high", (190, 450))
    paper.say("level", (500, 450))
    paper.say("guide too low", (800, 450))
    paper.verdict(False, (190, 520))
    paper.verdict(True, (500, 520))
    paper.verdict(False, (800, 520))
    return paper


def foot_shanks() -> Sketch:
    """Low and high shank: from the sole to the middle of the screw hole."""
    paper = Sketch()
    for x, hole, words in ((250, 330, "low: about 12.7 mm"), (690, 200, "high: about 25.4 mm")):
        paper.shape(
            [(x - 40, hole - 60), (x + 40, hole - 60), (x + 40, 420), (x + 110, 430),
             (x + 150, 462), (x - 110, 462), (x - 110, 430), (x - 40, 420)], fill=STEEL,
        )  # fmt: skip
        paper.ring((x, hole), 22, fill=PAPER)
        paper.line((x - 170, 462), (x + 170, 462), wide=6)
        paper.line((x - 150, hole), (x - 30, hole), colour=ACCENT, wide=3)
        paper.measure((x - 140, hole), (x - 140, 462))
        paper.say(words, (x, 515))
    paper.say("plate", (470, 440), size=34)
    paper.say("measured with the foot down", (480, 565), size=34)
    return paper


def check_spring() -> Sketch:
    """The wire that takes up slack, at rest and at work."""
    paper = Sketch()
    for x, hook, words in ((240, (350, 120), "needle enters: at rest"),
                           (700, (812, 262), "needle rises: pulled down")):  # fmt: skip
        paper.ring((x, 250), 100, fill=STEEL)
        paper.ring((x, 250), 34, fill=BRASS)
        paper.line((x - 18, 250), (x + 18, 250), wide=7)
        paper.line((x + 40, 190), hook, wide=6)
        paper.arc((hook[0] + 12, hook[1]), 14, 120, 400, wide=6)
        paper.line((x - 200, 330), (hook[0] + 12, hook[1] + 8), colour=ACCENT, wide=4)
        end = (x + 190, 470)
        paper.line((hook[0] + 12, hook[1] + 8), end, colour=ACCENT, wide=4)
        paper.say(words, (x, 530), size=34)
    paper.arrow((905, 90), (905, 250))
    paper.say("travel", (880, 55), colour=ACCENT)
    return paper


def stop_motion_washer() -> Sketch:
    """Two lugs within, three ears without, not evenly spaced."""
    paper = Sketch()
    paper.ring((330, 290), 190, fill=STEEL)
    for turn in (-90, 20, 140):
        paper.shape(tab((330, 290), (184, 236), turn, 9), fill=STEEL)
    paper.ring((330, 290), 92, fill=PAPER)
    for turn in (0, 180):
        paper.shape(tab((330, 290), (96, 58), turn, 15), fill=BRASS)
    paper.note("lug: in its slot", (570, 230), (396, 282), anchor="lm")
    paper.note("ear: meets the screw", (580, 440), (548, 384), anchor="lm")
    paper.ring((330, 72), 12, fill=ACCENT, colour=ACCENT)
    paper.note("lock screw", (570, 72), (344, 72), anchor="lm")
    paper.say("Turn it half round, or turn it over:", (480, 540), size=34)
    paper.say("one of four ways is right.", (480, 578), size=34)
    return paper


PICTURES = {
    "winder-tyre.png": winder_tyre,
    "hook-timing.png": hook_timing,
    "needle-bar-height.png": needle_bar_height,
    "needle-shank.png": needle_shank,
    "feed-height.png": feed_height,
    "tension-discs.png": tension_discs,
    "bobbin-shapes.png": bobbin_shapes,
    "cone-bobbin.png": cone_bobbin,
    "foot-shanks.png": foot_shanks,
    "check-spring.png": check_spring,
    "stop-motion-washer.png": stop_motion_washer,
}
