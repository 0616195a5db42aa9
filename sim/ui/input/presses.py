"""What keys, mouse and pad ask of the sea screen, apart from how it is drawn."""

from sim.core.orders import commands as cmd
from sim.core.state import RADAR_SCALES_M
from sim.play.hands import Act, Can
from sim.play.session import Session
from sim.ui.chart.camera import Camera, Follow
from sim.ui.input.fore_keys import NOT_THE_HELMS, TELLS
from sim.ui.input.keys import Press
from sim.ui.input.signals import FROM_HELM, Shown
from sim.ui.panels import scene_instruments
from sim.ui.panels.scene_rail import Cell
from sim.ui.screens import leave_sheet, watch_sheet
from sim.ui.screens.leave_sheet import LeaveSheet
from sim.ui.screens.watch_sheet import WatchSheet
from sim.ui.words import Catalogue

QUESTIONS = {Press.ENTER: "secure", Press.ABORT: "abort", Press.ESCAPE: "quit"}
NOT_WATCHED = (  # what is not for whoever only watches
    Press.ENTER, Press.ABORT, Press.PLAN, Press.WATCH, Press.BACK_30, Press.TWO, Press.NEXT, Press.BEFORE,
    *scene_instruments.OPENS,
)  # fmt: skip
OUT = {"secure": "gone", "quit": "end"}  # and when the stay is over
BY_NIGHT = {"secure": "settled", "quit": "bed"}  # what is asked instead while the helm is taken in the night
UNHELD = {"secure": "adrift", "quit": "adrift"}  # and with no anchor down, when no watch can be kept
PANS = {
    Press.PAN_UP: (1.0, 0.0), Press.PAN_DOWN: (-1.0, 0.0), Press.PAN_LEFT: (0.0, -1.0), Press.PAN_RIGHT: (0.0, 1.0),
}  # fmt: skip
PAN_PX = 80.0
CIRCLE_STEP_M = 2.0
SIGNALS_KEPT = 4
KNOB = 0.05  # a press turns a knob of the radar so far


