// The job files of the sample parts. Points are computed on the geometry, so that a selection never hangs on a guess.
import { CROSSING, DISC, DOME, RING, SADDLE, STADIUM } from './calibration.mjs';
import { alongOutline } from './outline.mjs';
import { TIDE_PLAN, tideHeight } from './tide-pod.mjs';
import { PLAN, ribHeight } from './wave-pod.mjs';

const PROCESS = { speed_mm_s: 50, line_energy_J_mm: 0.35 };

/** Wanted width: a spot of 2 mm melts to its edge only where its middle spoils. */
const WIDTH = 1.6;

/** A point as a job writes it: a nanometre is enough. */
const rounded = (point) => point.map((value) => Math.round(value * 1e6) / 1e6 + 0);

/** Middle of a pod's first straight side on the rib's top. */
function middleOfSide(plan, height) {
  const [x, y] = alongOutline(plan, plan[0].length + plan[1].length / 2).position;
  return rounded([x, y, height(x, y)]);
}

/** Point of the crossing at `phi` about the upright axis; not at 0, where the upright cylinder's surface closes. */
function onCrossing(phi) {
  const y = CROSSING.upright * Math.sin(phi);
  return rounded([CROSSING.upright * Math.cos(phi), y, Math.sqrt(CROSSING.lying ** 2 - y * y)]);
}

const lidAndBody = (file, body) => [
  { file, body: 'lid', role: 'transmissive', material: 'pc-clear' },
  { file, body, role: 'absorbing', material: 'pc-carbon-black' },
];

function job(title, parts, seam, more = {}) {
  return {
    format: 'raythread-job/1',
    title,
    parts,
    seams: [{ name: 'rim', width_mm: WIDTH, ...seam }],
    head: { standoff_mm: 150, axis: 'joint-normal' },
    optics: 'fibre-diode-980-2mm',
    arm: null,
    process: PROCESS,
    ...more,
  };
}

const band = (body, near) => ({ select: { band: { body, near_mm: near } }, start_near_mm: near });

const edge = (body, near, offset, faceNear) => ({
  select: { edge: { body, near_mm: near, ...(faceNear && { face_near_mm: faceNear }) } },
  offset_mm: offset,
  start_near_mm: near,
});

/** The arm of 0.9 m, with the part frame at a point of its base frame. */
const carriedAt = (position) => ({ arm: 'six-axis-900', placement: { position_mm: position } });

/** Where a fixture may stand on a bench before that arm, turned any way about the upright axis. */
const BENCH = {
  position_mm: [
    [400, 700],
    [-200, 200],
    [50, 150],
  ],
  rotation_deg: [
    [0, 0],
    [0, 0],
    [-180, 180],
  ],
};

/** Job files by name. */
export function jobs() {
  const waveStart = middleOfSide(PLAN, ribHeight);
  const clamp = (file) => ({ file, unit: 'mm', role: 'tooling' });
  const waveParts = lidAndBody('wave-pod.step', 'tub');
  const onDome = rounded([DOME.radius * Math.sin(DOME.polar), 0, DOME.radius * Math.cos(DOME.polar)]);
  const onRing = rounded([RING.major + RING.minor * Math.sin(RING.lean), 0, RING.minor * Math.cos(RING.lean)]);
  return {
    'wave-pod': job('Wave pod, rim seam', [...waveParts, clamp('wave-pod-clamp.stl')], band('tub', waveStart)),
    'wave-pod-shadow': job(
      'Wave pod, rim seam, clamp with a lip in the beam',
      [...waveParts, clamp('wave-pod-clamp-shadow.stl')],
      band('tub', waveStart),
    ),
    'wave-pod-relaxed': job(
      'Wave pod, rim seam, axis relaxed for a head that turns slowly',
      [...waveParts, clamp('wave-pod-clamp.stl')],
      { ...band('tub', waveStart), width_mm: 1.3, run_in_mm: 20 },
      {
        head: { standoff_mm: 150, axis: 'joint-normal', relax_deg: 10 },
        // Twice as fast, the same energy has less time to spread: at 0.35 J/mm the plastic would decompose. What does not melts less wide.
        process: { ...PROCESS, speed_mm_s: 100, line_energy_J_mm: 0.28 },
        limits: { head_turn_deg_s: 40 },
      },
    ),
    'wave-pod-arm': job(
      'Wave pod, rim seam, carried by an arm',
      [...waveParts, clamp('wave-pod-clamp.stl')],
      band('tub', waveStart),
      { ...carriedAt([520, 0, 100]), search: BENCH },
    ),
    'wave-pod-far': job(
      'Wave pod, rim seam, too far from the arm',
      [...waveParts, clamp('wave-pod-clamp.stl')],
      band('tub', waveStart),
      carriedAt([940, 0, 100]),
    ),
    'tide-pod': job(
      'Tide pod, rim seam on a free-form rib',
      lidAndBody('tide-pod.step', 'tub'),
      band('tub', middleOfSide(TIDE_PLAN, tideHeight)),
    ),
    disc: job(
      'Disc, circle inside the rim',
      lidAndBody('disc.step', 'disc'),
      edge('disc', [DISC.radius, 0, DISC.top], 2),
    ),
    'crossing-cylinders': job(
      'Crossing cylinders, inside their common edge',
      lidAndBody('crossing-cylinders.step', 'boss'),
      edge('boss', onCrossing(0.6), 2),
    ),
    'saddle-rim': job(
      'Saddle rim, on the ruled flange, under a stated layer',
      [{ file: 'saddle-rim.step', body: 'rim', role: 'absorbing', material: 'pc-carbon-black' }],
      edge('rim', [SADDLE.radius, 0, SADDLE.amplitude], 2, [SADDLE.radius - 3, 0, SADDLE.amplitude]),
      { layer: { thickness_mm: 2, material: 'pc-clear' } },
    ),
    'dome-pair': job('Dome pair, circle of latitude', lidAndBody('dome-pair.step', 'dome'), band('dome', onDome)),
    stadium: job(
      'Flat stadium of lines and arcs',
      lidAndBody('stadium.step', 'tray'),
      band('tray', [0, -STADIUM.radius, STADIUM.top]),
    ),
    'torus-ring': job('Torus ring, parallel circle', lidAndBody('torus-ring.step', 'ring'), band('ring', onRing)),
  };
}

/** Weld trials on the wave pod, invented: what a black that absorbs 8 per mm under 82 % of the power would show, rounded. */
export function trial() {
  return {
    format: 'raythread-trial/1',
    title: 'Wave pod, first weld trials',
    on: { job: 'wave-pod.job.json', seam: 'rim' },
    trials: [
      { power_W: 22.3, speed_mm_s: 50, width_mm: 1.5 },
      { power_W: 27.4, speed_mm_s: 50, width_mm: 1.7 },
      { power_W: 11.3, speed_mm_s: 20, width_mm: 1.6 },
      { power_W: 23.2, speed_mm_s: 80, onset: true },
    ],
  };
}
