"""Draw a dressed body with OpenGL, off screen, quickly: the bones go to the graphics card, the skin follows there.

Works through EGL with or without a graphics card (moderngl, see tests/films/requirements.txt).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import moderngl
import numpy as np
from scipy import sparse

from tests.films.body import Body
from tests.films.camera import Camera
from tests.films.meshes import Mesh
from tests.films.props import bat_shape, tube_faces
from tests.films.solids import Light

from .movers import Moment

__all__ = ["Figure", "Painter"]

WIDE = 4  # bones that move a vertex
COLUMNS, ROWS = 8, 4  # pictures drawn before they are fetched
_VERTEX = """
#version 330
in vec3 at; in vec3 tint; in vec4 bones; in vec4 shares;
uniform sampler2D moves; uniform int first; uniform mat4 view; uniform vec3 mirror;
uniform vec3 origin; uniform vec3 sun; uniform float flat_;
out vec3 place; out vec3 colour;
void main() {
  vec3 p = vec3(0.0);
  for (int k = 0; k < 4; k++) {
    int row = int(bones[k] + 0.5) + first;
    vec4 x = texelFetch(moves, ivec2(0, row), 0), y = texelFetch(moves, ivec2(1, row), 0), z = texelFetch(moves, ivec2(2, row), 0);
    vec4 q = vec4(at, 1.0);
    p += shares[k] * vec3(dot(x, q), dot(y, q), dot(z, q));
  }
  p = (p + origin) * mirror;
  if (flat_ > 0.5) p = p - sun * (p.y / sun.y) + vec3(0.0, 0.002, 0.0);
  place = p; colour = tint;
  gl_Position = view * vec4(p, 1.0);
}
"""
_FRAGMENT = """
#version 330
in vec3 place; in vec3 colour;
uniform vec3 eye; uniform vec3 ways[3]; uniform vec3 lamps[3]; uniform float ambient;
out vec4 shade;
void main() {
  vec3 n = normalize(cross(dFdx(place), dFdy(place)));
  if (dot(n, eye - place) < 0.0) n = -n;
  vec3 light = vec3(ambient);
  for (int k = 0; k < 3; k++) light += lamps[k] * max(dot(n, ways[k]), 0.0);
  shade = vec4(min(colour * light, vec3(1.0)), 1.0);
}
"""


@dataclass(frozen=True)
class Figure:
    """A dressed body (and a bat) as one mesh: rows [V, 14] of place, tint, bones and shares; faces [T, 3]."""

    body: Body
    rows: np.ndarray
    faces: np.ndarray
    bat_length: float

    @classmethod
    def of(cls, body: Body, meshes: list[Mesh], bat_length: float, bat: np.ndarray, tape: np.ndarray) -> Figure:
        """From the meshes of a dressed body; the bat hangs on a bone of its own, after the body's."""
        rows, faces, base = [], [], 0
        for mesh in meshes:
            bones, shares = _largest(mesh.weights)
            tint = np.broadcast_to(np.asarray(mesh.colour, float), (len(mesh.vertices), 3))
            rows.append(np.concatenate([mesh.vertices, tint, bones, shares], 1))
            faces.append(mesh.faces + base)
            base += len(mesh.vertices)
        at, radius = bat_shape(bat_length)
        turn = np.linspace(0, 2 * np.pi, 14, endpoint=False)
        ring = np.stack([np.cos(turn), np.zeros_like(turn), np.sin(turn)], 1)
        points = (np.array([0, 1.0, 0]) * at[:, None])[:, None] + ring[None] * radius[:, None, None]
        tint = np.repeat(np.where((at < 0.33 * bat_length)[:, None], tape, bat), 14, 0)
        count = points.shape[0] * 14
        hung = np.tile([len(body.bones), 0, 0, 0, 1, 0, 0, 0], (count, 1))
        rows.append(np.concatenate([points.reshape(-1, 3), tint, hung], 1))
        faces.append(tube_faces(len(at), 14) + base)
        return cls(body, np.concatenate(rows).astype("f4"), np.concatenate(faces).astype("i4"), bat_length)

    def moves(self, moment: Moment) -> np.ndarray:
        """Rows of the movement of each bone [B + 1, 3, 4]; a bat that is not there lies far below the ground."""
        shift = moment.places - np.einsum("bij,bj->bi", moment.rotations, self.body.heads)
        body = np.concatenate([moment.rotations, shift[:, :, None]], 2)
        bat = np.zeros((1, 3, 4))
        bat[0, 1, 3] = -50.0
        if moment.bat is not None:
            axis = (moment.bat[1] - moment.bat[0]) / np.linalg.norm(moment.bat[1] - moment.bat[0])
            side = np.cross(axis, [0.3, 0.5, 0.8])
            side /= np.linalg.norm(side)
            bat[0] = np.concatenate([np.stack([side, axis, np.cross(side, axis)], 1), moment.bat[0][:, None]], 1)
        return np.concatenate([body, bat]).astype("f4")


