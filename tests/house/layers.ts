// The layers of the house as data: which folder may import which, which packages belong where.

/** Stages: pure functions from records to a record; none knows another. */
const STAGES = ['intake', 'seam', 'path', 'beam', 'arm', 'motion', 'heat'] as const;

/** Folders that compile without DOM and Node and give the same bits in every engine. */
export const KERNEL: readonly string[] = ['model', 'geometry', ...STAGES, 'checks', 'planner', 'output'];

const STAGE_IMPORTS = ['model', 'geometry'];

/** For each folder of `src`: the other folders that its files may import. */
export const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  model: [],
  geometry: ['model'],
  ...Object.fromEntries(STAGES.map((stage) => [stage, STAGE_IMPORTS])),
  checks: STAGE_IMPORTS,
  planner: ['model', 'geometry', ...STAGES, 'checks'],
  output: ['model', 'geometry', ...STAGES, 'checks', 'planner'],
  worker: KERNEL,
  cli: [...KERNEL, 'worker'],
  app: [...KERNEL, 'worker'],
};

/** Packages that only these folders may import. */
export const PACKAGE_HOME: Readonly<Record<string, readonly string[]>> = {
  'gl-matrix': ['geometry'],
  three: ['geometry', 'app'],
  'three-mesh-bvh': ['geometry', 'app'],
  'occt-import-js': ['intake', 'worker'],
};

/** Parts of `Math` that IEEE 754 or ECMA-262 fixes to the last bit, and constants. */
export const EXACT_MATH: ReadonlySet<string> = new Set([
  'abs',
  'ceil',
  'clz32',
  'floor',
  'fround',
  'imul',
  'max',
  'min',
  'round',
  'sign',
  'sqrt',
  'trunc',
  'E',
  'LN10',
  'LN2',
  'LOG10E',
  'LOG2E',
  'PI',
  'SQRT1_2',
  'SQRT2',
]);

/** Globals that would bring in a clock, a screen or a locale (Node and DOM names are refused by the types already). */
export const BANNED_GLOBALS: ReadonlySet<string> = new Set(['Date', 'Intl', 'performance', 'console', 'globalThis']);

/** Members whose answer depends on the locale. */
export const BANNED_MEMBERS: ReadonlySet<string> = new Set([
  'localeCompare',
  'toLocaleString',
  'toLocaleLowerCase',
  'toLocaleUpperCase',
]);
