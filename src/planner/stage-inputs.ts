// The job fields that each stage reads. A stage is handed these and no others, so the compiler holds it to its word.

export const SEAM_FIELDS = ['name', 'select', 'offset', 'startNear', 'reverse', 'fingerprint', 'cornerBlend'] as const;
export const PATH_FIELDS = ['spacing', 'chord', 'runIn', 'runOut', 'overlap'] as const;
export const AIM_HEAD = ['standoff', 'defocus', 'axis', 'lead', 'tilt', 'turn'] as const;
export const AIM_JOB_FIELDS = ['optics', 'layer', 'materials'] as const;
export const AIM_LIMITS = ['contact', 'lateral'] as const;
export const RELAX_LIMITS = [
  ...AIM_LIMITS,
  'incidenceEntry',
  'incidenceJoint',
  'layer',
  'gap',
  'clipped',
  'capture',
] as const;
export const STAND_HEAD_FIELDS = ['standoff', 'turn'] as const;
export const STAND_CARRIER_FIELDS = ['arm', 'head', 'turnRate'] as const;
export const STAND_JOB_FIELDS = ['placement', 'approach'] as const;
export const ROOM_CARRIER_FIELDS = ['arm', 'head', 'clearance'] as const;
export const ROOM_JOB_FIELDS = ['placement'] as const;
export const TIMING_FIELDS = ['process', 'ramp'] as const;
export const TIMING_LIMITS = [
  'headTurn',
  'headTurnAcceleration',
  'spotAcceleration',
  'normalAcceleration',
  'headSpeed',
  'headAcceleration',
  'lineEnergy',
] as const;

/** A record with the named fields only. */
export function pick<T extends object, const K extends readonly (keyof T)[]>(record: T, fields: K): Pick<T, K[number]> {
  return Object.fromEntries(fields.map((field) => [field, record[field]])) as unknown as Pick<T, K[number]>;
}

/** Text that is equal when all the fields are. Maps count as their entries. */
export function settingsKey(settings: object): string {
  return JSON.stringify(settings, (_key, value) => (value instanceof Map ? [...value] : value));
}
