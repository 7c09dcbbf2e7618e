// Records of the catalogue as the sheet lists them: titles to choose from, and their values with source and mark.
import arms from '../../../shared/data/arms.json';
import heads from '../../../shared/data/heads.json';
import materials from '../../../shared/data/materials.json';
import optics from '../../../shared/data/optics.json';
import { sensibleDecimals } from '../chrome/unit-text.ts';
import { keyWords } from './field-info.ts';
import { numberText } from './number-text.ts';

export interface CatalogueEntry {
  readonly id: string;
  readonly title: string;
}

export interface Fact {
  readonly label: string;
  readonly value: string;
  readonly unit: string;
  readonly source: string;
  /** seen, memory or assumed. */
  readonly mark: string;
}

type DataRecord = { readonly id: string; readonly title: string; readonly [key: string]: unknown };

const RECORDS = {
  optics: optics.optics as readonly DataRecord[],
  arms: arms.arms as readonly DataRecord[],
  heads: heads.heads as readonly DataRecord[],
  materials: materials.materials as readonly DataRecord[],
  polymers: materials.polymers as readonly DataRecord[],
} as const;

export type CatalogueKind = keyof typeof RECORDS;

/** Records of a kind, in the catalogue's order. */
export const catalogueEntries = (kind: CatalogueKind): readonly CatalogueEntry[] =>
  RECORDS[kind].map(({ id, title }) => ({ id, title }));

/** Title of a record; the id itself where the catalogue does not know it. */
export const catalogueTitle = (kind: CatalogueKind, id: string): string =>
  RECORDS[kind].find((record) => record.id === id)?.title ?? id;

/** Materials that light passes, and those that end it. */
export function materialsByUse(): {
  readonly clear: readonly CatalogueEntry[];
  readonly dark: readonly CatalogueEntry[];
} {
  const isDark = (record: DataRecord): boolean => 'carbon_black_pct' in record || 'absorption_1_mm' in record;
  return {
    clear: RECORDS.materials.filter((record) => !isDark(record)),
    dark: RECORDS.materials.filter(isDark),
  };
}

/** Values of a record that fit on a line; a material's are followed by those of its polymer. */
export function catalogueFacts(kind: CatalogueKind, id: string): readonly Fact[] {
  const record = RECORDS[kind].find((entry) => entry.id === id);
  if (record === undefined) return [];
  const own = factsOf(record);
  const polymer = record.polymer;
  return typeof polymer === 'string' ? [...own, ...catalogueFacts('polymers', polymer)] : own;
}

const UNITS: Readonly<Record<string, { label: string; unit: string }>> = {
  wavelength_nm: { label: 'Wavelength', unit: 'nm' },
  beam_quality_m2: { label: 'Beam quality M²', unit: '' },
  density_kg_m3: { label: 'Density', unit: 'kg/m3' },
  heat_J_gK: { label: 'Specific heat', unit: 'J/(g K)' },
  conductivity_W_mK: { label: 'Conductivity', unit: 'W/(m K)' },
  latent_J_g: { label: 'Latent heat', unit: 'J/g' },
  carbon_black_pct: { label: 'Carbon black', unit: '% by weight' },
  black_1_mm_pct: { label: 'Absorption per % of black', unit: '1/mm' },
  payload_kg: { label: 'Payload', unit: 'kg' },
  mass_kg: { label: 'Mass', unit: 'kg' },
  index: { label: 'Refractive index', unit: '' },
};

function factsOf(record: DataRecord): readonly Fact[] {
  return Object.entries(record).flatMap(([key, sourced]): Fact[] => {
    if (!isSourced(sourced)) return [];
    const text = valueText(sourced.value);
    if (text === null) return [];
    return [{ ...(UNITS[key] ?? keyWords(key)), value: text, source: sourced.source, mark: sourced.mark }];
  });
}

interface Sourced {
  readonly value: unknown;
  readonly source: string;
  readonly mark: string;
}

const isSourced = (value: unknown): value is Sourced =>
  typeof value === 'object' && value !== null && 'value' in value && 'source' in value && 'mark' in value;

function valueText(value: unknown): string | null {
  if (typeof value === 'number') return numberText(value);
  if (typeof value === 'string') return value;
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'object' && value !== null && 'thickness_mm' in value && 'value' in value) {
    const share = Number(value.value) * 100;
    return `${share.toFixed(sensibleDecimals(share))} % through ${value.thickness_mm} mm`;
  }
  return null;
}
