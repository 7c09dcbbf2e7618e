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
const oc = await openCascade({ locateFile: (file) => path.join(kernelFolder, file) });
R.setOC(oc);

/** Height of the blocks that surfaces are cut out of, mm: higher than any part. */
const TALL = 200;

const point = (x, y, z) => new oc.gp_Pnt(x, y, z);

/**
 * Everything below the inner side of a torus whose axis runs along y through (0, 0, z). The face is a patch, not the whole
 * torus: borders cut out of the whole one came out 5e-4 mm off in places, those of the patch 1e-7 mm.
 */
export function belowTorus(z, major, minor) {
  const axes = new oc.gp_Ax2(point(0, 0, z), new oc.gp_Dir(0, 1, 0), new oc.gp_Dir(0, 0, 1));
  const whole = R.cast(new oc.BRepPrimAPI_MakeTorus(axes, major, minor).Shape());
  const surface = oc.BRep_Tool.Surface(whole.faces[0].wrapped);
  const [round, across] = [0.45, 0.9];
  const { PI } = Math;
  return below(new oc.BRepBuilderAPI_MakeFace(surface, PI - round, PI + round, PI - across, PI + across, 1e-7).Face());
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

/**
 * Wire of one edge on the closed uniform cubic B-spline through curve(phi), phi evenly spread over one turn. The poles P
 * solve (P[i-1] + 4 P[i] + P[i+1]) / 6 = Q[i]; the iteration halves its error in every round.
 */
export function interpolatedLoop(curve, count) {
  const through = Array.from({ length: count }, (_, i) => curve((2 * Math.PI * i) / count));
  let poles = through;
  for (let round = 0; round < 60; round++) {
    poles = poles.map((_, i) => {
      const [before, after] = [poles[(i + count - 1) % count], poles[(i + 1) % count]];
      return through[i].map((value, axis) => (6 * value - before[axis] - after[axis]) / 4);
    });
  }
  const points = new oc.NCollection_Array1_gp_Pnt(1, count);
  poles.forEach((pole, i) => {
    points.SetValue(i + 1, point(...pole));
  });
  const knots = new oc.NCollection_Array1_double(1, count + 1);
  const multiplicities = new oc.NCollection_Array1_int(1, count + 1);
  for (let i = 0; i <= count; i++) {
    knots.SetValue(i + 1, (2 * Math.PI * i) / count);
    multiplicities.SetValue(i + 1, 1);
  }
  const spline = new oc.Geom_BSplineCurve(points, knots, multiplicities, 3, true);
  const edge = new oc.BRepBuilderAPI_MakeEdge(spline).Edge();
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

/**
 * STEP text of named solids. Colours are left out (they are written in no steady order), and so are time, author and
 * program in the header: equal shapes give equal bytes.
 */
export function stepText(bodies) {
  const assembly = R.createAssembly(Object.entries(bodies).map(([name, shape]) => ({ name, shape })));
  const writer = new oc.STEPCAFControl_Writer(new oc.XSControl_WorkSession(), false);
  writer.SetColorMode(false);
  writer.SetNameMode(true);
  oc.Interface_Static.SetCVal('write.step.unit', 'MM');
  oc.Interface_Static.SetIVal('write.step.schema', 5);
  const file = 'part.step';
  if (!writer.Perform(assembly.wrapped, file, new oc.Message_ProgressRange())) throw new Error('no STEP was written');
  const text = oc.FS.readFile(`/${file}`, { encoding: 'utf8' });
  oc.FS.unlink(`/${file}`);
  return text
    .replace(/FILE_NAME\([\s\S]*?\);/, "FILE_NAME('','',(''),(''),'','','');")
    .replace(/FILE_DESCRIPTION\([\s\S]*?\);/, "FILE_DESCRIPTION((''),'2;1');");
}
