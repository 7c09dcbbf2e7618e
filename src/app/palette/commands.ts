// Everything that can be done, as data: what it is called, its key, when it can be done, and what it does.
import { chooseFiles } from '../chrome/choose-files.ts';
import type { PageState, StandardView } from '../store/state.ts';
import { quantityNames } from '../stage/quantities.ts';
import { listFindings } from '../findings/finding-words.ts';
import { goToFinding } from '../findings/go-to-finding.ts';

export interface Command {
  /** Stable, kebab-case. */
  readonly id: string;
  readonly title: string;
  readonly group: 'File' | 'Edit' | 'Go' | 'View' | 'Tool' | 'Colour' | 'Plan' | 'Page';
  /** As in keys.ts; empty where there is none. */
  readonly keys: string;
  /** Also while the focus is in a field that takes text. */
  readonly always?: boolean;
  readonly enabled: (state: PageState) => boolean;
  readonly run: (state: PageState) => void;
}

const always = (): boolean => true;
const hasPlan = ({ plan }: PageState): boolean => plan !== null;
const hasScene = ({ scene }: PageState): boolean => scene !== null;
const hasFindings = ({ plan }: PageState): boolean => plan !== null && plan.findings.length > 0;

const lookFrom = (state: PageState, view: StandardView): void =>
  state.set({ viewRequest: { view, number: state.viewRequest.number + 1 } });

const VIEWS: readonly (readonly [StandardView, string, string])[] = [
  ['fit', 'Fit everything in', 'f'],
  ['cursor', 'Look at the cursor', 'c'],
  ['corner', 'Look from the corner', '0'],
  ['front', 'Look from the front', '1'],
  ['back', 'Look from the back', '2'],
  ['left', 'Look from the left', '3'],
  ['right', 'Look from the right', '4'],
  ['top', 'Look from above', '5'],
  ['bottom', 'Look from below', '6'],
];

const views: readonly Command[] = VIEWS.map(([view, title, keys]) => ({
  id: `view-${view}`,
  title,
  group: 'View',
  keys,
  enabled: hasScene,
  run: (state) => lookFrom(state, view),
}));

const TOOLS: readonly (readonly [PageState['tool'], string, string])[] = [
  ['look', 'Look around', 'v'],
  ['pick-edge', 'Pick the seam: an edge, or a band with Alt', 'e'],
  ['measure', 'Measure a distance', 'm'],
  ['probe', 'Probe the number under the pointer', 'p'],
];

const tools: readonly Command[] = TOOLS.map(([tool, title, keys]) => ({
  id: `tool-${tool}`,
  title,
  group: 'Tool',
  keys,
  enabled: hasScene,
  run: (state) => state.set({ tool }),
}));

const shows: readonly Command[] = (['beam', 'tooling', 'edges', 'arm'] as const).map((what) => ({
  id: `show-${what}`,
  title: `Show or hide: ${what}`,
  group: 'View',
  keys: '',
  enabled: hasScene,
  run: (state) => state.set({ show: { ...state.show, [what]: !state.show[what] } }),
}));

const sections: readonly Command[] = (['x', 'y', 'z'] as const).map((axis) => ({
  id: `section-${axis}`,
  title: `Cut open across ${axis}, or close again`,
  group: 'View',
  keys: '',
  enabled: hasScene,
  run: (state) => state.set({ section: state.section?.axis === axis ? null : { axis, at: 0 } }),
}));

/** Rows to move on. */
const move = (state: PageState, by: number): void => {
  const count = state.plan?.seams[state.seam]?.count ?? 0;
  if (count > 0) state.set({ row: Math.min(count - 1, Math.max(0, state.row + by)) });
};

/** As they are listed, the gravest first. */
const nextFinding = (state: PageState, way: 1 | -1): void => {
  const order = listFindings(state.plan?.findings ?? [], null).map(({ index }) => index);
  if (order.length === 0) return;
  const at = state.finding === null ? -1 : order.indexOf(state.finding);
  const next = at < 0 ? (way === 1 ? 0 : order.length - 1) : (at + way + order.length) % order.length;
  goToFinding(state, order[next]);
};

const SIDES = [
  ['findings', 'Show the findings', 'g'],
  ['window', 'Show the process window', 'w'],
  ['edges', 'Show the list of edges', 'l'],
] as const;

const sides: readonly Command[] = SIDES.map(([side, title, keys]) => ({
  id: `side-${side}`,
  title,
  group: 'Go',
  keys,
  enabled: always,
  run: (state) => state.set({ side }),
}));

const themes: readonly Command[] = (['light', 'dark', 'system'] as const).map((theme) => ({
  id: `theme-${theme}`,
  title: theme === 'system' ? 'Theme as the system has it' : `Theme: ${theme}`,
  group: 'Page',
  keys: '',
  enabled: ({ theme: now }) => now !== theme,
  run: (state) => state.set({ theme }),
}));

