// How a job file says where a seam runs: an edge near a point, edges by id, a band, a contact, digitised points; and the fingerprint
// by which what was selected is found again.
import { z } from 'zod';
import { key, point, positiveMm } from './file-values.ts';

const edgeSelection = z.strictObject({
  edge: z
    .strictObject({
      body: key().describe('Body the edge belongs to: name or #index, as in parts.'),
      near_mm: point().describe('The closest edge within 2 mm of this point; two equally close ones are an error.'),
      follow: z
        .enum(['tangent', 'loop', 'none'])
        .default('tangent')
        .describe(
          "tangent: on through edges that go on smoothly; loop: round the joint face's border; none: this edge alone.",
        ),
      face_near_mm: point()
        .optional()
        .describe('A point near the joint face, where the edge has two faces to choose from.'),
    })
    .describe('An edge near a point, and what follows it.'),
});

const edgesSelection = z.strictObject({
  edges: z.array(key()).min(1).max(10000).describe('Ids of edges, in any order; `raythread inspect` lists them.'),
  face_near_mm: point()
    .optional()
    .describe('A point near the joint face, where the edges have two faces to choose from.'),
});

const bandSelection = z.strictObject({
  band: z
    .strictObject({
      body: key().describe('Body the band belongs to: name or #index, as in parts.'),
      near_mm: point().describe('A point near the band-like face (within 2 mm).'),
      follow: z.enum(['tangent', 'none']).default('tangent').describe('tangent: on through faces that go on smoothly.'),
    })
    .describe("Mid-line of a band-like face, a rib's top."),
});

const contactSelection = z.strictObject({
  contact: z
    .tuple([key(), key()])
    .describe('Centre line of the contact of two bodies, by name or #index: the joint lies on the absorbing one.'),
  tolerance_mm: z
    .number()
    .gt(0)
    .max(10)
    .optional()
    .describe(
      'Faces this close to each other, measured along the joint normal, count as in contact; the larger of limits.gap_mm and limits.contact_mm when left out.',
    ),
  near_mm: point()
    .optional()
    .describe('A point within 2 mm of the contact that is meant, where the bodies touch in several places.'),
});

const pointsSelection = z.strictObject({
  points: key().describe(
    "CSV file with the columns x_mm, y_mm, z_mm (part frame) of a digitised seam, in the order of the seam, or with s_mm to order them by; relative to the job's folder and inside it.",
  ),
  body: key().describe('Body that they were taken on: name or #index, as in parts.'),
  closed: z
    .boolean()
    .optional()
    .describe(
      'Whether the last point joins the first; when left out, where they are at most three median steps apart.',
    ),
  smooth_mm: z
    .number()
    .min(0)
    .max(5)
    .default(0.05)
    .describe(
      'Noise of the points: the seam is the smoothest line whose rms distance from them is no more; 0 goes through all.',
    ),
  reach_mm: z.number().gt(0).max(100).default(2).describe('A point farther than this from the joint face is an error.'),
  face_near_mm: point()
    .optional()
    .describe('A point near the joint face; when left out, the face that most points are closest to.'),
});

export const fingerprintSchema = z
  .strictObject({
    length_mm: positiveMm().describe('Length of what is selected, before any offset.'),
    closed: z.boolean().describe('Whether it is closed.'),
    points_mm: z.array(point()).min(1).max(10_000).describe('Points on it, at least one on each of its edges.'),
  })
  .describe(
    'What the selection was when it was made, from plan.json or `inspect --json`: a selection that no longer finds it, as after a new export of the part, is sought by it; a finding says so.',
  );

/** One way to say where a seam runs. */
export const selectionSchema = z.union([
  edgeSelection,
  edgesSelection,
  bandSelection,
  contactSelection,
  pointsSelection,
]);
