// Vertices split at the borders of faces, so that shading is smooth within a face of the model and sharp between two. Normals are the
// mean of the facets' weighted with their angle at the vertex (Thuermer & Wuethrich 1998).

export interface SplitMesh {
  /** 3 x n each. */
  readonly position: Float32Array;
  readonly normal: Float32Array;
  /** 3 x triangles, in the order of the body's triangles. */
  readonly index: Uint32Array;
  /** Extremes of all positions. */
  readonly low: readonly [number, number, number];
  readonly high: readonly [number, number, number];
}

/** Takes triangles with the face of each; a vertex becomes one for each face that it belongs to. */
export function splitFaces(position: Float32Array, triangle: Uint32Array, faceOfTriangle: Uint32Array): SplitMesh {
  const first = new Int32Array(position.length / 3).fill(-1);
  const next = new Int32Array(triangle.length);
  const face = new Uint32Array(triangle.length);
  const origin = new Uint32Array(triangle.length);
  const index = new Uint32Array(triangle.length);
  let count = 0;
  for (let corner = 0; corner < triangle.length; corner++) {
    const vertex = triangle[corner];
    const own = faceOfTriangle[(corner / 3) | 0];
    let copy = first[vertex];
    while (copy >= 0 && face[copy] !== own) copy = next[copy];
    if (copy < 0) {
      copy = count++;
      face[copy] = own;
      origin[copy] = vertex;
      next[copy] = first[vertex];
      first[vertex] = copy;
    }
    index[corner] = copy;
  }
  const split = new Float32Array(3 * count);
  const low: [number, number, number] = [0, 0, 0];
  const high: [number, number, number] = [0, 0, 0];
  for (let k = 0; k < count; k++) {
    for (let c = 0; c < 3; c++) {
      const value = position[3 * origin[k] + c];
      split[3 * k + c] = value;
      if (k === 0 || value < low[c]) low[c] = value;
      if (k === 0 || value > high[c]) high[c] = value;
    }
  }
  return { position: split, normal: weightedNormals(split, index), index, low, high };
}

function weightedNormals(position: Float32Array, index: Uint32Array): Float32Array {
  const sum = new Float64Array(position.length);
  const side = new Float64Array(9);
  for (let t = 0; t < index.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      const from = 3 * index[t + k];
      const to = 3 * index[t + ((k + 1) % 3)];
      for (let c = 0; c < 3; c++) side[3 * k + c] = position[to + c] - position[from + c];
    }
    const nx = side[1] * side[5] - side[2] * side[4];
    const ny = side[2] * side[3] - side[0] * side[5];
    const nz = side[0] * side[4] - side[1] * side[3];
    const size = Math.hypot(nx, ny, nz);
    if (size === 0) continue;
    for (let k = 0; k < 3; k++) {
      const out = 3 * k;
      const into = 3 * ((k + 2) % 3);
      const cosine = -(side[out] * side[into] + side[out + 1] * side[into + 1] + side[out + 2] * side[into + 2]);
      const weight = Math.atan2(size, cosine) / size;
      const at = 3 * index[t + k];
      sum[at] += nx * weight;
      sum[at + 1] += ny * weight;
      sum[at + 2] += nz * weight;
    }
  }
  const normal = new Float32Array(position.length);
  for (let k = 0; k < sum.length; k += 3) {
    const size = Math.hypot(sum[k], sum[k + 1], sum[k + 2]);
    if (size > 0) for (let c = 0; c < 3; c++) normal[k + c] = sum[k + c] / size;
    else normal[k + 2] = 1;
  }
  return normal;
}
