// Two plain solvers of heat conduction, as slow and simple as can be, that share nothing with the kernels they check: finite
// volumes, explicit in time.

/** Constants by depth z, mm (z > 0: absorber): conductivity W/(mm K), heat capacity J/(mm3 K). */
export interface Layered {
  readonly conductivity: (z: number) => number;
  readonly capacity: (z: number) => number;
}

/**
 * Temperature rises of a column of cells of height `dz` from z = `from` on (a face at z = 0), `start` K in each, at the times
 * (s, increasing). `heat(z0, z1)`: power per area between two depths, W/mm2, until `until` s.
 */
export function column(
  layered: Layered,
  from: number,
  dz: number,
  start: Float64Array,
  heat: ((z0: number, z1: number) => number) | null,
  until: number,
  times: readonly number[],
): Float64Array[] {
  const n = start.length;
  const middle = (i: number) => from + (i + 0.5) * dz;
  const capacity = Float64Array.from(start, (_, i) => layered.capacity(middle(i)));
  const resistance = Float64Array.from(start, (_, i) => dz / (2 * layered.conductivity(middle(i))));
  const fastest = Math.min(...capacity.map((c, i) => c * dz * resistance[i]));
  const power = Float64Array.from(start, (_, i) => heat?.(from + i * dz, from + (i + 1) * dz) ?? 0);
  let t = start.slice();
  let now = 0;
  return times.map((end) => {
    while (now < end - 1e-12) {
      const limit = now < until ? Math.min(end, until) : end;
      const step = Math.min(0.8 * fastest, limit - now);
      const next = t.slice();
      for (let i = 0; i < n; i++) {
        const below = i + 1 < n ? (t[i + 1] - t[i]) / (resistance[i] + resistance[i + 1]) : 0;
        const above = i > 0 ? (t[i - 1] - t[i]) / (resistance[i] + resistance[i - 1]) : 0;
        const in_ = now < until ? power[i] : 0;
        next[i] += (step * (below + above + in_)) / (capacity[i] * dz);
      }
      t = next;
      now += step;
    }
    return t.slice();
  });
}

/**
 * Rises in a block, cells dx by dz: `nx` from the axis (round: rings about it; else a slab that is mirrored at
 * x = 0), `nz` from z = -nz dz / 2; no heat passes the outside. `heat(i, j)` W/mm3 until `until` s, `start(i, j)` K.
 */
export function block(
  shape: {
    readonly round: boolean;
    readonly nx: number;
    readonly dx: number;
    readonly nz: number;
    readonly dz: number;
  },
  layered: Layered,
  start: (i: number, j: number) => number,
  heat: ((i: number, j: number) => number) | null,
  until: number,
  end: number,
): Float64Array {
  const { round, nx, dx, nz, dz } = shape;
  const middle = (j: number) => (j + 0.5 - nz / 2) * dz;
  const conductivity = Float64Array.from({ length: nz }, (_, j) => layered.conductivity(middle(j)));
  const capacity = Float64Array.from({ length: nz }, (_, j) => layered.capacity(middle(j)));
  // From one cell to the one below: half of either, one behind the other.
  const between = conductivity.map((k, j) => (2 * k * conductivity[j + 1]) / (k + conductivity[j + 1]));
  const quickest = conductivity.reduce((most, k, j) => Math.max(most, k / capacity[j]), 0);
  const face = Float64Array.from({ length: nx + 1 }, (_, i) => (round ? i : 1) as number);
  const size = Float64Array.from({ length: nx }, (_, i) => (round ? i + 0.5 : 1) as number);
  const source = new Float64Array(nx * nz);
  let t = new Float64Array(nx * nz);
  for (let i = 0; i < nx; i++)
    for (let j = 0; j < nz; j++) {
      t[i * nz + j] = start(i, j);
      source[i * nz + j] = heat?.(i, j) ?? 0;
    }
  const longest = 0.2 / (quickest * (1 / (dx * dx) + 1 / (dz * dz)));
  let now = 0;
  while (now < end - 1e-12) {
    const limit = now < until ? Math.min(end, until) : end;
    const step = Math.min(longest, limit - now);
    const next = t.slice();
    const heating = now < until ? step : 0;
    for (let i = 0; i < nx; i++) {
      const right = i + 1 < nx ? (step * face[i + 1]) / (size[i] * dx * dx) : 0;
      const left = i > 0 ? (step * face[i]) / (size[i] * dx * dx) : 0;
      const down = step / (dz * dz);
      for (let j = 0; j < nz; j++) {
        const k = i * nz + j;
        let sum = heating * source[k];
        if (right > 0) sum += right * conductivity[j] * (t[k + nz] - t[k]);
        if (left > 0) sum += left * conductivity[j] * (t[k - nz] - t[k]);
        if (j + 1 < nz) sum += down * between[j] * (t[k + 1] - t[k]);
        if (j > 0) sum += down * between[j - 1] * (t[k - 1] - t[k]);
        next[k] += sum / capacity[j];
      }
    }
    t = next;
    now += step;
  }
  return t;
}

/**
 * Highest temperatures, degC, in a column of like halves that melts: enthalpy in cells of `dz` from z = -`reach` to `reach`, on the
 * plane z = 0 and anywhere, while `flux(z0, z1)` W/mm2 is absorbed until `until` s, and on to `end`. `temperature` of a rise K of heat
 * capacity `capacity` J/(mm3 K), latent heat and all, from `start` degC.
 */
export function meltingColumn(
  cells: { readonly reach: number; readonly dz: number },
  { conductivity, capacity }: { readonly conductivity: number; readonly capacity: number },
  temperature: (rise: number) => number,
  flux: (z0: number, z1: number) => number,
  until: number,
  end: number,
): { plane: number; hottest: number } {
  const { reach, dz } = cells;
  const n = 2 * Math.round(reach / dz);
  const power = Float64Array.from({ length: n }, (_, i) => flux(i * dz - reach, (i + 1) * dz - reach) / dz);
  const heat = new Float64Array(n);
  const warm = new Float64Array(n);
  const longest = (0.2 * dz * dz * capacity) / conductivity;
  let [plane, hottest] = [temperature(0), temperature(0)];
  for (let now = 0; now < end - 1e-12; ) {
    const step = Math.min(longest, (now < until ? until : end) - now);
    for (let i = 0; i < n; i++) warm[i] = temperature(heat[i] / capacity);
    plane = Math.max(plane, (warm[n / 2 - 1] + warm[n / 2]) / 2);
    for (let i = 0; i < n; i++) {
      hottest = Math.max(hottest, warm[i]);
      const below = i + 1 < n ? warm[i + 1] - warm[i] : 0;
      const above = i > 0 ? warm[i - 1] - warm[i] : 0;
      heat[i] += step * ((conductivity * (below + above)) / (dz * dz) + (now < until ? power[i] : 0));
    }
    now += step;
  }
  return { plane, hottest };
}
