"""Frames of a film: the painted field, the shadow, the figure with motion blur, the ball."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter, map_coordinates

from .body import build_body
from .clothes import dress
from .figure import MeshView, sun_up
from .film import CACHE, Bystander, Film, Play
from .meshes import skin
from .props import BALL_RADIUS, bat_solid, tee_solid
from .scene import paint
from .skeleton import Skeleton
from .solids import Solid

__all__ = ["frames"]

ZOOM = 2  # drawn finer than the film and averaged down
SHADOW_PIXELS = 300
SHADOW_SOFT = 1.15  # pixels; the edge of a shadow is not sharp
SHADOW_METRES = 4.6
BALL_COLOUR = np.array([0.95, 0.94, 0.90], np.float32)


class Renderer:
    """Draws one film's frames."""

    def __init__(self, film: Film) -> None:
        self.film, self.play = film, Play(film)
        self.meshes = dress(self.play.body, film.outfit)
        self.extras = self._extras()
        self.field = paint(film.place, self.play.camera)
        self._frame_window()
        self.fine_view = MeshView(self.window[2] * ZOOM, self.window[3] * ZOOM, film.light)
        self.quick_view = MeshView(self.window[2], self.window[3], film.light)
        self.sun_view = MeshView(SHADOW_PIXELS, SHADOW_PIXELS, film.light)
        self._aim_shadow()

    def _extras(self) -> list[Solid]:
        """What stands still: tee and bystander."""
        solids = []
        if self.film.toss is None:
            solids.append(tee_solid(self.play.meetings[0]))
        if self.film.bystander:
            solids += onlooker(self.film.bystander)
        return solids

    def solids(self, time: float) -> list[Solid]:
        """Everything but the ball at ``time``, field axes."""
        posed, body = self.play.posed(time), self.play.body
        flip = self.play.left_handed
        out = []
        for mesh in self.meshes:
            points = self.play.to_field(skin(mesh, posed.rotations, posed.places, body.heads))
            out.append(Solid(points, mesh.faces[:, ::-1] if flip else mesh.faces, mesh.colour, mesh.shine))
        ends = self.play.to_field(np.stack([posed.knob, posed.barrel]))
        out.append(bat_solid(ends[0], ends[1], self.film.bat_colour, self.film.bat_tape))
        return out + self.extras

    def _frame_window(self) -> None:
        """The part of the picture that figure, bat and tee ever touch: x, y, width, height in pixels."""
        film = self.film
        times = np.concatenate(
            [np.linspace(0, film.seconds, 12)] + [np.linspace(t.move, t.finish, 60) for t in film.timings]
        )
        points = []
        for time in times:
            posed = self.play.posed(time)
            points += [
                self.play.to_field(np.array(list(posed.joints.values()))),
                self.play.to_field(np.stack([posed.knob, posed.barrel])),
            ]
        points += [solid.vertices for solid in self.extras]
        seen = self.play.camera.project(np.concatenate(points))
        low = np.maximum(np.floor(seen.min(0) - 34), 0).astype(int)
        high = np.minimum(np.ceil(seen.max(0) + 34), film.size).astype(int)
        self.window = (int(low[0]), int(low[1]), int(high[0] - low[0]), int(high[1] - low[1]))

    def _aim_shadow(self) -> None:
        """Which point of the sun's picture each ground pixel sees."""
        film, camera = self.film, self.play.camera
        sun = np.array(film.light.sun) / np.linalg.norm(film.light.sun)
        self.centre = self.play.to_field(np.array([0.15, 0.85, 0.1]))
        self.sun = sun
        up = sun_up(sun)
        right = np.cross(up, sun)
        right /= np.linalg.norm(right)
        up = np.cross(sun, right)
        y, x = np.mgrid[0 : film.size[1], 0 : film.size[0]] + 0.5
        rays = camera.rays(np.stack([x, y], -1))
        reach = np.where(rays[..., 1] < -1e-6, -camera.place[1] / np.minimum(rays[..., 1], -1e-6), np.inf)
        ground = camera.place + rays * np.where(np.isfinite(reach), reach, 0)[..., None]
        offset = (ground - self.centre) / SHADOW_METRES * SHADOW_PIXELS
        column, row = SHADOW_PIXELS / 2 + offset @ right - 0.5, SHADOW_PIXELS / 2 - offset @ up - 0.5
        inside = (
            np.isfinite(reach) & (column > 1) & (row > 1) & (column < SHADOW_PIXELS - 2) & (row < SHADOW_PIXELS - 2)
        )
        rows, columns = np.nonzero(inside)
        self.shade_box = np.s_[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
        self.shadow_at = np.stack(
            [np.where(inside, row, 0)[self.shade_box], np.where(inside, column, 0)[self.shade_box]]
        )

    def shadow(self, solids: list[Solid]) -> np.ndarray:
        """How much sun each pixel of the shaded box loses, [rows, columns] in 0..1."""
        self.sun_view.show(solids)
        self.sun_view.along(self.sun, self.centre, SHADOW_METRES)
        outline = (self.sun_view.picture()[..., 3] > 127).astype(np.float32)
        return map_coordinates(gaussian_filter(outline, SHADOW_SOFT), self.shadow_at, order=1, output=np.float32)

    def frame(self, time: float) -> np.ndarray:
        """RGB uint8 [height, width, 3] of the frame whose exposure has its middle at ``time``."""
        film = self.film
        moments = self._moments(time)
        middle = self.solids(time)
        strength = 0.62 * film.light.sun_strength
        picture = self.field.copy()
        picture[self.shade_box] *= 1 - strength * self.shadow(middle)[..., None]
        if film.view in ("back_side", "catcher_side"):
            picture = self._with_ball(picture, time)
        x, y, w, h = self.window
        colour, cover = np.zeros((h, w, 3), np.float32), np.zeros((h, w, 1), np.float32)
        for number, moment in enumerate(moments):
            solids = middle if len(moments) == 1 else self.solids(moment)
            part_colour, part_cover = self._draw(solids, number, len(moments))
            colour += part_colour / len(moments)
            cover += part_cover / len(moments)
        tint = np.array([1 + film.place.warmth, 1, 1 - film.place.warmth], np.float32) * film.place.brightness
        part = picture[y : y + h, x : x + w]
        picture[y : y + h, x : x + w] = part * (1 - cover) + colour * tint
        if film.view not in ("back_side", "catcher_side"):
            picture = self._with_ball(picture, time)
        done = (np.clip(picture, 0, 1) * 255 + 0.5).astype(np.uint8)
        return self._wobble(done, time)

    def _draw(self, solids: list[Solid], number: int, count: int) -> tuple[np.ndarray, np.ndarray]:
        """Colour times coverage [h,w,3] and coverage [h,w,1] in the window; many blurred ones are each drawn coarse, a little shifted."""
        x, y = self.window[:2]
        zoom = ZOOM if count < 4 else 1
        view = self.fine_view if zoom == ZOOM else self.quick_view
        view.show(solids)
        shift = ((number * 0.618) % 1 - 0.5, (number * 0.382 + 0.25) % 1 - 0.5) if zoom == 1 else (0.0, 0.0)
        view.through(self.play.camera, (x + shift[0], y + shift[1]), zoom)
        drawn = view.picture()
        scale = np.float32(1 / zoom**2)
        colour = _sum_blocks(drawn[..., :3], zoom).astype(np.float32) * (scale / 255)
        return colour, _sum_blocks(drawn[..., 3:] > 0, zoom).astype(np.float32) * scale

    def _moments(self, time: float) -> np.ndarray:
        """Times within the exposure at which the figure is drawn: the more the faster the bat moves in the picture."""
        half = self.film.shutter_s / 2
        ends = []
        for moment in (time - half, time + half):
            wish = self.play.motion.stance(moment)
            reach = np.stack([wish.grip, wish.grip + wish.bat * self.film.bat_length * 0.85])
            ends.append(self.play.camera.project(self.play.to_field(reach)))
        way = float(np.abs(ends[1] - ends[0]).max())
        count = int(np.clip(np.ceil(way / 5), 1, 11)) if way > 2.5 else 1
        return time + (np.arange(count) + 0.5 - count / 2) / count * self.film.shutter_s

    def _with_ball(self, picture: np.ndarray, time: float) -> np.ndarray:
        """The ball, blurred along its way during the exposure."""
        count = 24
        moments = time + (np.arange(count) + 0.5 - count / 2) / count * self.film.shutter_s
        seen = [(c, d) for c in map(self.play.ball, moments) if c is not None and (d := self._depth(c)) > 0.5]
        if not seen:
            return picture
        discs = [(self.play.camera.project(c), self.play.camera.matrix[0, 0] * BALL_RADIUS / d) for c, d in seen]
        low = np.floor(np.min([at - r - 2 for at, r in discs], axis=0)).astype(int).clip(0)
        high = np.ceil(np.max([at + r + 3 for at, r in discs], axis=0)).astype(int)
        part = picture[low[1] : max(high[1], 0), low[0] : max(high[0], 0)]
        cover, light = np.zeros(part.shape[:2], np.float32), np.zeros(part.shape[:2], np.float32)
        for at, radius in discs:
            _add_disc(cover, light, at - low, radius, 1 / count)
        shade = np.where(cover > 0, light / np.maximum(cover, 1e-6), 0)[..., None] * BALL_COLOUR
        part[:] = part * (1 - cover[..., None]) + shade * cover[..., None]
        return picture

    def _depth(self, point: np.ndarray) -> float:
        return float((self.play.camera.rotation @ (point - self.play.camera.place))[2])

    def _wobble(self, picture: np.ndarray, time: float) -> np.ndarray:
        if not self.film.wobble:
            return picture
        # Pillow asks for the way back, from the new picture's pixels to the old one's.
        back = np.linalg.inv(self.play.wobbled(time))
        back = (back / back[2, 2]).ravel()[:8]
        image = Image.fromarray(picture)
        edge = Image.fromarray(np.pad(picture, ((40, 40), (40, 40), (0, 0)), mode="edge"))
        shift = np.array([[1, 0, 40], [0, 1, 40], [0, 0, 1.0]]) @ np.append(back, 1).reshape(3, 3)
        shift = (shift / shift[2, 2]).ravel()[:8]
        return np.array(edge.transform(image.size, Image.Transform.PERSPECTIVE, list(shift), Image.Resampling.BICUBIC))


def _sum_blocks(image: np.ndarray, by: int) -> np.ndarray:
    """Sums of blocks of ``by`` x ``by`` pixels, uint16."""
    total = np.zeros((image.shape[0] // by, image.shape[1] // by, image.shape[2]), np.uint16)
    for row in range(by):
        for column in range(by):
            total += image[row::by, column::by]
    return total


def _add_disc(cover: np.ndarray, light: np.ndarray, centre: np.ndarray, radius: float, share: float) -> None:
    h, w = cover.shape
    x0, x1 = int(max(0, centre[0] - radius - 2)), int(min(w, centre[0] + radius + 3))
    y0, y1 = int(max(0, centre[1] - radius - 2)), int(min(h, centre[1] + radius + 3))
    if x0 >= x1 or y0 >= y1:
        return
    y, x = np.mgrid[y0:y1, x0:x1] + 0.5
    dx, dy = (x - centre[0]) / radius, (y - centre[1]) / radius
    disc = np.clip((1 - np.hypot(dx, dy)) * radius + 0.5, 0, 1) * share
    cover[y0:y1, x0:x1] += disc
    light[y0:y1, x0:x1] += disc * np.clip(0.86 - 0.22 * dy, 0.4, 1)


def onlooker(wish: Bystander) -> list[Solid]:
    """The bystander's solids, field axes."""
    body = build_body(wish.shape, CACHE)
    skeleton = Skeleton(body, 0.8)
    rotations, places = skeleton.standing(wish.yaw)
    move = np.array([wish.at[0], skeleton.sole, wish.at[1]])
    worn = dress(body, wish.outfit)
    return [Solid(skin(m, rotations, places, body.heads) + move, m.faces, m.colour, m.shine) for m in worn]


def frames(film: Film, which: range | None = None) -> Iterator[np.ndarray]:
    """The film's frames (or those of ``which``) in order."""
    renderer = Renderer(film)
    times = renderer.play.frame_times()
    for k in which if which is not None else range(len(times)):
        yield renderer.frame(float(times[k]))
