"""What the desk's modules say, in the reader's language: they hold no sentences of their own."""

from __future__ import annotations

from django.utils.translation import gettext as _


def messages() -> dict[str, str]:
    """Sentences by name; {curly} places are filled in by the browser."""
    return {
        # saving
        "saved_now": _("Saved"),
        "saved_seconds": _("Saved {n} s ago"),
        "saved_minutes": _("Saved {n} min ago"),
        "saving": _("Saving"),
        "not_saved": _("Not saved yet, trying again"),
        "signed_out": _("Not saved: you were signed out. Sign in again in another tab; this page goes on by itself."),
        "stale": _("This draft was changed in another window."),
        "closed": _("This review is no longer yours."),
        "refused": _("Not taken:"),
        "load_again": _("Load the newest"),
        "kept_here": _("What you wrote here is kept in this browser."),
        "left_over_one": _("One change of yours was not saved when the page closed. It is put in now."),
        "left_over": _("{n} changes of yours were not saved when the page closed. They are put in now."),
        "nameless_one": _(
            "This browser holds one change for this player that was never sent, from before an update. It does not say whose "
            "it is. If it is yours, put it in; else leave it."
        ),
        "nameless": _(
            "This browser holds {n} changes for this player that were never sent, from before an update. They do not say "
            "whose they are. If they are yours, put them in; else leave them."
        ),
        "nameless_mine": _("Mine: put in"),
        "give_nobody": _("There is no other coach of this camp to hand it to, or nothing to hand over."),
        # film
        "frame_of": _("frame {frame} of {all}"),
        "film_fails": _("The pictures of this film cannot be loaded. Look at the connection, then step once more."),
        "no_bitmap": _("Waiting for frame {frame}"),
        "at_instant": _("{name}, frame {frame}"),
        "play": _("Play"),
        "pause": _("Pause"),
        "times_larger": _("{n}×"),
        "sound_on": _("Sound is on. You hear it at full speed."),
        "sound_on_slowed": _("Sound is on. You hear it while the film runs at the pace it was sent in."),
        "sound_none": _("This clip came without sound."),
        "sound_not_kept": _("This clip was measured before its sound was kept, so there is none to hear."),
        "sound_fails": _("The sound could not be loaded. Turn it off and on to try once more."),
        # corrections
        "put_here": _("Put “{name}” here"),
        "is_here": _("“{name}” is here"),
        "take_back": _("Take “{name}” back"),
        "point_none": _("Drag a point, or choose one and use the arrow keys."),
        "point_seen": _("Where it was seen."),
        "point_placed": _("Where you put it."),
        "point_missing": _("Not seen here. Click where it is."),
        "bat_missing": _("No bat seen here. Draw it: knob to end of barrel."),
        "point_move": _("Move with the arrow keys"),
        "point_move_named": _("Move with the arrow keys: {name}"),
        "point_add": _("Put it in the film"),
        "point_add_named": _("Put it in the film: {name}"),
        "plate_marking": _("Mark the plate’s five corners, going around: {n} of {all}."),
        "plate_corner": _("Corner {n}"),
        "plate_used": _("The line to the pitcher is read from these corners. Drag to correct."),
        "plate_odd": _(
            "These corners do not look like a plate on the ground, so they are not used. Drag them into place."
        ),
        # swings
        "swing_add": _("Add a swing"),
        "swing_first": _("The swing begins here"),
        "swing_last": _("The swing ends here"),
        "swing_none": _("No swing was found in this film. If you see one, step to where it begins and mark it."),
        "swing_mark_first": _("Step to where the swing begins."),
        "swing_mark_last": _("It begins at frame {frame}. Now step to where it ends."),
        "swing_too_short": _(
            "A swing ends at least four frames after it begins (frame {frame}). Step on, then mark its end."
        ),
        "swing_is_out": _("Swing {n} was taken out."),
        "swing_put_back": _("Put it back"),
        # swings that count
        "swing_counts": _("Swing {n} counts. Leave it out"),
        "swing_left_out": _("Swing {n} is left out. Let it count again"),
        "last_counts": _("One swing has to count. Take another one back first."),
        "rated_of": _("{rated} of {all} rated"),
        "hands_speed": _("hands"),
        "front_foot_speed": _("front foot"),
        "sound": _("sound"),
        "reading_again": _("Reading again"),
        "read_anew": _(
            "The readings of this film were made anew just now. Load the page again to see what changed; your ratings, words "
            "and drawings stay."
        ),
        "not_read": _("That could not be used:"),
        # side by side
        "compare_none": _(
            "This is the only swing of this player so far. With another one, from this clip or a new one, you see both here."
        ),
        "compare_waits": _("Loading the other swing"),
        "compare_fails": _("The other swing could not be loaded. Look at the connection, then choose it once more."),
        "compare_no_instant": _("One of the two swings does not show this instant. Choose another one."),
        # drawing
        "wanted_fails": _(
            "The wanted position could not be made just now. Look at the connection, then try once more."
        ),
        "wanted_shown": _("{name}: the wanted position, from this swing’s reading. Drag it, or undo it."),
        "no_ground": _(
            "Mark the plate’s five corners first (Plate): they give the ground. Then angles can be drawn on it."
        ),
        "drawn": _("{n} on this frame"),
        # write-up
        "write_up_state": _("Write-up: {good} good, {thing}"),
        "thing_chosen": _("one thing chosen"),
        "thing_open": _("the one thing is open"),
        "sentence": _("Good thing {n}"),
        "remove": _("Remove"),
        "phrases": _("Phrases"),
        "phrases_offered": _("{n} phrases. Arrow keys choose, Enter puts one in, Esc closes."),
        # drills
        "assign": _("Assign"),
        "assigned": _("assigned"),
        "trains_thing": _("trains the one thing"),
        "trains_side": _("trains the one thing: helps when it is “{side}”"),
        "trains_both": _("trains the one thing, from either side"),
        "trains_not_said": _("trains the one thing; against which side is not said"),
        "trains_other": _("for the other side: helps when it is “{side}”"),
        "no_sure_drill": _("No drill surely fits the one thing. Choose one in the write-up."),
        "no_drill": _("No drill of the library fits these words."),
        "goal": _("Goal the player can see"),
        "drill_words": _("Your words (optional)"),
        "take_out": _("Take out of the plan"),
        # preview
        "preview_waits": _("Making the preview"),
        "preview_fails": _("The preview could not be made just now."),
        "wait_saving": _(
            "Please wait: your last change is not saved yet. It is sent as soon as the connection is back; then try once more."
        ),
        **_done(),
        **_keys(),
    }


