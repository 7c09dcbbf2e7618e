// What the clamps do to the beam, by brute force: every ray of a cone against every triangle, with `three` (a general-purpose
// library) as the ray-triangle test. The seam is taken as the middle of the rib in plan, lifted onto its torus.
import { Box3, Ray, Vector3 } from 'three';
import { describe, expect, it } from 'vitest';
import type { Body } from '../../src/model/part.ts';
import { COARSE, catalogue, sampleBody, sampleJob, samplePart, vertexAt } from './read-sample.ts';

const STANDOFF = 150;
/** Deflection of the lid's mesh and of the clamp's (0.02), and their slope on the leaning sides, mm. */
const SKIN = 0.1;

/** Where the rib's middle runs straight towards -y: x from the stern's corner to the shoulder, mm. */
const SIDE = { y: -44, from: -66, to: 26.257901 };

/** Closed form of the torus (see the samples' README): point and outward normal of the joint over the plan. */
function joint(x: number, y: number): { position: Vector3; normal: Vector3 } {
  const z = 310 - Math.sqrt((330 - Math.sqrt(6400 - y * y)) ** 2 - x * x);
  const far = Math.hypot(x, z - 310);
  const middle = new Vector3((330 * x) / far, 0, 310 + (330 * (z - 310)) / far);
  const position = new Vector3(x, y, z);
  return { position, normal: position.clone().sub(middle).normalize() };
}

function triangles(body: Body): Vector3[][] {
  const corner = (i: number): Vector3 => new Vector3(...vertexAt(body, body.triangle[i]));
  return Array.from({ length: body.triangle.length / 3 }, (_, t) => [0, 1, 2].map((k) => corner(3 * t + k)));
}

/** Share of a uniform cone that something stands in the way of: 5 rings of equal area, 12 rays each. */
function clippedShare(x: number, y: number, obstacle: readonly Vector3[][], scale = 1): number {
  const { waist, exitRadius } = sampleJob('wave-pod').optics;
  const { position, normal } = joint(x, y);
  const along = new Vector3(-normal.y, normal.x, 0).normalize();
  const across = new Vector3().crossVectors(normal, along);
  const near = obstacle.filter((corners) => corners.some((corner) => corner.distanceTo(position) < 70));
  let blocked = 0;
  for (let ring = 0; ring < 5; ring++) {
    for (let k = 0; k < 12; k++) {
      const radius = scale * Math.sqrt((ring + 0.5) / 5);
      const angle = (2 * Math.PI * (k + 0.5 * (ring % 2))) / 12;
      const off = along.clone().multiplyScalar(radius * Math.cos(angle));
      off.addScaledVector(across, radius * Math.sin(angle));
      const from = position.clone().addScaledVector(normal, STANDOFF).addScaledVector(off, exitRadius);
      const to = position.clone().addScaledVector(off, waist);
      const ray = new Ray(from, to.clone().sub(from).normalize());
      const reach = to.distanceTo(from) - waist;
      const hit = new Vector3();
      const blocks = ([a, b, c]: Vector3[]): boolean =>
        ray.intersectTriangle(a, b, c, false, hit) !== null && hit.distanceTo(from) < reach;
      if (near.some(blocks)) blocked++;
    }
  }
  return blocked / 60;
}

const everyMillimetres = (step: number): number[] =>
  Array.from({ length: Math.floor((SIDE.to - SIDE.from) / step) + 1 }, (_, i) => SIDE.from + step * i);