const fixed: readonly Command[] = [
  { id: 'open', title: 'Open files', group: 'File', keys: 'mod+o', always: true, enabled: always, run: chooseFiles },
  { id: 'new', title: 'Begin an empty job', group: 'File', keys: '', enabled: always, run: (state) => state.newJob() },
  {
    id: 'save',
    title: 'Save the job with its files',
    group: 'File',
    keys: 'mod+s',
    always: true,
    enabled: ({ job }) => Array.isArray(job.parts) && job.parts.length > 0,
    run: (state) => state.saveJob(),
  },
  {
    id: 'export',
    title: 'Export the plan',
    group: 'File',
    keys: 'x',
    enabled: hasPlan,
    run: (state) => state.openExport(),
  },
  { id: 'undo', title: 'Undo', group: 'Edit', keys: 'mod+z', enabled: ({ canUndo }) => canUndo, run: (s) => s.undo() },
  {
    id: 'redo',
    title: 'Redo',
    group: 'Edit',
    keys: 'mod+shift+z',
    enabled: ({ canRedo }) => canRedo,
    run: (state) => state.redo(),
  },
  {
    id: 'play',
    title: 'Play or pause the run along the seam',
    group: 'Go',
    keys: 'space',
    enabled: hasPlan,
    run: (state) => state.set({ playing: !state.playing }),
  },
  { id: 'row-next', title: 'One waypoint on', group: 'Go', keys: '.', enabled: hasPlan, run: (s) => move(s, 1) },
  { id: 'row-before', title: 'One waypoint back', group: 'Go', keys: ',', enabled: hasPlan, run: (s) => move(s, -1) },
  {
    id: 'row-first',
    title: 'To the start of the seam',
    group: 'Go',
    keys: '',
    enabled: hasPlan,
    run: (s) => s.set({ row: 0 }),
  },
  {
    id: 'finding-next',
    title: 'Next finding',
    group: 'Go',
    keys: 'n',
    enabled: hasFindings,
    run: (s) => nextFinding(s, 1),
  },
  {
    id: 'finding-before',
    title: 'Finding before',
    group: 'Go',
    keys: 'shift+n',
    enabled: hasFindings,
    run: (s) => nextFinding(s, -1),
  },
  ...sides,
  ...views,
  {
    id: 'projection',
    title: 'Change between perspective and parallel view',
    group: 'View',
    keys: 'o',
    enabled: hasScene,
    run: (state) => state.set({ projection: state.projection === 'perspective' ? 'orthographic' : 'perspective' }),
  },
  ...shows,
  ...sections,
  ...tools,
  {
    id: 'plan-again',
    title: 'Plan again',
    group: 'Plan',
    keys: 'r',
    enabled: ({ run, stale }) => run === 'failed' || stale,
    run: (state) => state.planAgain(),
  },
  {
    id: 'cancel',
    title: 'Cancel the run',
    group: 'Plan',
    keys: '',
    enabled: ({ run }) => run === 'running',
    run: (state) => state.cancel(),
  },
  {
    id: 'pin',
    title: 'Pin this plan, to compare what comes with it',
    group: 'Plan',
    keys: 'k',
    enabled: ({ plan, stale }) => plan !== null && !stale,
    run: (state) => state.pin(),
  },
  {
    id: 'unpin',
    title: 'Take the pinned plan away',
    group: 'Plan',
    keys: '',
    enabled: ({ pinned }) => pinned !== null,
    run: (state) => state.unpin(),
  },
  ...themes,
  {
    id: 'palette',
    title: 'Find a command',
    group: 'Page',
    keys: 'mod+k',
    always: true,
    enabled: always,
    run: (state) => state.set({ paletteOpen: true }),
  },
];

/** Commands that do not depend on the plan: those that keys reach. */
export const COMMANDS: readonly Command[] = fixed;

/** All commands, those for what the seam shown can be coloured by included. */
export function allCommands({ plan, seam }: PageState): readonly Command[] {
  const shown = plan?.seams[seam];
  if (shown === undefined) return fixed;
  const colours = quantityNames(shown).map(
    ({ name, title }): Command => ({
      id: `colour-${name}`,
      title: `Colour the seam by: ${title}`,
      group: 'Colour',
      keys: '',
      enabled: ({ colourBy }) => colourBy !== name,
      run: (state) => state.set({ colourBy: name }),
    }),
  );
  return [...fixed, ...colours];
}

/** Commands in which every word that was typed stands, those that begin with it first. */
export function findCommands(commands: readonly Command[], typed: string): readonly Command[] {
  const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
  if (words.length === 0) return commands;
  const rank = ({ title }: Command): number => (title.toLowerCase().startsWith(words[0]) ? 0 : 1);
  return commands
    .filter(({ title, group }) => words.every((word) => `${title} ${group}`.toLowerCase().includes(word)))
    .toSorted((a, b) => rank(a) - rank(b));
}