def _done() -> dict[str, str]:
    """What was undone or done again."""
    return {
        "undid": _("Undid: {what}"),
        "redid": _("Redid: {what}"),
        "nothing_to_undo": _("Nothing to undo."),
        "nothing_to_redo": _("Nothing to redo."),
        "did_stroke": _("stroke"),
        "did_delete": _("mark deleted"),
        "did_shape": _("mark changed"),
        "did_caption": _("words under the picture"),
        "did_picture": _("picture in the evaluation"),
        "did_corner": _("corner of the plate"),
        "did_plate": _("plate moved"),
        "did_point": _("point moved"),
        "did_bat": _("bat moved"),
        "did_point_back": _("back as measured"),
        "speed_seems": _("It seems to be {n}: right?"),
        "did_film": _("view, hand or speed of the film"),
        "did_instant": _("{name} moved"),
        "did_instant_before": _("{name} moved, and lies before {other} now. One of the two is wrong."),
        "did_instant_after": _("{name} moved, and lies after {other} now. One of the two is wrong."),
        "did_instant_back": _("{name} taken back"),
        "did_leave_out": _("swing {n} left out"),
        "did_let_count": _("swing {n} counts again"),
        "did_swing_out": _("swing {n} taken out"),
        "did_swing_back": _("swing {n} put back"),
        "did_swing_added": _("swing {n} added"),
        "did_rating": _("{name}: {rate}"),
        "did_no_rating": _("rating taken back"),
        "did_rating_words": _("{name}: your words"),
        "did_make_thing": _("the one thing: {name}"),
        "did_greeting": _("greeting"),
        "did_good": _("what is already good"),
        "did_thing": _("the one thing"),
        "did_closing": _("closing words"),
        "did_pronoun": _("he, she or they"),
        "did_lighter": _("how light the pictures are sent"),
        "did_first_draft": _("first draft"),
        "did_assign": _("{name} assigned"),
        "did_drill": _("{name} changed"),
        "did_take_out": _("{name} taken out"),
    }


