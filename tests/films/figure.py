"""Draw meshes with VTK, off screen: colour and coverage of a window of the picture, and the outline that the sun sees."""

from __future__ import annotations

import numpy as np
import vtk
from vtk.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray, vtk_to_numpy

from .camera import Camera
from .meshes import normals_of
from .solids import Light, Solid

__all__ = ["MeshView"]


class MeshView:
    """A VTK window of fixed size that draws solids over nothing."""

    def __init__(self, width: int, height: int, light: Light) -> None:
        self.renderer = vtk.vtkRenderer()
        self.renderer.SetBackground(0, 0, 0)
        self.renderer.SetBackgroundAlpha(0)
        self.window = vtk.vtkRenderWindow()
        self.window.SetOffScreenRendering(1)
        self.window.SetAlphaBitPlanes(1)
        self.window.SetMultiSamples(0)
        self.window.SetSize(width, height)
        self.window.AddRenderer(self.renderer)
        self.size = (width, height)
        self.light = light
        self.actors: list[vtk.vtkActor] = []
        self.renderer.RemoveAllLights()
        self.renderer.AutomaticLightCreationOff()
        sun = np.array(light.sun)
        for direction, colour, strength in (
            (sun, light.sun_colour, light.sun_strength),
            ((-0.3 * sun[0], 1.0, -0.3 * sun[2]), light.sky_colour, light.sky_strength),
            ((0.2, -1.0, 0.3), light.bounce_colour, light.bounce_strength),
        ):
            lamp = vtk.vtkLight()
            lamp.SetLightTypeToSceneLight()
            lamp.SetPositional(False)
            lamp.SetPosition(*(np.array(direction) * 10))
            lamp.SetFocalPoint(0, 0, 0)
            lamp.SetColor(*colour)
            lamp.SetIntensity(strength)
            self.renderer.AddLight(lamp)

    def show(self, solids: list[Solid]) -> None:
        """Replace what is drawn; solids keep their number and faces from call to call, so that only points are renewed."""
        if len(self.actors) != len(solids):
            for actor in self.actors:
                self.renderer.RemoveActor(actor)
            self.actors = [self._actor(solid) for solid in solids]
        for actor, solid in zip(self.actors, solids, strict=True):
            data = actor.GetMapper().GetInput()
            points = np.ascontiguousarray(solid.vertices, np.float32)
            data.GetPoints().SetData(numpy_to_vtk(points, deep=True))
            normals = normals_of(solid.vertices, solid.faces).astype(np.float32)
            data.GetPointData().SetNormals(numpy_to_vtk(normals, deep=True))
            data.Modified()

    def _actor(self, solid: Solid) -> vtk.vtkActor:
        data = vtk.vtkPolyData()
        data.SetPoints(vtk.vtkPoints())
        cells = vtk.vtkCellArray()
        wide = np.concatenate([np.full((len(solid.faces), 1), 3), solid.faces], 1).astype(np.int64)
        cells.SetCells(len(wide), numpy_to_vtkIdTypeArray(np.ascontiguousarray(wide.ravel()), deep=True))
        data.SetPolys(cells)
        mapper = vtk.vtkPolyDataMapper()
        mapper.SetInputData(data)
        actor = vtk.vtkActor()
        actor.SetMapper(mapper)
        look = actor.GetProperty()
        look.SetInterpolationToPhong()
        look.SetAmbient(self.light.ambient)
        look.SetDiffuse(1.0)
        look.SetSpecular(solid.shine)
        look.SetSpecularPower(12 + 50 * solid.shine)
        if isinstance(solid.colour, np.ndarray):
            shades = np.ascontiguousarray(np.rint(solid.colour * 255), np.uint8)
            data.GetPointData().SetScalars(numpy_to_vtk(shades, deep=True))
        else:
            look.SetColor(*solid.colour)
        self.renderer.AddActor(actor)
        return actor

    def through(self, camera: Camera, corner: tuple[float, float], zoom: float) -> None:
        """See the window of the camera's picture whose top left corner is ``corner`` at ``zoom`` pixels of ours per picture pixel."""
        view = vtk.vtkMatrix4x4()
        near, far = 0.5, 60.0
        fx, fy = camera.matrix[0, 0], camera.matrix[1, 1]
        cx, cy = camera.matrix[0, 2] - corner[0], camera.matrix[1, 2] - corner[1]
        width, height = self.size[0] / zoom, self.size[1] / zoom
        project = np.array(
            [
                [2 * fx / width, 0, 1 - 2 * cx / width, 0],
                [0, 2 * fy / height, 2 * cy / height - 1, 0],
                [0, 0, -(far + near) / (far - near), -2 * far * near / (far - near)],
                [0, 0, -1, 0],
            ]
        )
        for row in range(4):
            for column in range(4):
                view.SetElement(row, column, project[row, column])
        lens = self.renderer.GetActiveCamera()
        eye, ahead, up = camera.place, camera.rotation[2], -camera.rotation[1]
        lens.SetPosition(*eye)
        lens.SetFocalPoint(*(eye + ahead))
        lens.SetViewUp(*up)
        lens.SetUseExplicitProjectionTransformMatrix(True)
        lens.SetExplicitProjectionTransformMatrix(view)

    def along(self, toward_sun: np.ndarray, centre: np.ndarray, width: float) -> None:
        """See the scene from the sun, parallel rays, ``width`` metres across."""
        lens = self.renderer.GetActiveCamera()
        lens.SetUseExplicitProjectionTransformMatrix(False)
        lens.ParallelProjectionOn()
        lens.SetPosition(*(centre + toward_sun * 10))
        lens.SetFocalPoint(*centre)
        lens.SetViewUp(*sun_up(toward_sun))
        lens.SetParallelScale(width / 2 * self.size[1] / self.size[0])
        lens.SetClippingRange(0.1, 30)

    def picture(self) -> np.ndarray:
        """RGBA uint8 [height, width, 4]; nothing drawn is 0 in all four."""
        self.window.Render()
        out = vtk.vtkUnsignedCharArray()
        width, height = self.size
        self.window.GetRGBACharPixelData(0, 0, width - 1, height - 1, 0, out)
        return vtk_to_numpy(out).reshape(height, width, 4)[::-1]


def sun_up(toward_sun: np.ndarray) -> np.ndarray:
    """The upward direction of the picture that the sun sees."""
    return np.array([1.0, 0, 0]) if abs(toward_sun[1]) > 0.9 else np.array([0.0, 1.0, 0.0])