describe('clamps of the wave pod', () => {
  it('the clear one leaves a cone of twice the size free, on the sides, the bow, the stern and in the corners', async () => {
    const clamp = triangles((await samplePart('wave-pod-clamp.stl', COARSE)).bodies[0]);
    const corner = (cx: number, cy: number, r: number, angle: number): [number, number] => [
      cx + r * Math.cos((angle * Math.PI) / 180),
      cy + r * Math.sin((angle * Math.PI) / 180),
    ];
    const places: [number, number][] = [
      ...everyMillimetres(4).flatMap((x): [number, number][] => [
        [x, -44],
        [x, 44],
      ]),
      ...[-30, -20, -10, 0, 10, 20, 30].map((y): [number, number] => [-78, y]),
      ...[-7, 0, 7].map((y): [number, number] => [88, y]),
      ...[190, 215, 240, 265].map((angle) => corner(-66, -32, 12, angle)),
      ...[305, 325, 345].map((angle) => corner(74, -7.794265, 14, angle)),
      ...[275, 285, 295].map((angle) => corner(26.257901, 1, 45, angle)),
    ];
    for (const [x, y] of places) expect(clippedShare(x, y, clamp, 2)).toBe(0);
  });

  it('the other one shadows 20 to 40 mm of the side, 20 to 60 % of the beam where it is worst', async () => {
    const clamp = triangles((await samplePart('wave-pod-clamp-shadow.stl', COARSE)).bodies[0]);
    const shares = everyMillimetres(1).map((x) => clippedShare(x, SIDE.y, clamp));
    const shadowed = shares.filter((share) => share > 0.02).length;
    expect(shadowed).toBeGreaterThan(20);
    expect(shadowed).toBeLessThan(40);
    expect(Math.max(...shares)).toBeGreaterThan(0.2);
    expect(Math.max(...shares)).toBeLessThan(0.6);
  });

  it('neither cuts into the lid or the tub: no vertex of a clamp lies inside them', async () => {
    const bodies = [
      await sampleBody('wave-pod.step', 'lid', COARSE),
      await sampleBody('wave-pod.step', 'tub', COARSE),
    ].map((body) => triangles(body).map(boxed));
    for (const file of ['wave-pod-clamp.stl', 'wave-pod-clamp-shadow.stl']) {
      const clamp = (await samplePart(file, COARSE)).bodies[0];
      const inside = Array.from({ length: clamp.position.length / 3 }, (_, i) => vertexAt(clamp, i)).filter(
        ([x, y]) => Math.abs(x) < 96 && Math.abs(y) < 52,
      );
      expect(inside.length).toBeGreaterThan(100);
      // A clamp's foot stands on the lid's top: what is within both meshes' deflections of it touches.
      for (const vertex of inside) {
        const ray = new Ray(
          new Vector3(vertex[0], vertex[1], vertex[2] + SKIN),
          new Vector3(0.0013, 0.0017, 1).normalize(),
        );
        for (const body of bodies) expect(crossings(ray, body) % 2).toBe(0);
      }
    }
  });
});

describe('optics', () => {
  it.each([...catalogue().optics.values()])('$id: the exit radius is the caustic 150 mm from the waist', (optics) => {
    // Source: ISO 11146-1, w(z) = w0 sqrt(1 + (z / zR)^2), zR = pi w0^2 / (M2 lambda) (memory).
    const rayleigh = (Math.PI * optics.waist ** 2) / (optics.beamQuality * optics.wavelength);
    const radius = optics.waist * Math.sqrt(1 + (STANDOFF / rayleigh) ** 2);
    expect(optics.exitRadius).toBeCloseTo(radius, 2);
  });
});

describe('materials', () => {
  const clear = [...catalogue().materials.values()].filter(({ transmittance }) => transmittance !== undefined);

  it.each(clear)('$id: lets through less than its two surfaces alone would', ({ index, transmittance }) => {
    // Source: incoherent multiple reflections, T <= (1 - R) / (1 + R) with R of normal incidence (Born & Wolf, section 1.5).
    const reflected = ((index - 1) / (index + 1)) ** 2;
    expect(transmittance?.value).toBeLessThan((1 - reflected) / (1 + reflected));
  });

  it.each([
    ['pc-clear', 0.00645],
    ['pmma-clear', 0.0013],
    ['ps-clear', 0.003],
  ])('%s: index and transmittance belong to one another', (id, absorption) => {
    // Source: index and absorption at 980 nm, Zhang et al., Appl. Opt. 59 (2020) 2337 (seen); absorption has two digits.
    const material = clear.find((candidate) => candidate.id === id);
    if (material?.transmittance === undefined) throw new Error(`no ${id}`);
    const reflected = ((material.index - 1) / (material.index + 1)) ** 2;
    const inside = Math.exp(-absorption * material.transmittance.thickness);
    const through = ((1 - reflected) ** 2 * inside) / (1 - (reflected * inside) ** 2);
    expect(material.transmittance.value).toBeCloseTo(through, 3);
  });
});

interface BoxedTriangle {
  readonly corners: readonly Vector3[];
  readonly box: Box3;
}

function boxed(corners: readonly Vector3[]): BoxedTriangle {
  // The rays are all but upright: what lies 1 mm beside one in plan cannot be met.
  return { corners, box: new Box3().setFromPoints([...corners]).expandByScalar(1) };
}

function crossings(ray: Ray, mesh: readonly BoxedTriangle[]): number {
  const { x, y } = ray.origin;
  const hit = new Vector3();
  return mesh.filter(({ corners: [a, b, c], box: { min, max } }) => {
    if (x < min.x || x > max.x || y < min.y || y > max.y) return false;
    return ray.intersectTriangle(a, b, c, false, hit) !== null;
  }).length;
}
