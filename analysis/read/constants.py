"""The numbers of reading that nothing fits anew by itself: name, value, unit, source, and what each is.

Units: heights are standing heights of the hitter; s are seconds of real time; sd are deviations of an error; odds are natural
logarithms of odds; a share is 0..1. Sources: "fitted" to tuning clips, which neither train nor judge (tests/lift/README.md);
"measured" on clips named there; "practice", common practice without a source; "memory", published but not looked up again; "choice",
what we settled on. Lengths of the body as shares of its height are in `analysis.proportions`, what a network looks at stands with that
network, and what calibration gave is in the facts of ``lift.npz``.
"""

from __future__ import annotations

from typing import Final

# Intervals
Z_90: Final = 1.645  # sd, exact: half of a 90 % interval of a normal distribution
QUANTILES_90: Final = (0.05, 0.5, 0.95)  # share, exact: the ends of a 90 % interval and its middle
FRAME_SHARE: Final = 1.0 / 12.0**0.5  # frames, exact: deviation of a moment that lies anywhere in one frame's time
MOST_STRETCHED: Final = 2.0  # times the usual, choice: no value is stretched by more, however unsure it is
ABOUT_AS_WIDE: Final = 1.05  # share, choice: of the band, for a view whose usual interval is that wide to be worth a film
WIDEST_SHARE: Final = 0.8  # share, choice: where no band is set, an interval wider than this of the strip tells nothing
WHOLE: Final = 1.0  # share, choice: of an error of which nothing is known, what stays from swing to swing
MEDIAN_TRIES: Final = 512  # number, choice: pairs of tries of how far the median of several swings goes
WHOLE_FROM: Final = 6.0  # of any unit, choice: an interval as wide is told without a decimal
DIGITS: Final = 5  # number, choice: of decimals that a result keeps

# The camera and the microphone
FOCAL_SHARE: Final = 0.9  # longer sides, memory: a phone's focal length, with and without a little zoom
FOCAL_SD: Final = 0.2  # natural logarithm, choice: how much phones differ in that
ROLL_SD: Final = 2.0  # degrees, choice: how far a phone is held from upright
SPEED_OF_SOUND: Final = 343.0  # m/s, memory: in air of 20 °C, 2.9 ms for each metre
USUAL_HEIGHT_M: Final = 1.5  # m, choice: a hitter's height, for a rough distance
DISTANCE_LIMITS_M: Final = (2.0, 25.0)  # m, choice: from where clips are filmed
DISTANCE_SHARE: Final = 0.7  # share, fitted: how wrong the distance may be (125 swings drawn to tune by)
DEVICE_SD_S: Final = 0.006  # s, memory: by which sound and picture of one phone are offset

# Good films
GOOD_FPS: Final = 50.0  # frames a second, choice
GOOD_HEIGHT_PX: Final = 220.0  # px, choice: of the hitter
GOOD_SHARE: Final = 0.9  # share, choice: of a swing's frames in which something has to be seen
EDGE_SHARE: Final = 0.01  # share, choice: of the picture's size; closer to the edge counts as cut off
STEADY_SHARE: Final = 0.25  # heights, choice: how far the picture may wander during a swing
TAGGED_FACTOR: Final = 1.5  # times slower than life, choice: less is no slow motion but a clock that wavers
LONGEST_SWING_S: Final = 0.4  # s, practice: from start to contact (0.13 to 0.3); slower ones were slowed down

# Corrections that can be
SPEED_LIMITS: Final = (0.1, 50.0)  # times slower than life, choice
FARTHEST_PX: Final = 100_000  # px, choice: far outside of any clip
MOST_SWINGS: Final = 100  # number, choice: each costs a reading
LEAST_SWING_FRAMES: Final = 4  # frames, choice: of a swing that a coach adds
LONGEST_QUOTE: Final = 80  # characters, choice: of what was given, in a message about it
EYE_SD: Final = 0.006  # heights, practice: how far beside a joint an eye puts it
HAND_SD_PX: Final = 1.5  # px, practice: how far beside that a hand lets go of it, or of a corner of the plate
OBSERVED_S: Final = 0.05  # s, choice: a hidden joint is where it was put so long before and after

