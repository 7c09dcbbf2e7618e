// The job file as people write it (units in the keys). One definition gives the parser, the type and the JSON Schema.
import { z } from 'zod';
import { inlineArmSchema } from './arm-file.ts';
import { inlineMaterialSchema, inlineOpticsSchema } from './catalogue-file.ts';
import { degrees, key, mm, point, positiveMm } from './file-values.ts';
import { inlineHeadSchema } from './head-file.ts';
import { fingerprintSchema, selectionSchema } from './selection-file.ts';

/** What holds where a job with an arm says nothing; without an arm none of it is read, nor written into the job. */
export const ARM_DEFAULTS = {
  mount: 'angled-head',
  approach_mm: 50,
  clearance_mm: 10,
  joint_margin_deg: 5,
  singularity: 0.02,
  turn_rate_deg_mm: 2,
} as const;

/** A value that is filled in only where an arm asks for it. */
const forArm = <T extends z.ZodType>(schema: T, name: keyof typeof ARM_DEFAULTS, description: string) =>
  schema.optional().meta({ default: ARM_DEFAULTS[name], description });

const part = z.strictObject({
  file: key().describe("STEP, IGES, BREP or STL file, relative to the job's folder and inside it."),
  body: key()
    .optional()
    .describe('Name of the body, or #0, #1 .. by position; may be left out where the file has one body.'),
  role: z
    .enum(['transmissive', 'absorbing', 'tooling', 'clear-clamp'])
    .describe(
      'What the body does: the beam passes a transmissive body and ends on an absorbing one; tooling casts shadows; a clear clamp is refracted through.',
    ),
  material: key().optional().describe("Id of a material, from the catalogue or the job's own."),
  unit: z
    .enum(['mm', 'cm', 'm', 'in'])
    .optional()
    .describe('Unit of an STL file, which does not know its own; never guessed.'),
});

const headShape = {
  standoff_mm: z
    .number()
    .min(1)
    .max(5000)
    .default(150)
    .describe('Distance from the tool centre point to the head point.'),
  defocus_mm: z.number().min(-500).max(500).default(0).describe('> 0 puts the focus beyond the joint.'),
  axis: z
    .union([z.enum(['joint-normal', 'entry-normal']), point()])
    .default('joint-normal')
    .describe(
      'Beam axis: against the joint normal, against the entry surface, or a direction in which the light travels (part frame).',
    ),
  lead_deg: z
    .number()
    .min(-80)
    .max(80)
    .default(0)
    .describe('> 0: the head leans forward, its light points backward along the seam.'),
  tilt_deg: z.number().min(-80).max(80).default(0).describe('> 0: the head leans towards b = n x t.'),
  relax_deg: z
    .number()
    .min(0)
    .max(60)
    .default(0)
    .describe(
      'How far the beam axis may lean from the direction asked for, so that the head turns less; never over a limit of incidence. 0: not at all.',
    ),
  turn: z
    .union([z.enum(['constant', 'free']), degrees()])
    .default('constant')
    .describe(
      'Turn of the tool frame about the beam: constant, carried along without twist, with an arm at the turn that suits it best; free, which an arm may use along the seam; or constant at a number of degrees from the direction of travel at the start.',
    ),
};

const processShape = {
  speed_mm_s: z.number().min(0.01).max(10000).describe('Process speed, held wherever nothing binds.'),
  line_energy_J_mm: z.number().min(1e-4).max(1000).describe('Energy that enters the absorber per length of seam.'),
  hold: z
    .enum(['line-energy', 'peak-temperature', 'weld-width'])
    .default('line-energy')
    .describe('What the power keeps constant along the seam as the speed changes.'),
  aim: z
    .union([
      z.strictObject({ width_mm: positiveMm().max(100).describe('Width of the seam above the weld onset.') }),
      z.strictObject({ peak_C: z.number().min(0).max(1000).describe('Highest temperature of the bond plane.') }),
    ])
    .nullable()
    .default(null)
    .describe('Find the line energy that gives this at the process speed, instead of line_energy_J_mm.'),
  preheat: z
    .strictObject({
      power_W: z.number().gt(0).max(1e5).describe('Power that arrives at the joint.'),
      radius_mm: positiveMm().max(500).describe('1/e2 radius on the joint.'),
      absorption_1_mm: z.number().gt(0).max(1e5).describe('Absorption coefficient of the absorbing part for it.'),
      layer_absorption_1_mm: z.number().min(0).max(100).describe('Absorption coefficient of the layer for it.'),
    })
    .nullable()
    .default(null)
    .describe('A broad source that moves with the head and warms the parts (common practice, no source).'),
  start_temperature_C: z.number().min(-60).max(300).default(23).describe('Temperature of the parts before welding.'),
};