def _keys() -> dict[str, str]:
    """The overlay of keys."""
    return {
        "keys_film": _("Film"),
        "keys_walk": _("Walk"),
        "keys_points": _("Checkpoints"),
        "keys_draw": _("Drawing"),
        "keys_desk": _("Desk"),
        "key_back": _("one frame back"),
        "key_forward": _("one frame on"),
        "key_back_ten": _("ten frames back"),
        "key_forward_ten": _("ten frames on"),
        "key_first": _("first frame of the swing"),
        "key_last": _("last frame of the swing"),
        "key_space": _("Space"),
        "key_play": _("play, and pause"),
        "key_larger": _("larger"),
        "key_smaller": _("smaller"),
        "key_whole": _("the whole picture"),
        "key_hitter": _("the hitter"),
        "key_loop": _("the swing again and again"),
        "key_sound": _("sound on or off, at full speed"),
        "key_slower": _("slower"),
        "key_faster": _("faster"),
        "key_compare": _("this swing beside another one, or an earlier one of the player"),
        "key_skeleton": _("skeleton on or off"),
        "key_lighter": _("dark film lighter, for you alone; the write-up says whether it is sent so"),
        "key_count": _("leave this swing out of the numbers, or let it count"),
        "key_put": _("put this instant here"),
        "key_restore": _("this frame as measured"),
        "key_mark_swing": _("add a swing: first, then last frame"),
        "key_not_swing": _("this is not a swing"),
        "key_stops": _("the stops, and the preview"),
        "key_next": _("on to the next stop; at the preview, publish"),
        "key_next_writing": _("the same, also out of a text field"),
        "key_up": _("checkpoint above"),
        "key_down": _("checkpoint below"),
        "key_good": _("good"),
        "key_watch": _("watch"),
        "key_work_on": _("work on"),
        "key_thing": _("make it the one thing"),
        "key_say": _("say so in the evaluation"),
        "key_drill": _("give the drill that fits the one thing best"),
        "key_words": _("your words on it"),
        "key_wanted": _("draw its wanted position on the frame"),
        "tool_look": _("leave a text field, then the tool: look, choose, move, shift the picture"),
        "tool_line": _("line; marks snap to the skeleton, with Alt they do not"),
        "tool_angle": _(
            "angle: first arm, then the second from its corner; again: to the vertical, horizontal, or on the ground"
        ),
        "tool_arrow": _("arrow"),
        "tool_ring": _("ring, from its middle"),
        "tool_free": _("free hand"),
        "tool_words": _("words; on a mark they stick to it"),
        "tool_points": _("put keypoints and bat in place"),
        "tool_plate": _("the corners of home plate"),
        "key_tone": _("what the next mark shows: seen, wanted, coach"),
        "key_undo": _("undo"),
        "key_redo": _("redo"),
        "key_delete": _("delete what is chosen"),
        "key_write_up": _("write-up"),
        "key_history": _("the player’s clips and evaluations"),
        "key_give": _("hand over to another coach"),
        "key_help": _("these keys"),
    }
