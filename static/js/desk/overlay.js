// @ts-check
/**
 * What lies over the film in the viewport: body and bat, the drawing, what is being drawn or held just now.
 * @typedef {import("./types.js").Shape} Shape
 * @typedef {import("./tools.js").Tools} Tools
 */
import { holdsOf } from "./holds.js";
import { paintBat, paintBody, paintHolds, paintPlate, paintShape } from "./paint.js";

/**
 * @param {Tools} tools
 * @param {import("./paint.js").Pens} pens
 * @param {() => boolean} showsBody
 * @returns {import("./viewport.js").Layer}
 */
export function overlay(tools, pens, showsBody) {
  return (ink, view) => {
    const { viewport, bodies, points } = tools;
    if (showsBody() || tools.tool === "points") {
      const { body } = points;
      if (body?.points) paintBody(ink, view, body.points, pens, bodies.placed(viewport.frame));
      if (body?.bat) paintBat(ink, view, body.bat, pens, bodies.batIsPlaced(viewport.frame));
      if (tools.tool === "points")
        paintHolds(
          ink,
          view,
          holdsOf(body).map(({ at }) => at),
          points.here?.at ?? null,
          pens,
        );
    }
    if (showsBody() || tools.tool === "plate") paintPlate(ink, view, tools.plate.shown(), pens, tools.tool === "plate");
    shapesNow(tools).forEach((shape, i) => paintShape(ink, view, shape, pens, i === tools.chosen));
    if (tools.growing) paintShape(ink, view, tools.growing, pens, false);
    if (tools.caught) paintHolds(ink, view, [], tools.caught, pens);
  };
}

/**
 * @param {Tools} tools
 * @returns {Shape[]}
 */
function shapesNow(tools) {
  const { changing } = tools;
  return changing ? tools.shapes.map((shape, i) => (i === changing.which ? changing.shape : shape)) : tools.shapes;
}
