// What to try, in the words of the sheet: the kernel names fields by their keys in the job file, a person knows them by label.
import { sentenceText } from '../chrome/unit-text.ts';
import { fieldInfo } from '../sheet/field-info.ts';

/** Words as they are, or a field of the sheet. */
export type RemedyPiece = string | { readonly pointer: string; readonly label: string };

/** `line_energy_J_mm`, `process.aim`, `travel.home_deg`. */
const KEY = /\b(?:(?:process|head|limits|travel)\.\w+|[a-z]+(?:_[A-Za-z0-9]+)+)\b/g;

/** Pieces in order; a key that the sheet does not know stays as it is. `seam` is the place in the job of the one that is meant. */
export function remedyPieces(remedy: string, seam: number): readonly RemedyPiece[] {
  const pieces: RemedyPiece[] = [];
  let from = 0;
  for (const match of remedy.matchAll(KEY)) {
    const field = fieldOf(match[0], seam);
    if (field === null) continue;
    pieces.push(sentenceText(remedy.slice(from, match.index)), field);
    from = match.index + match[0].length;
  }
  pieces.push(sentenceText(remedy.slice(from)));
  return pieces.filter((piece) => piece !== '');
}

function fieldOf(key: string, seam: number): Exclude<RemedyPiece, string> | null {
  const places = key.includes('.')
    ? [`/${key.replace('.', '/')}`]
    : [`/seams/${seam}/${key}`, `/process/${key}`, `/limits/${key}`, `/head/${key}`, `/travel/${key}`];
  for (const pointer of places) {
    const label = labelOf(pointer);
    if (label !== null) return { pointer, label };
  }
  return null;
}

function labelOf(pointer: string): string | null {
  try {
    return fieldInfo(pointer).label;
  } catch {
    return null;
  }
}
