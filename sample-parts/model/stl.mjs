// Binary STL of a solid, watertight by construction: vertices are rounded to 32 bits and welded, collapsed triangles dropped.
// Layout: 80 bytes of header, a count, 50 bytes a triangle (STL, 84 + 50 n bytes).

/** Triangles of the solid's own tessellation, 3 indices each, over welded 32-bit positions. */
function weldedMesh(shape, { tolerance, angle }) {
  const { vertices, triangles } = shape.mesh({ tolerance, angularTolerance: angle });
  const known = new Map();
  const positions = [];
  const remap = Array.from({ length: vertices.length / 3 }, (_, i) => {
    // A micrometre apart is the same point: faces that meet share their edge's points up to rounding.
    const corner = vertices.slice(3 * i, 3 * i + 3).map((value) => Math.fround(Math.round(value * 1000) / 1000));
    const key = corner.join();
    if (!known.has(key)) {
      known.set(key, positions.length);
      positions.push(corner);
    }
    return known.get(key);
  });
  const corners = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [remap[triangles[t]], remap[triangles[t + 1]], remap[triangles[t + 2]]];
    if (a !== b && b !== c && c !== a) corners.push([a, b, c]);
  }
  return { positions, corners };
}

/** Throws when an edge does not belong to exactly two triangles that run along it in opposite directions. */
function assertWatertight({ corners }) {
  const count = new Map();
  for (const [a, b, c] of corners) {
    for (const edge of [`${a} ${b}`, `${b} ${c}`, `${c} ${a}`]) count.set(edge, (count.get(edge) ?? 0) + 1);
  }
  for (const [edge, uses] of count) {
    const [a, b] = edge.split(' ');
    if (uses !== 1 || count.get(`${b} ${a}`) !== 1) throw new Error(`mesh edge ${edge} is not shared by two triangles`);
  }
}

/** Bytes of a binary STL in mm; `tolerance` in mm, `angle` in degrees. */
export function stlBytes(shape, settings) {
  const mesh = weldedMesh(shape, settings);
  assertWatertight(mesh);
  const bytes = Buffer.alloc(84 + 50 * mesh.corners.length);
  bytes.write('binary STL, unit mm', 0, 'ascii');
  bytes.writeUInt32LE(mesh.corners.length, 80);
  mesh.corners.forEach((corner, t) => {
    const [a, b, c] = corner.map((i) => mesh.positions[i]);
    const values = [...unitNormal(a, b, c), ...a, ...b, ...c];
    for (const [i, value] of values.entries()) bytes.writeFloatLE(value, 84 + 50 * t + 4 * i);
  });
  return bytes;
}

function unitNormal(a, b, c) {
  const u = b.map((value, i) => value - a[i]);
  const v = c.map((value, i) => value - a[i]);
  const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  const length = Math.hypot(...n);
  return length > 0 ? n.map((value) => value / length) : [0, 0, 0];
}