# Cleaning
CUTOFF_HZ: Final = {  # Hz, memory: 6 to 12 for body points in the study of fast sports motion
    "wrist": 12.0, "index": 12.0, "elbow": 10.0, "knee": 8.0, "ankle": 8.0, "heel": 8.0, "toe": 8.0, "body": 6.0,
}  # fmt: skip
FASTEST: Final = {  # heights a second, memory: hand and foot speeds of swings, rounded up
    "wrist": 8.0, "index": 8.0, "elbow": 4.0, "ankle": 3.0, "heel": 3.0, "toe": 3.0, "body": 1.5,
}  # fmt: skip
LEAST_TOLERANCE: Final = 0.02  # heights, choice: so near the curve nothing is an outlier
BRIDGED_S: Final = 0.12  # s, choice: longer gaps stay open
ROBUST_ROUNDS: Final = 3  # number, choice: by then the weights stand
BIWEIGHT_REACH: Final = 4.685  # sd, memory: Tukey's biweight keeps 95 % efficiency
LEAST_POINTS: Final = 5  # number, choice: with fewer there is no telling noise from motion
MANUAL_WEIGHT: Final = 10.0  # times full trust, choice: a person put it there, so from here on it is no outlier
PUT_WEIGHT: Final = 50.0  # times full trust, choice: of a keypoint that a coach put in place
LEAST_TRUST: Final = 0.25  # times full trust, choice: of a keypoint that the pose model holds for hidden
CALM_FRAMES: Final = 15  # frames, choice: to either side, over which the hitter's size is taken; half a second of 60
FREE_SHARE: Final = 0.5  # share, choice: of the way a part can go in a frame, by which it may leave a smooth path
RESPONSE_POINTS: Final = 400  # number, choice: of frequencies over which a smoother's response is averaged
MEDIAN_LENGTHS: Final = (0.6745, 1.1774, 1.5382)  # sd, exact: of normal errors in one, two and three dimensions
LEAST_LEFT: Final = 0.05  # share, choice: of the noise that a residual is taken to hold at least
OUTLYING: Final = 8.0  # times the usual, choice: so far from its neighbours a point is left out of the first curve
# Usual steps of a joint, choice: what exchanged names cost per frame, and the most that one joint can cost. Legs may be named wrongly
# for the rest of a film; hands hold one bat and cross in every swing, so arms are believed unless much speaks against it.
SWAP_COSTS: Final = {"legs": (0.03, 40.0), "arms": (0.5, 8.0)}

# Lifting
LIFTED_FPS: Final = 30.0  # frames a second, measured: with 60, 480 judging swings are read no better
LEAST_SEEN_SHARE: Final = 0.5  # share, choice: with fewer joints in the picture there is no body to lift
UP_SD: Final = 0.1  # unit vector, choice: deviation of what is up where nobody was lifted
RANDOM_ERROR_S: Final = 0.04  # s, measured: the time constant of errors that do not last through the clip
BONE_SLIDE: Final = 0.02  # share, practice: joints slide, so a bone's length differs from pose to pose
POSE_REACH: Final = 1.5  # sd, choice: how far beyond its best time a pose is looked at
POSE_ROOM: Final = 2.0  # frames, choice: lifted beyond that, so that lines between poses reach over it

# Runs of the hands
SPEED_OVER_S: Final = 0.1  # s, choice: over which the hands' speed is taken; one misplaced wrist makes no run
RUN_BEFORE_S: Final = 0.3  # s, practice: so long before its peak a run has not begun
RUN_AFTER_S: Final = 0.4  # s, practice: and so long after it, it has ended
LEAST_RUN_SHARE: Final = 0.35  # share, choice: of the fastest run; slower ones are not swings
SWINGS_APART_S: Final = 1.0  # s, practice: between two swings there is a follow-through and a new stance
STANCE_S: Final = 1.2  # s, practice: so long before the hands' peak a hitter stands and strides
PEAK_TO_CONTACT_S: Final = 0.03  # s, fitted: the ball is met so long after the hands' peak (125 swings)

