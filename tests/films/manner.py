"""What differs from film to film in a swing: its times and its manner."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Manner", "Timing"]


@dataclass(frozen=True)
class Timing:
    """Times of one swing in seconds of film; the rest follows from them."""

    contact: float
    down_to_contact: float = 0.20
    start_to_contact: float = 0.155
    load_to_down: float = 0.22
    move_to_load: float = 0.50
    contact_to_finish: float = 0.42

    @property
    def down(self) -> float:
        """Front foot lands."""
        return self.contact - self.down_to_contact

    @property
    def start(self) -> float:
        """Hands begin to go."""
        return self.contact - self.start_to_contact

    @property
    def load(self) -> float:
        """Hands farthest back."""
        return self.down - self.load_to_down

    @property
    def move(self) -> float:
        """The load begins."""
        return self.load - self.move_to_load

    @property
    def finish(self) -> float:
        """The bat stops."""
        return self.contact + self.contact_to_finish


@dataclass(frozen=True)
class Manner:
    """How this hitter swings: what differs from film to film. Angles in degrees, lengths in metres at 1.78 m."""

    base: float = 0.57  # between the balls of the feet at set-up
    stride: float = 0.22
    lift: float = 0.11
    hover: float = 0.0  # 1: the lifted foot hovers before it comes down late; 0: it comes down all along
    opening: float = 28.0
    land_heel: float = 7.0  # of the front foot as it lands: the heel is off the ground; below 0 the toes are
    settle: float = 0.045  # seconds from then until all of it lies on the ground
    setup_rear_knee: float = 33.0
    load_rear_knee: float = 42.0
    down_rear_knee: float = 48.0
    down_shift: float = -0.05  # hips ahead of the middle between the feet when the foot lands
    down_rear_knee_out: float = 14.0  # turns the rear knee in, toward the pitcher
    contact_front_knee: float = 14.0
    finish_front_knee: float = 8.0
    lean: float = 17.0
    head_drift: float = 0.05
    face: float = 70.0
    hands_back: float = 0.09
    hands_height: float = 0.0
    bat_up: float = 55.0
    coil: float = 14.0
    contact_hips: float = 72.0
    contact_chest: float = 54.0
    weight_shift: float = 0.035  # how far the hips end ahead of the middle between the feet
    reach: float = 0.0
    finish_height: float = 0.10
    tilt_at_contact: float = -20.0  # elevation of the bat at contact
    heel: float = 66.0
    sway: float = 0.006
    phase: float = 0.0
    # What hitters do who do not swing after the common description; these defaults change nothing.
    tap: float = 0.0  # the front foot is drawn back so far, taps the ground and goes from there
    rock: float = 0.0  # the body goes to and fro so far until it loads
    rock_hz: float = 0.9
    rock_stops: float = 0.0  # seconds after the load begins
    hands_wait: float = -70.0  # azimuth of the grip at set-up: 0 at the plate, -90 at the catcher
    hands_load: float = -92.0  # and farthest back
    hands_load_late: float = 0.0  # seconds by which the hands are back after the front foot is highest
    load_height: float = 0.0  # of the hands, against set-up
    bat_wait: float = -138.0  # azimuth of the bat at set-up
    bat_wrap: float = -146.0  # and when the hands are back
    rear_elbow_up: float = 0.0  # 1: at the height of the shoulder
    cast: float = 0.0  # the hands go so far out on their way to the ball
    hips_lead: float = 0.0  # seconds by which the hips turn earlier than usual
    chest_lead: float = 0.0
    meets: float = (
        0.0  # seconds by which the ball is met earlier in the bat's way than square to the line; late below 0
    )
    head_back: float = 0.0  # the head stays so far behind at contact
    bow: float = 0.95  # trunk's lean toward the plate at contact, against set-up
    hips_side: float = 6.0  # of the pelvis at contact, the rear side lower
    heel_at_down: float = 0.0  # of the rear foot when the front foot lands
    drag: float = 0.0  # the rear foot is drawn after the hips so far
    lets_go: float = 0.0  # the rear hand leaves the bat and ends so far from it
    lets_go_after: float = 0.12  # seconds after contact
    # How far hitters differ at foot down, through contact and after it; these defaults are the common description.
    setup_front_foot: float = 2.0  # yaw at set-up
    setup_rear_foot: float = -3.0
    setup_hips: float = -2.0
    setup_chest: float = -5.0
    glide: float = 0.0  # seconds before it lands that the front foot is low already
    hips_at_down: float = 4.0
    chest_open: float = 0.0  # of the chest when the foot lands, more than the common -8 less the coil
    front_spin: float = 0.0  # the front foot turns open by so much after contact
    rear_spin: float = 1.0  # of the rear foot's turn at contact and after, against the usual
    hips_on: float = 1.0  # of the hips' turn after contact, against the usual
    chest_on: float = 1.0
    contact_lean: float = 5.0  # of the pelvis
    finish_lean: float = 0.0
    weight_at_contact: float = 0.0  # hips further ahead at contact
    rear_knee_on: float = 0.0  # the rear knee may be straighter by so much at contact and after, degrees
    bent: float = 0.0  # the hands stay so much nearer at contact and after it, metres
    finish_around: float = 150.0  # azimuth of the hands at the finish
    finish_out: float = 0.36  # their distance from the chest's middle
    finish_bat: float = 250.0  # azimuth of the bat there
    finish_bat_up: float = -6.0
    face_at_contact: float = -24.0  # turn of the face against set-up
    finish_face: float = 84.0
    elbow_up_after: float = 0.0  # 1: the front elbow is carried at the height of the shoulder after contact
    head_set: float = 0.0  # the head is so far toward the pitcher at set-up and load, and all along
    head_down: float = 0.0  # and moves so much further until the front foot lands
    drive: float = 0.0  # seconds by which the hands are quickest later than usual