def _largest(weights: sparse.csr_matrix) -> tuple[np.ndarray, np.ndarray]:
    """The bones [V, WIDE] with the largest shares of each vertex, and those shares, adding up to 1."""
    bones, shares = np.zeros((weights.shape[0], WIDE)), np.zeros((weights.shape[0], WIDE))
    weights = sparse.csr_matrix(weights)
    for row in range(weights.shape[0]):
        part = slice(weights.indptr[row], weights.indptr[row + 1])
        values = weights.data[part]
        best = np.argsort(-values)[:WIDE]
        bones[row, : len(best)], shares[row, : len(best)] = weights.indices[part][best], values[best]
    return bones, shares / np.maximum(shares.sum(axis=1, keepdims=True), 1e-9)


def _context(device: int) -> moderngl.Context:
    """A context without a screen, by whichever names this machine has OpenGL and EGL installed."""
    reasons = []
    for gl in ("libGL.so", "libGL.so.1", "libOpenGL.so.0"):
        for egl in ("libEGL.so", "libEGL.so.1"):
            for chosen in dict.fromkeys((device, 0)):
                try:
                    return moderngl.create_context(
                        standalone=True, backend="egl", libgl=gl, libegl=egl, device_index=chosen
                    )
                except Exception as reason:  # moderngl raises nothing more specific
                    reasons.append(f"{gl}, {egl}: {reason}")
    raise RuntimeError("No OpenGL without a screen: " + "; ".join(reasons))