# Which runs are swings
SWING_ODDS: Final = 0.5  # odds, fitted: of 237 tuning clips without a swing 5 lie above, 3 of them without a bat; of 450 swings 3 below
BAT_LOOKS: Final = 12  # frames, choice: looked through for a bat in a run, before its absence says anything
NO_BAT: Final = 0.5  # chance, measured: in 479 tuning swings three frames have 0.8, in a real one 0.6; where nobody has a bat few have more
BAT_GLIMPSES: Final = 3  # frames, choice: in which a run that is a swing shows it; a limb is taken for a bat in one or two
GIVEN_SPEED_ODDS: Final = -3.0  # odds, choice: who settles a film's speed has seen a swing in it
FIRST_RUN_ODDS: Final = 1.0  # odds, choice: so much less likely may the run be that comes first
SURE_ODDS: Final = 3.0  # odds, choice: so surely a swing that no other hand or speed is tried
SLOWED_ODDS: Final = 2.0  # odds, choice: of a swing at another speed than the film's own; such films are rare
TWICE: Final = 2.0  # times, practice: the least of those below
TWICE_ODDS: Final = 4.0  # odds, fitted: by which that has to be likelier than the film's own speed (tuning swings by three hands)
SLOWED: Final = (TWICE, 4.0, 8.0)  # times, practice: by which phones and editors slow films down

# The line to the pitcher
LINE_SD: Final = 7.0  # degrees, measured: of the lifted ankles' line; 5 in 578 tuning swings, more in life
STANDING_SD: Final = 14.0  # degrees, practice: how near to one of the four sides parents stand, where no more is known
SIDE_EDGE: Final = 45.0  # degrees, exact: half-way from one of the four sides to the next
SIDE_WIDTH: Final = 8.0  # degrees, choice: about that edge, over which a side becomes sure
UNKNOWN_SD: Final = 30.0  # degrees, choice: where a coach says that the view is none of the four
LARGEST_CONTRADICTION: Final = 60.0  # degrees, choice: beyond it the coach's view, or the feet, are believed
BETWEEN_VIEWS: Final = 35.0  # degrees, practice: further from both sides and line a camera is between them
SQUARE_ENOUGH: Final = 0.7  # cosine, choice: how far off square a camera still sees the line in its picture
PLATE_CONFIDENCE: Final = 0.8  # share, measured: plates found on rendered films show the line from here on
SEEN_PLATE_SD: Final = 2.0  # degrees, measured: of these, beyond what a coach's corners may err
PLATE_MISS: Final = 0.12  # plate's widths, choice: a corner missed by more, and it is no plate
PLATE_FITS: Final = 3  # number, choice: ways around the plate that are worth a closer fit
TILTS: Final = (2.0, 5.0, 8.0, 11.0, 15.0, 20.0, 26.0, 33.0, 42.0)  # degrees, practice: phones look down a little
ABOVE_GROUND: Final = 1e-3  # share, choice: of a ray that must go down to meet the ground
PLATE_FITTED: Final = 1e-5  # share, choice: of the misfit or the pose; a step that changes less is the last
PLATE_TRIES: Final = 100  # number, choice: of poses tried; corners that no plate has would go on and on
SLOPE_STEP: Final = 1e-6  # radians or inches, choice: by which a slope is taken; a smaller step changes nothing
PLATE_NEAR_SD: Final = 25.0  # degrees, choice: how well the line is known without the plate
PLATE_LEAST_SD: Final = 2.0  # degrees, choice: mats are not laid out better