/** Only what a seam overrides. */
const headOverride = z.strictObject({
  standoff_mm: headShape.standoff_mm.unwrap().optional(),
  defocus_mm: headShape.defocus_mm.unwrap().optional(),
  axis: headShape.axis.unwrap().optional(),
  lead_deg: headShape.lead_deg.unwrap().optional(),
  tilt_deg: headShape.tilt_deg.unwrap().optional(),
  relax_deg: headShape.relax_deg.unwrap().optional(),
  turn: headShape.turn.unwrap().optional(),
});

const processOverride = z.strictObject({
  speed_mm_s: processShape.speed_mm_s.optional(),
  line_energy_J_mm: processShape.line_energy_J_mm.optional(),
  hold: processShape.hold.unwrap().optional(),
  aim: processShape.aim.unwrap().optional(),
  preheat: processShape.preheat.unwrap().optional(),
  start_temperature_C: processShape.start_temperature_C.unwrap().optional(),
});

const seam = z.strictObject({
  name: z
    .string()
    .regex(/^[A-Za-z0-9][A-Za-z0-9 _.-]{0,59}$/)
    .optional()
    .describe('Name in outputs; seam-1, seam-2 .. when left out.'),
  select: selectionSchema.describe('Where the seam runs.'),
  fingerprint: fingerprintSchema.optional(),
  offset_mm: z
    .number()
    .min(-1000)
    .max(1000)
    .default(0)
    .describe(
      'Sideways across the joint face, along the surface; > 0 towards b = n x t, the left of the way that the seam is driven (after start and reverse), seen from outside.',
    ),
  start_near_mm: point()
    .optional()
    .describe('A closed seam starts at its point closest to this; an open one at the closer end.'),
  reverse: z.boolean().default(false).describe('Run the other way round.'),
  width_mm: positiveMm().max(100).default(2).describe('Wanted width of the seam.'),
  corner_blend_mm: z
    .number()
    .min(0)
    .max(50)
    .default(0)
    .describe(
      'Corners are rounded so that the seam passes them at no more than this distance; 0 leaves them: the spot stops there.',
    ),
  run_in_mm: z.number().min(0).max(1000).default(10).describe('Way before the weld with the beam off.'),
  run_out_mm: z
    .number()
    .min(0)
    .max(1000)
    .optional()
    .describe('Way after the weld with the beam off; as long as run_in_mm when left out.'),
  overlap_mm: z.number().min(0).max(1000).default(8).describe('How far a closed seam is welded again past its start.'),
  ramp_mm: z.number().min(0).max(1000).default(3).describe('Length of the power ramps.'),
  spacing_mm: z.number().min(0.01).max(100).default(0.5).describe('Distance between waypoints.'),
  chord_mm: z
    .number()
    .min(1e-4)
    .max(10)
    .optional()
    .describe('Largest chord error: waypoints stand closer where the seam bends.'),
  head: headOverride.optional().describe("Overrides of the job's head."),
  process: processOverride.optional().describe("Overrides of the job's process."),
});

const limits = z.strictObject({
  incidence_entry_deg: z
    .number()
    .gt(0)
    .max(90)
    .default(15)
    .describe('Largest angle of incidence where the beam enters, in air.'),
  incidence_joint_deg: z
    .number()
    .gt(0)
    .max(90)
    .default(10)
    .describe('Largest angle of incidence at the joint, in the layer.'),
  layer_mm: positiveMm()
    .max(100)
    .default(3)
    .describe('Largest way of the beam inside the transmissive layer (common practice, no source).'),
  gap_mm: z.number().min(0).max(10).default(0.1).describe('Largest gap that the process bridges.'),
  contact_mm: z.number().min(0).max(10).default(0.05).describe('Gap below which layer and joint count as touching.'),
  clipped_pct: z.number().min(0).max(100).default(2).describe('Largest share of the beam that may be shadowed.'),
  capture_pct: z
    .number()
    .min(0)
    .max(100)
    .default(98)
    .describe('Smallest share of the spot that falls on the joint face.'),
  line_energy_pct: z
    .number()
    .gt(0)
    .max(100)
    .default(10)
    .describe('Band about the line energy that is asked for, in which what arrives late may lie (assumed).'),
  lateral_mm: z.number().min(0).max(50).default(0.3).describe('How far the seam may wander sideways.'),
  head_turn_deg_s: z.number().min(0.01).max(1e5).default(180).describe('Largest turning speed of the head.'),
  head_turn_deg_s2: z.number().min(0.1).max(1e7).default(1000).describe('Largest turning acceleration of the head.'),
  spot_acceleration_mm_s2: z
    .number()
    .min(0.1)
    .max(1e7)
    .default(300)
    .describe('Largest acceleration of the spot along the seam.'),
  normal_acceleration_mm_s2: z
    .number()
    .min(0.1)
    .max(1e7)
    .default(2000)
    .describe('Largest acceleration of the spot across the seam.'),
  head_speed_mm_s: z.number().min(0.01).max(1e5).default(1000).describe('Largest speed of the head point.'),
  head_acceleration_mm_s2: z
    .number()
    .min(0.1)
    .max(1e7)
    .default(8000)
    .describe('Largest acceleration of the head point.'),
  clearance_mm: forArm(
    z.number().min(0).max(1000),
    'clearance_mm',
    'Distance that head and arm keep from parts, tooling and floor (assumed).',
  ),
  joint_margin_deg: forArm(
    z.number().min(0).max(180),
    'joint_margin_deg',
    'Distance that axes keep from their limits (assumed).',
  ),
  singularity: forArm(
    z.number().min(0).max(1),
    'singularity',
    "Least singular value of the Jacobian with lengths over the arm's span: 0 in a singular posture (assumed).",
  ),
  turn_rate_deg_mm: forArm(
    z.number().gt(0).max(360),
    'turn_rate_deg_mm',
    'Fastest change of a free turn of the head along the seam (assumed).',
  ),
});