class Presses:
    """The state of the screen that keys change.

    Attributes:
        asking: a question that lies over the screen, by its key.
        helping: whether the list of keys does.
        watch: the orders for the watch as last entered; ``ordering`` whether their sheet lies over the screen.
        decision: the reason for leaving without anchoring; ``deciding`` whether its sheet lies over the screen.
        planning: the chart with the plan is asked for.
        frozen: whether the instructor has stopped everything to ask.
        instrument: which is open.
        focus: which key of the rail the ring stands on.
        page: of the ledger.
        radar: how the radar is set: gain, sea clutter control, which of its range scales.
        leaving: whether the lesson is to be left.
        two: whether the foredeck is to be given to a second person.
        heard: the last signals from the foredeck; ``told`` the last to it.
    """

    follow: Follow
    cells: list[Cell]

    def __init__(self, session: Session, words: Catalogue) -> None:
        """Stand by."""
        self.session, self.words = session, words
        self.asking: str | None = None
        self.helping = self.ordering = self.deciding = False
        self.watch, self.decision = WatchSheet(), LeaveSheet()
        self.help_cells: list[Cell] = []
        self.planning = False
        self.frozen = False
        self.instrument: Press | None = None
        self.focus: Act | Press | None = None
        self.page = 0
        self.radar = 0.5, 0.4, 2  # gain, sea clutter control, number of the range scale
        self.leaving = self.two = False
        self.heard: list[Shown] = []
        self.told: Shown | None = None

    def camera(self, wall_s: float = 0.0) -> Camera:
        """Return the camera of this moment."""
        raise NotImplementedError

    @property
    def covered(self) -> bool:
        """Whether something lies over the screen and takes the keys."""
        sheets = self.helping or self.ordering or self.deciding
        return sheets or self.asking is not None or self.planning or self.frozen

    @property
    def standing(self) -> bool:
        """Whether time stands, by the hand or because something lies over the screen."""
        return self.session.pacer.paused or self.covered

    def press_act(self, act: Act) -> None:
        """A key of the boat's goes down; over a question or a sheet it does nothing.

        While two are aboard the keys of the gear speak to the foredeck instead.
        """
        if self.covered:
            return
        if self.session.apart is None:
            self.session.press(act)
        elif act in TELLS:
            self.tell(Shown(TELLS[act], self.session.exercise.t_s))
        elif act not in NOT_THE_HELMS:
            self.session.press(act)

    def release_act(self, act: Act) -> None:
        """A key of the boat's comes up; one of the gear is not the helm's to let go while two are aboard."""
        if self.session.apart is None or act not in NOT_THE_HELMS:
            self.session.hands.release(act)

    def tell(self, shown: Shown) -> None:
        """Make a signal, the helm's or the foredeck's; the record keeps it."""
        self.session.hands.order(shown.note())
        if shown.signal in FROM_HELM:
            self.told = shown
        else:
            self.heard = [*self.heard[-SIGNALS_KEPT + 1 :], shown]

    def press(self, press: Press) -> None:
        """A key of the screen's goes down."""
        if press is Press.FREEZE:
            self._freeze()
        elif self.frozen:
            return
        elif self.asking is not None:
            self._answer(self.asking, press)
        elif self.ordering:
            self._order(press)
        elif self.deciding:
            self._decide(press)
        elif self.helping:
            self.helping = press not in (Press.HELP, Press.ESCAPE)
        else:
            self._plain(press)
        if self.standing:
            self.session.hands.let_go_of_all()

    def _freeze(self) -> None:
        """The instructor stops everything to ask, or lets it go on; the record keeps both."""
        self.frozen = not self.frozen
        hands = self.session.hands
        if self.frozen:
            hands.order(cmd.Bookmark(actor="desk", text="asked"))
        hands.order(cmd.Note(actor="desk", text="frozen to ask" if self.frozen else "carried on"))

    def _plain(self, press: Press) -> None:
        s = self.session
        if s.shown and press in NOT_WATCHED:
            return
        if self.focus is not None and press in (Press.ENTER, Press.ESCAPE):
            self._on_focus(press)
        elif press in QUESTIONS:
            self._ask(QUESTIONS[press])
        elif press is Press.HELP:
            self.helping = True
        elif press is Press.PAUSE:
            s.pacer.paused = not s.pacer.paused
        elif press in (Press.SLOWER, Press.FASTER):
            s.rate(1 if press is Press.FASTER else -1)
        elif press is Press.BACK_30:
            if not s.night:
                s.step_back()
        elif press is Press.PLAN:
            self.planning = True
        elif press is Press.WATCH:
            self._open_watch()
        elif press is Press.TWO:
            self.two = not self.two
        elif press is Press.PAGE:
            self.page += 1
        elif press in (Press.NEXT, Press.BEFORE):
            self._move_focus(1 if press is Press.NEXT else -1)
        elif press in scene_instruments.OPENS:
            self._open(press)
        else:
            self._picture(press)

    def _open(self, press: Press) -> None:
        """Open an instrument, or close it; the radar turns while its screen is open."""
        before = self.instrument
        self.instrument = None if before is press else press
        if Press.RADAR in (before, self.instrument) and "radar" in self.session.brief.boat.gear:
            self._set_radar(on=self.instrument is Press.RADAR)

    def _set_radar(self, on: bool = True, gain: float = 0.0, sea: float = 0.0, scale: int = 0) -> None:
        """Switch the radar, or turn its knobs by so much."""
        gain, sea = min(max(self.radar[0] + gain, 0.0), 1.0), min(max(self.radar[1] + sea, 0.0), 1.0)
        at = min(max(self.radar[2] + scale, 0), len(RADAR_SCALES_M) - 1)
        self.radar = round(gain, 2), round(sea, 2), at
        self.session.hands.order(cmd.SetRadar(on=on, scale_m=RADAR_SCALES_M[at], gain=self.radar[0], sea=self.radar[1]))

    def _picture(self, press: Press) -> None:
        """Zoom, move or turn the plan; with alarm circle or radar open the same keys set those."""
        s = self.session
        circle = self.instrument is Press.CIRCLE
        if press in (Press.NEARER, Press.FARTHER):
            self.follow.zoom_by(1 if press is Press.NEARER else -1, self.camera().scale)
        elif press is Press.OWN_ZOOM:
            self.follow.own()
        elif press is Press.HEAD_UP:
            self.follow.head_up = not self.follow.head_up
        elif circle and press in (Press.UP, Press.DOWN):
            s.hands.size_circle(s.view, CIRCLE_STEP_M if press is Press.UP else -CIRCLE_STEP_M)
        elif self.instrument is Press.RADAR and press in (Press.UP, Press.DOWN):
            self._set_radar(gain=KNOB if press is Press.UP else -KNOB)
        elif press in PANS:
            north, east = PANS[press]
            if self.instrument is Press.RADAR:
                self._set_radar(sea=KNOB * north, scale=round(east))
            elif circle:
                s.hands.move_circle(s.view, CIRCLE_STEP_M * north, CIRCLE_STEP_M * east)
            else:
                self.pan(-PAN_PX * east, PAN_PX * north)

    def pan(self, right_px: float, down_px: float) -> None:
        """Move the picture as if it were pushed by so many pixels."""
        camera = self.camera()
        x, y = camera.rect[0] + 0.5 * camera.rect[2], camera.rect[1] + 0.5 * camera.rect[3]
        here, there = camera.place((x, y)), camera.place((x - right_px, y - down_px))
        self.follow.pan_by(there[0] - here[0], there[1] - here[1])

    def work(self, what: Act | Press) -> None:
        """Work a key once, as a click on its name does."""
        if isinstance(what, Act):
            self.press_act(what)
            self.release_act(what)
        elif what in QUESTIONS and not (self.session.shown and what in NOT_WATCHED):
            self._ask(QUESTIONS[what])
        else:
            self._plain(what)

    def _move_focus(self, steps: int) -> None:
        acts = [cell.act for cell in self.cells]
        if acts:
            at = acts.index(self.focus) + steps if self.focus in acts else (0 if steps > 0 else -1)
            self.focus = acts[at % len(acts)]

    def _on_focus(self, press: Press) -> None:
        """Enter works the key under the ring once; Escape takes the ring away."""
        on, self.focus = self.focus, None if press is Press.ESCAPE else self.focus
        if press is not Press.ESCAPE and on is not None:
            self.work(on)

    def _open_watch(self) -> None:
        self.ordering, self.watch.marked = True, self.session.lookout.view().handling.marked

    def _order(self, press: Press) -> None:
        """Change the watch's orders; Enter gives them."""
        if watch_sheet.press(self.watch, press):
            self.ordering = False
            if press is Press.ENTER:
                self.session.hands.order(self.watch.command())

    def _decide(self, press: Press) -> None:
        """Choose the reason for leaving without anchoring; Enter leaves."""
        if leave_sheet.press(self.decision, press):
            self.deciding = False
            if press is Press.ENTER:
                self.session.hands.order(self.decision.command())

    def _ask(self, question: str) -> None:
        s = self.session
        unheld = Can.now(s.lookout.view()).leave
        if question == "secure" and unheld and not s.night:
            self.deciding = True  # there is nothing to secure
            return
        by_night = UNHELD if unheld else BY_NIGHT
        instead = OUT if s.departing else by_night if s.night else {}
        self.asking = instead.get(question, question)

    def _answer(self, question: str, press: Press) -> None:
        if press is Press.ESCAPE:
            self.asking = None
        elif press is Press.WATCH and question in ("secure", "settled", "bed"):
            self.asking = None
            self._open_watch()
        elif press is Press.ENTER:
            self.asking = None
            if question in ("secure", "settled"):
                self.session.hands.order(cmd.Secure())
            elif question == "gone":
                self.session.hands.order(cmd.Leave(reason="stay over"))
            elif question == "abort":
                self.session.hands.order(cmd.Abort(reason="called off"))
            else:
                self.leaving = True
