// Which face lies under each stretch of a track: pieces are cut where the track passes from one face to the next.
import { cutCurve, locate, pointAt } from '../geometry/curve.ts';
import type { JoinedFaces } from './joined-faces.ts';
import type { Track } from './join-lines.ts';

/** Places are asked this close to one another, mm; a face passed over between two of them is not seen. */
const STEP = 0.5;

/** Where one face gives way to the next is found to this, mm. */
const FINE = 1e-6;

/** A face that a track touches for less than this, mm, counts as its neighbour: borders run along tracks too. */
const BRIEF = 0.05;

/** The same curve with the face under each of its pieces, of the faces that its own go on into smoothly. */
export function assignFaces(track: Track, faces: JoinedFaces): Track {
  const { curve, face } = track;
  if (face.every((f) => faces.group(f).size === 1)) return track;
  const at = new Float64Array(9);
  const under = (piece: number, s: number): number => {
    pointAt(curve, s, at);
    return faces.under(face[piece], at[0], at[1], at[2]);
  };
  const cuts: number[] = [];
  curve.pieces.forEach(({ arc }, piece) => {
    const from = arc[0];
    const to = arc[arc.length - 1];
    const count = Math.max(2, Math.ceil((to - from) / STEP));
    const place = (i: number): number => from + ((i + 0.5) * (to - from)) / count;
    let last = under(piece, place(0));
    let since = from;
    for (let i = 1; i < count; i++) {
      const next = under(piece, place(i));
      if (next === last) continue;
      let low = place(i - 1);
      let high = place(i);
      while (high - low > FINE) {
        const middle = (low + high) / 2;
        if (under(piece, middle) === last) low = middle;
        else high = middle;
      }
      const cut = (low + high) / 2;
      if (cut - since > BRIEF && to - cut > BRIEF) {
        cuts.push(cut);
        since = cut;
      }
      last = next;
    }
  });
  const cut = cuts.length > 0 ? cutCurve(curve, cuts) : curve;
  const assigned = cut.pieces.map(({ arc }) => {
    const middle = (arc[0] + arc[arc.length - 1]) / 2;
    return under(locate(curve, middle).piece, middle);
  });
  return { curve: cut, face: assigned };
}