const range = (value: () => z.ZodNumber) => z.tuple([value(), value()]);
const ranges = (value: () => z.ZodNumber) => z.tuple([range(value), range(value), range(value)]);

const search = z.strictObject({
  position_mm: ranges(mm).optional().describe('Smallest and largest x, y, z; those of "placement" when left out.'),
  rotation_deg: ranges(degrees)
    .optional()
    .describe('Smallest and largest A, B, C; a whole turn has no ends. Those of "placement" when left out.'),
  step_mm: positiveMm().default(100).describe('Largest distance between neighbours of the first grid.'),
  step_deg: z.number().gt(0).max(360).default(45).describe('Largest angle between neighbours of the first grid.'),
  levels: z.int().min(0).max(8).default(2).describe('How often the grid is halved round the best.'),
  keep: z
    .int()
    .min(1)
    .max(100)
    .default(8)
    .describe('How many of the best are refined, and planned in full at the end.'),
});

/** The whole job file. */
export const jobFileSchema = z.strictObject({
  $schema: z.string().optional(),
  format: z.literal('raythread-job/1'),
  title: z.string().max(200).default(''),
  parts: z.array(part).min(1).max(1000),
  tessellation: z
    .strictObject({
      linear_mm: z.number().min(1e-4).max(10).default(0.01).describe('Largest distance between mesh and surface.'),
      angular_deg: z.number().min(0.1).max(60).default(5.73).describe('Largest angle between neighbouring chords.'),
      max_triangles: z
        .int()
        .min(1000)
        .max(20_000_000)
        .default(2_000_000)
        .describe('A file with more is imported more coarsely, and the plan says so.'),
    })
    .prefault({}),
  placement: z
    .strictObject({
      position_mm: point().default([0, 0, 0]),
      rotation_deg: z
        .tuple([degrees(), degrees(), degrees()])
        .default([0, 0, 0])
        .describe('A B C with R = Rz(C) Ry(B) Rx(A).'),
    })
    .prefault({})
    .describe("Part frame in the arm's base frame."),
  search: search.optional().describe('Box of placements that `raythread place` searches; nothing else reads it.'),
  seams: z.array(seam).min(1).max(10_000),
  head: z
    .strictObject({
      ...headShape,
      mount: forArm(
        z.union([key(), inlineHeadSchema]),
        'mount',
        'What hangs at the flange: id of a record in shared/data/heads.json, or the same record inline. Read with an arm only.',
      ),
    })
    .prefault({}),
  optics: z
    .union([key(), inlineOpticsSchema])
    .default('fibre-diode-980-2mm')
    .describe('Id of a record in shared/data/optics.json, or the same record inline.'),
  layer: z
    .strictObject({ thickness_mm: positiveMm().max(1000), material: key() })
    .optional()
    .describe('A plane-parallel layer along the joint face; only where no transmissive body is given.'),
  materials: z
    .record(key(), inlineMaterialSchema)
    .default({})
    .describe('Own materials, and what a job changes in those of the catalogue.'),
  arm: z
    .union([z.null(), key(), inlineArmSchema])
    .default(null)
    .describe(
      "Id of a record in shared/data/arms.json, or the same record inline, there also with a URDF file of the job's folder; null plans without an arm.",
    ),
  travel: z
    .strictObject({
      home_deg: z
        .array(z.number().min(-7200).max(7200))
        .min(1)
        .max(32)
        .optional()
        .describe("Posture that the arm comes from and goes back to; that of the arm's record when left out."),
      approach_mm: forArm(
        positiveMm().max(5000),
        'approach_mm',
        'Straight way along the beam axis before the first and after the last waypoint.',
      ),
    })
    .optional()
    .describe('Moves with the beam off, before and after a seam.'),
  process: z.strictObject(processShape),
  limits: limits.prefault({}),
});

/** A job file with its defaults filled in. */
export type JobFile = z.infer<typeof jobFileSchema>;
