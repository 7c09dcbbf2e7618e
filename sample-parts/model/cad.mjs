// The solid modeller (replicad on OpenCascade) made ready for the sample parts: primitives that replicad does not wrap,
// and a STEP writer whose bytes depend on the shapes alone.
import { createRequire } from 'node:module';
import path from 'node:path';

const require = createRequire(import.meta.url);
const kernelFolder = path.dirname(require.resolve('replicad-opencascadejs'));
// The kernel's loader is written for CommonJS and looks for these two.
globalThis.require = require;
globalThis.__dirname = kernelFolder;

const { default: openCascade } = await import('replicad-opencascadejs');
export const R = await import('replicad');
export const oc = await openCascade({ locateFile: (file) => path.join(kernelFolder, file) });
R.setOC(oc);

/** Height of the blocks that surfaces are cut out of, mm: higher than any part. */
const TALL = 200;

export const point = (x, y, z) => new oc.gp_Pnt(x, y, z);

/** Solid torus whose axis runs along y through (0, 0, z): its seams lie away from the parts. */
export function torusAcross(z, major, minor) {
  const axes = new oc.gp_Ax2(point(0, 0, z), new oc.gp_Dir(0, 1, 0), new oc.gp_Dir(0, 0, 1));
  return R.cast(new oc.BRepPrimAPI_MakeTorus(axes, major, minor).Shape());
}

/** Solid between two heights over a plan outline given as a closed replicad drawing. */
export function column(drawing, from, to) {
  return drawing.sketchOnPlane('XY', from).extrude(to - from);
}

/** Everything below a face, as far as parts reach. */
export function below(face) {
  return R.cast(new oc.BRepPrimAPI_MakePrism(face, new oc.gp_Vec(0, 0, -TALL)).Shape());
}

/** Solid of revolution about z of a closed profile drawn in the plane (radius, z). */
export function turned(drawing) {
  return drawing.sketchOnPlane('XZ').revolve();
}

/** Face on a bicubic B-spline through the points of z = height(x, y) on a square grid. */
export function interpolatedFace(height, { x, y, spacing }) {
  const nx = Math.round((x[1] - x[0]) / spacing) + 1;
  const ny = Math.round((y[1] - y[0]) / spacing) + 1;
  const points = new oc.NCollection_Array2_gp_Pnt(1, nx, 1, ny);
  for (let i = 0; i < nx; i++) {
    for (let j = 0; j < ny; j++) {
      const px = x[0] + spacing * i;
      const py = y[0] + spacing * j;
      points.SetValue(i + 1, j + 1, point(px, py, height(px, py)));
    }
  }
  const spline = new oc.GeomAPI_PointsToBSplineSurface();
  spline.Interpolate(points);
  return new oc.BRepBuilderAPI_MakeFace(spline.Surface(), 1e-6).Face();
}

/** The offset surface of a face, `distance` mm along its normal. */
export function offsetFace(face, distance) {
  const offset = new oc.BRepOffsetAPI_MakeOffsetShape();
  offset.PerformBySimple(face, distance);
  return offset.Shape();
}

/** Wire of one edge on the closed cubic B-spline through curve(phi), phi evenly spread over one turn. */
export function interpolatedLoop(curve, count) {
  const points = new oc.NCollection_Array1_gp_Pnt(1, count);
  const parameters = new oc.NCollection_Array1_double(1, count + 1);
  for (let i = 0; i <= count; i++) {
    const phi = (2 * Math.PI * i) / count;
    if (i < count) points.SetValue(i + 1, point(...curve(phi)));
    parameters.SetValue(i + 1, phi);
  }
  const fit = new oc.GeomAPI_Interpolate(
    new oc.NCollection_HArray1_gp_Pnt(points),
    new oc.NCollection_HArray1_double(parameters),
    true,
    1e-9,
  );
  fit.Perform();
  const edge = new oc.BRepBuilderAPI_MakeEdge(fit.Curve()).Edge();
  return new oc.BRepBuilderAPI_MakeWire(edge).Wire();
}

/** Solid bounded by ruled faces from each closed wire to the next and from the last to the first. */
export function ruledRing(wires) {
  const sewing = new oc.BRepBuilderAPI_Sewing(1e-6);
  wires.forEach((wire, i) => {
    const ruled = new oc.BRepOffsetAPI_ThruSections(false, true, 1e-9);
    ruled.CheckCompatibility(false);
    ruled.AddWire(wire);
    ruled.AddWire(wires[(i + 1) % wires.length]);
    ruled.Build();
    sewing.Add(ruled.Shape());
  });
  sewing.Perform();
  const shell = R.cast(sewing.SewedShape()).wrapped;
  const solid = new oc.BRepBuilderAPI_MakeSolid(shell).Solid();
  oc.BRepLib.OrientClosedSolid(solid);
  return R.cast(solid);
}

/** STEP text of named solids; time, author and program are left out of the header, so that equal shapes give equal bytes. */
export async function stepText(bodies) {
  const shapes = Object.entries(bodies).map(([name, shape]) => ({ name, shape }));
  const text = await R.exportSTEP(shapes, { unit: 'MM', modelUnit: 'MM' }).text();
  return text
    .replace(/FILE_NAME\([\s\S]*?\);/, "FILE_NAME('','',(''),(''),'','','');")
    .replace(/FILE_DESCRIPTION\([\s\S]*?\);/, "FILE_DESCRIPTION((''),'2;1');");
}