# Instants
FILM_EDGE_STEPS: Final = 1.5  # steps of the grid, choice: so near to the film's end an instant lies beyond it
OUTSIDE_CHANCE: Final = 0.5  # share, choice: with more chance than this beyond the film, it lies there
LEAST_CHANCE: Final = 0.02  # share, choice: with less between its neighbours, nothing can be said
CONTACT_NEAR_S: Final = 0.35  # s, choice: contact is no farther from when it usually is after the hands' peak, five deviations of it
LEAST_STRIDE: Final = 0.01  # heights, choice: where the foot strides, or its heel alone lifts, its middle goes at least so far
STRIDE_S: Final = 0.7  # s, practice: within so long before it is down
LEAST_SWING_S: Final = 0.05  # s, practice: no hands come from rest to the ball in less (130 to 200 ms)
BODY_NEAR_S: Final = 0.1  # s, choice: a body seen so near shows the instant
SWING_ROOM_S: Final = 0.15  # s, choice: shown before a swing's first instant and after its last
BAT_GAP_S: Final = 0.14  # s, choice: between the two sightings of the bat around contact
SQUARE_BEFORE_S: Final = 0.1  # s, practice: the bat comes square at most so long before the hands' peak
SQUARE_AFTER_S: Final = 0.2  # s, practice: and after it
SQUARE_BAT: Final = 0.5  # heights, practice: a bat's length where it is seen end on
NEXT_FRAME: Final = 1.5  # frames, choice: so near two frames are neighbours, also where times waver
SQUARE_SHARE_SD: Final = 0.2  # share, choice: of the time between two sightings, how far off the bat was square
SQUARE_SD_S: Final = 0.004  # s, choice: of a bat that is seen at its best
SQUARE_LATE_S: Final = 0.01  # s, choice: a ball is met so long before or after the bat is square
AGREEING_SDS: Final = 3.0  # sd, choice: further apart, two of bat, body and crack are not of the same contact
CRACK_FRAMES: Final = 2.5  # frames, choice: but a crack so near what was seen may always be the one
CRACK_S: Final = 0.05  # s, choice: and so near
LONE_CRACK_S: Final = 0.12  # s, choice: one that no other comes near, before a ball can be in a net or a bat on the ground
LONE_CRACK_TIMES: Final = 3.0  # times, choice: stronger than any other crack so long about the swing …
LONE_CRACK_ABOUT_S: Final = 0.4  # s, choice: … and so far away, it is no other's echo
LONE_CRACK_STRENGTH: Final = 10.0  # times the sound about it, choice: as loud as a ball on a bat
CRACK_SD_S: Final = 0.02  # s, choice: when cracks are weighed, what was seen is taken to be no surer
CRACK_AGREES: Final = 2.0  # sd, choice: further from what was seen a crack disagrees with it
DISAGREEMENT_SHARE: Final = 0.5  # share, choice: of a disagreement, that counts as a deviation
LEAST_PICTURE_SD_S: Final = 0.008  # s, choice: shutters and the moment of a frame differ from phone to phone
CRACK_LATE_S: Final = 0.02  # s, choice: further from a crack than a wrong distance explains, the picture may be wrong by the rest
FINISH_SHARE: Final = 0.2  # share, choice: of the swing's top speed; slower hands are at rest
FINISH_SPEED: Final = 0.08  # heights a second, choice: quicker hands may still come to rest
FINISH_WITHIN_S: Final = 1.0  # s, practice: after extension
FINISH_BAT_S: Final = 0.05  # s, choice: the bat swings on a little when the hands have stopped
FINISH_SD_S: Final = 0.07  # s, choice: where a finish is, is a matter of taste

# The bat
BAT_LENGTH: Final = 0.49  # heights, memory: of bats sold for hitters from a child (0.54) to a tall grown-up (0.46)
BAT_LENGTH_SD: Final = 0.04  # heights, memory: how much that differs
BAT_CALM_S: Final = 0.04  # s, fitted: so long before and after a bat's place is averaged (tuning swings, bats put in)
BAT_SEEN_FRAMES: Final = 8  # frames, choice: with the bat; a swing rather than a moment
BAT_PERCENTILE: Final = 98  # percent, fitted: of lengths surely seen; few frames show the bat in the picture's plane
BAT_LONGEST_SD: Final = 0.04  # heights, measured: how wrong that is (rendered films)
BAT_END_SD: Final = 0.03  # heights, fitted: how far an end sits beside itself, upward (rendered films)

# What is kept so that nothing is worked out twice
MOST_KEPT_SETS: Final = 64  # number, choice: sets of frames of a clip whose bodies are kept
MOST_KEPT_CLIPS: Final = 8  # number, choice: clips, at the speeds they were read at
MOST_KEPT_FRAMES: Final = 6_000  # frames, choice: 23 MB; longer clips are cleaned anew each time