class Painter:
    """Draws figures into square pictures of one size, with coverage."""

    def __init__(self, side: int, device: int = 0) -> None:
        self.ctx = _context(device)
        self.program = self.ctx.program(vertex_shader=_VERTEX, fragment_shader=_FRAGMENT)
        self.side = side
        # Many pictures are drawn beside each other before any is fetched: waiting for a graphics card that others use as
        # well costs more than drawing.
        self.whole = (side * COLUMNS, side * ROWS)
        self.fine = self.ctx.framebuffer(
            [self.ctx.renderbuffer(self.whole, 4, samples=4)], self.ctx.depth_renderbuffer(self.whole, samples=4)
        )
        self.plain = self.ctx.framebuffer([self.ctx.renderbuffer(self.whole, 4)])
        self.ctx.enable(moderngl.DEPTH_TEST)
        self._held: tuple[object, ...] = ()
        self.figure: Figure | None = None

    def take(self, figure: Figure, light: Light) -> None:
        """Draw this figure from now on."""
        for thing in self._held:
            thing.release()  # type: ignore[attr-defined]
        vertices = self.ctx.buffer(figure.rows.tobytes())
        faces = self.ctx.buffer(figure.faces.tobytes())
        layout = [(vertices, "3f 3f 4f 4f", "at", "tint", "bones", "shares")]
        self.array = self.ctx.vertex_array(self.program, layout, faces)
        self.moves = self.ctx.texture((3, (len(figure.body.bones) + 1) * COLUMNS * ROWS), 4, dtype="f4")
        self._held = (self.array, vertices, faces, self.moves)
        self.figure = figure
        sun = np.array(light.sun) / np.linalg.norm(light.sun)
        self.sun = sun
        ways = [sun, np.array([-0.3 * sun[0], 1.0, -0.3 * sun[2]]), np.array([0.2, -1.0, 0.3])]
        ways = [way / np.linalg.norm(way) for way in ways]
        lamps = [
            np.array(light.sun_colour) * light.sun_strength,
            np.array(light.sky_colour) * light.sky_strength,
            np.array(light.bounce_colour) * light.bounce_strength,
        ]
        self._set("ways", np.array(ways, "f4"))
        self._set("lamps", np.array(lamps, "f4"))
        self._set("ambient", light.ambient)
        self._set("sun", tuple(sun))

    def _set(self, name: str, value: object) -> None:
        if name in self.program:
            if isinstance(value, np.ndarray):
                self.program[name].write(np.ascontiguousarray(value, "f4").tobytes())
            else:
                self.program[name].value = value

    def draw(
        self,
        moments: list[tuple[Moment, bool]],
        camera: Camera,
        mirrored: bool,
        origin: np.ndarray,
        crop: tuple[float, float, float],
    ) -> Iterator[np.ndarray]:
        """RGBA uint8 [side, side, 4] of the crop (left, top, side in the camera's pixels) for each moment, in order.

        A moment comes with whether its shadow on the ground is drawn instead.
        """
        assert self.figure is not None
        moves = np.array([self.figure.moves(moment) for moment, _ in moments])
        out = np.empty((len(moments), self.side, self.side, 4), np.uint8)
        self.fill(out, moves, np.array([shadow for _, shadow in moments]), camera, mirrored, origin, crop)
        yield from out

    def fill(
        self,
        out: np.ndarray,
        moves: np.ndarray,
        shadows: np.ndarray,
        camera: Camera,
        mirrored: bool,
        origin: np.ndarray,
        crop: tuple[float, float, float],
    ) -> None:
        """Draw into ``out`` [N, side, side, 4] for the bones' moves [N, B + 1, 3, 4]; see `draw`."""
        self._set("moves", 0)
        self._set("mirror", (1.0, 1.0, -1.0 if mirrored else 1.0))
        self._set("origin", tuple(float(v) for v in origin))
        self._set("eye", tuple(float(v) for v in camera.place))
        self._set("view", _view(camera, crop).T)
        rows, room = moves.shape[1], COLUMNS * ROWS
        for start in range(0, len(moves), room):
            part = moves[start : start + room]
            held = np.zeros((room, *moves.shape[1:]), "f4")
            held[: len(part)] = part
            self.moves.write(held.tobytes())
            self.moves.use(0)
            self.fine.use()
            self.fine.viewport = (0, 0, *self.whole)
            self.ctx.clear(0.0, 0.0, 0.0, 0.0)
            for n in range(len(part)):
                self.fine.viewport = (n % COLUMNS * self.side, n // COLUMNS * self.side, self.side, self.side)
                self._set("first", n * rows)
                self._set("flat_", 1.0 if shadows[start + n] else 0.0)
                self.array.render()
            self.ctx.copy_framebuffer(self.plain, self.fine)
            data = np.frombuffer(self.plain.read(components=4), np.uint8).reshape(self.whole[1], self.whole[0], 4)
            for n in range(len(part)):
                x, y = n % COLUMNS * self.side, n // COLUMNS * self.side
                out[start + n] = data[y : y + self.side, x : x + self.side][::-1]


def _view(camera: Camera, crop: tuple[float, float, float]) -> np.ndarray:
    left, top, side = crop
    near, far = 0.5, 80.0
    fx, fy = camera.matrix[0, 0], camera.matrix[1, 1]
    cx, cy = camera.matrix[0, 2] - left, camera.matrix[1, 2] - top
    project = np.array(
        [
            [2 * fx / side, 0, 2 * cx / side - 1, 0],
            [0, -2 * fy / side, 1 - 2 * cy / side, 0],
            [0, 0, (far + near) / (far - near), -2 * far * near / (far - near)],
            [0, 0, 1, 0],
        ]
    )
    pose = np.eye(4)
    pose[:3, :3], pose[:3, 3] = camera.rotation, camera.shift
    return project @ pose
